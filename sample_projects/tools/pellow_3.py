"""The Pellow 3's project: tailwheel and water-rudder lifted together, by one jack and one torque tube."""

from __future__ import annotations

from core.document.project import (
    Aircraft,
    Body,
    Connection,
    Drive,
    Figure,
    Gearing,
    Jack,
    Moment,
    Move,
    PairRule,
    Pivot,
    Polygon,
    Project,
    Rod,
    Sequence,
    Slot,
    Step,
    Target,
    View,
)
from sample_projects.tools import pellow_layout as at
from sample_projects.tools.plane import Point, bearing, polar, turned
from sample_projects.tools.shapes import disc, link, neat, rounded, spot, wall, wheel

PIN = 1.4
"""Radius of the crank's pin; the slot is a fit on it."""


def pellow_3(views: tuple[View, ...]) -> Project:
    return Project(
        aircraft=Aircraft(
            name="Pellow 3", scale=at.SCALE,
            note="Tailwheel and water-rudder. Origin at the tailwheel's pivot: station 7200, waterline 400.",
        ),
        length_unit="mm", least_clearance=0.6, views=views, bodies=(*tail_bodies(), *rudder_bodies()),
        connections=_connections(),
        drives=(
            Drive(id="lift", name="Lifting jack", on="lift-jack"),
            Drive(id="roll", name="Tailwheel roll", on="axle"),
        ),
        sequences=(_to_water(), _to_land()), pairs=_pairs(), targets=_targets(), figures=_figures(),
    )  # fmt: skip


# ---- bodies ------------------------------------------------------------------------------------------------------


def tail_bodies() -> tuple[Body, ...]:
    return (_hull(), _brackets(), leg(), _wheel(), _crank())


def _hull() -> Body:
    bottom = [(-110.0, -22.0), (-11.0, -12.4)]
    well = [(-11.8, -13.2), (-26.0, 2.0), (-26.0, 20.0)]
    return Body(
        id="hull", name="Hull and wheel well", view="side", role="structure", fixed=True, depth=(-14.0, 14.0),
        shapes=(
            wall(bottom, 1.6),
            wall(well, 1.2),
            wall([(-110.0, 54.0), (86.0, 47.0), (92.0, 3.0), (118.0, 7.0)], 1.6),
            wall([(-82.0, -18.6), (-82.0, 52.4)], 1.2),
        ),
    )  # fmt: skip


def _brackets() -> Body:
    plate = rounded([(-24.0, 50.0, 0.0), (-9.0, -5.0, 7.0), (9.0, -5.0, 7.0), (16.0, 49.0, 0.0)])
    jack_plate = rounded([(-81.4, 40.0, 0.0), (-58.0, 34.5, 4.0), (-58.0, 25.5, 4.0), (-81.4, 20.0, 0.0)])
    return Body(
        id="brackets", name="Tailwheel and jack brackets", view="side", role="structure", fixed=True,
        depth=(12.0, 14.0), shapes=(plate, jack_plate),
    )  # fmt: skip


def leg(slot: tuple[float, float] = at.SLOT) -> Body:
    """A bell-crank: the swinging leg below its pivot, the slotted arm above."""
    start, end = (polar(at.LEG_PIVOT, reach, at.SLOT_BEARING) for reach in slot)
    arm = Polygon(points=link(at.LEG_PIVOT, 6.4, end, 4.2).points, holes=(_slot(start, end),))
    return Body(
        id="leg", name="Tailwheel leg", view="side", role="leg", depth=(-2.0, 2.0), mass=36.0,
        centre_of_mass=(12.0, -20.0), shapes=(arm, link(at.LEG_PIVOT, 6.0, at.AXLE, 3.4)),
    )  # fmt: skip


def _slot(start: Point, end: Point) -> tuple[tuple[float, ...], ...]:
    half, along = PIN + 0.1, bearing(start, end)
    return (
        (*spot(polar(start, half, along + 90.0)), 1.0),
        spot(polar(start, half, along - 90.0)),
        (*spot(polar(end, half, along - 90.0)), 1.0),
        spot(polar(end, half, along + 90.0)),
    )


def _wheel() -> Body:
    return Body(
        id="wheel", name="Tailwheel", view="side", role="wheel", depth=(2.4, 9.4), mass=42.0,
        centre_of_mass=spot(at.AXLE), shapes=(wheel(at.AXLE, at.TYRE_RADIUS, 4, 5.4, 1.8),),
    )  # fmt: skip


def _crank() -> Body:
    return Body(
        id="crank", name="Crank on the torque tube", view="side", role="link", depth=(-6.0, -2.4), mass=14.0,
        shapes=(
            link(at.TUBE, 4.6, at.CRANK_PIN, 2.6),
            link(at.TUBE, 4.6, at.JACK_ARM, 2.6),
        ),
    )  # fmt: skip


def rudder_bodies() -> tuple[Body, ...]:
    hull = Body(
        id="transom", name="Hull at the transom", view="corner", role="structure", fixed=True, depth=(-10.0, 10.0),
        shapes=(
            wall([(-70.0, -20.0), (78.0, -6.0), (78.0, 10.8)], 1.6),
            wall([(-70.0, 52.0), (78.0, 47.0), (78.0, 30.0)], 1.6),
        ),
    )  # fmt: skip
    plates = Body(
        id="rudder-brackets", name="Tube and rudder brackets", view="corner", role="structure", fixed=True,
        depth=(8.0, 10.0), shapes=(
            rounded([(-14.0, 50.0, 0.0), (-6.0, 17.0, 6.0), (6.0, 17.0, 6.0), (14.0, 49.0, 0.0)]),
            rounded([(78.6, 4.0, 0.0), (91.0, 7.0, 4.0), (91.0, 17.0, 4.0), (78.6, 10.6, 0.0)]),
        ),
    )  # fmt: skip
    lever = Body(
        id="lever", name="Lever on the torque tube", view="corner", role="link", depth=(-3.0, 0.0), mass=9.0,
        shapes=(link(at.TUBE, 4.6, at.LEVER_PIN, 2.4),),
    )  # fmt: skip
    return (hull, plates, lever, _rudder())


def _rudder() -> Body:
    x, y = at.RUDDER_HINGE
    blade = rounded(
        [
            (x - 4.5, y - 4.0, 2.0), (x - 3.0, y - 58.0, 5.0), (x + 7.0, y - 62.0, 5.0), (x + 15.0, y - 52.0, 7.0),
            (x + 13.0, y - 16.0, 8.0), (x + 4.5, y - 2.0, 4.0),
        ]
    )  # fmt: skip
    return Body(
        id="rudder", name="Water-rudder", view="corner", role="other", depth=(-4.0, 4.0), mass=24.0,
        centre_of_mass=(x + 5.0, y - 34.0), shapes=(blade, disc((x, y), 5.0), link((x, y), 4.6, at.HORN_PIN, 2.4)),
    )  # fmt: skip


# ---- connections -------------------------------------------------------------------------------------------------


def _connections() -> tuple[Connection, ...]:
    start, end = (spot(polar(at.LEG_PIVOT, reach, at.SLOT_BEARING)) for reach in at.SLOT)
    return (
        Pivot(id="leg-pivot", name="Tailwheel pivot", bodies=("hull", "leg"), at=at.LEG_PIVOT, pin=4.0,
              limits=(-0.5, at.SWING + 0.5)),
        Pivot(id="axle", name="Axle", bodies=("leg", "wheel"), at=spot(at.AXLE), pin=3.0),
        Pivot(id="tube", name="Torque tube, centre line", bodies=("hull", "crank"), at=at.TUBE, pin=5.0),
        Slot(id="crank-slot", name="Slot in the leg", bodies=("leg", "crank"), at=spot(at.CRANK_PIN), start=start,
             end=end, pin=2.0 * PIN),
        Jack(id="lift-jack", name="Lifting jack", bodies=("hull", "crank"), ends=(at.JACK_ANCHOR, spot(at.JACK_ARM)),
             closed=at.JACK_CLOSED, stroke=at.JACK_STROKE, barrel=7.0, rod=3.0, depth=(-10.0, -6.4), pin=2.5),
        Pivot(id="tube-end", name="Torque tube, port end", bodies=("transom", "lever"), at=at.TUBE, pin=5.0),
        Gearing(id="torque-tube", name="Torque tube", pivots=("tube", "tube-end"), ratio=1.0),
        Rod(id="rudder-rod", name="Rudder rod", bodies=("lever", "rudder"),
            ends=(spot(at.LEVER_PIN), spot(at.HORN_PIN)), width=2.4, depth=(-6.4, -4.2), pin=2.0),
        Pivot(id="rudder-hinge", name="Rudder hinge", bodies=("transom", "rudder"), at=at.RUDDER_HINGE, pin=3.0,
              limits=(-0.5, at.RUDDER_LIFT + 1.0)),
    )  # fmt: skip


# ---- sequences ---------------------------------------------------------------------------------------------------


def _to_water() -> Sequence:
    return Sequence(
        id="to-water", name="Tailwheel up",
        steps=(
            Step(id="run", name="Run down the slip", duration=2.0,
                 moves=(Move(drive="roll", to=-540.0, profile="eased"),)),
            Step(id="lift-both", name="Lift", delay=0.5, duration=3.0,
                 moves=(Move(drive="lift", to=neat(at.JACK_UP), profile="eased"),)),
        ),
    )  # fmt: skip


def _to_land() -> Sequence:
    return Sequence(
        id="to-land", name="Tailwheel down", start={"lift": neat(at.JACK_UP)},
        steps=(
            Step(id="lower-both", name="Lower", duration=3.0,
                 moves=(Move(drive="lift", to=neat(at.JACK_DOWN), profile="eased"),)),
        ),
    )  # fmt: skip


# ---- what is asked -----------------------------------------------------------------------------------------------


def _pairs() -> tuple[PairRule, ...]:
    return (
        PairRule(bodies=("wheel", "hull"), rule="check", clearance=1.5, why="mud on the tyre"),
        PairRule(bodies=("leg", "hull"), rule="check", clearance=1.0, why="the leg whips on landing"),
        PairRule(bodies=("crank", "hull"), rule="check", why="pinned to brackets, clear of the deck"),
        PairRule(bodies=("lift-jack", "hull"), rule="check", why="pinned to brackets, clear of the frame"),
        PairRule(bodies=("lever", "transom"), rule="check", why="pinned to brackets, clear of the deck"),
        PairRule(bodies=("rudder", "transom"), rule="check", clearance=1.0, why="weed"),
        PairRule(bodies=("rudder-rod", "transom"), rule="check", clearance=1.0, why="the slit is sealed by a boot"),
    )


def _targets() -> tuple[Target, ...]:
    up = Moment(sequence="to-water", after="lift-both")
    x, y = turned((0.0, 0.0), at.RUDDER_LIFT, at.RUDDER_HINGE)
    return (
        Target(id="wheel-stowed", body="leg", at=up, x=0.0, y=0.0, turn=at.SWING, within=0.3),
        Target(id="rudder-lifted", body="rudder", at=up, x=neat(x), y=neat(y), turn=neat(at.RUDDER_LIFT), within=0.3),
    )


def _figures() -> tuple[Figure, ...]:
    up = ({"sequence": "to-water", "at": "start"}, {"sequence": "to-water", "at": "end"})
    return (
        Figure(id="swing", name="Tailwheel swing", quantity="travel", of="leg-pivot", between=up, published="80 deg",
               plus_minus="1 deg", source="sheet 1", confidence="quoted"),
        Figure(id="lift-stroke", name="Lifting jack stroke", quantity="travel", of="lift-jack", between=up,
               published="134 mm", plus_minus="2 mm", full_size=True, shop="0.3 mm",
               source="sheet 1", confidence="quoted"),
        Figure(id="slot-use", name="Slot used by the crank", quantity="stroke", of="crank-slot", between=up,
               published="59 mm", plus_minus="1 mm", full_size=True, shop="0.3 mm",
               source="sheet 1", confidence="quoted"),
        Figure(id="wheel-across", name="Tailwheel diameter", quantity="diameter", of="wheel",
               published="192 mm", plus_minus="2 mm", full_size=True, shop="0.3 mm",
               source="sheet 1", confidence="quoted"),
        Figure(id="rudder-lift", name="Water-rudder lift", quantity="travel", of="rudder-hinge", between=up,
               published="90 deg", plus_minus="2 deg", source="sheet 2", confidence="quoted"),
    )  # fmt: skip
