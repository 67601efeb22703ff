"""The outlines of the Merrow's nose undercarriage, as drawn."""

from __future__ import annotations

from core.document.project import Body, Polygon, Shape
from sample_projects.tools import merrow_layout as at
from sample_projects.tools.plane import Point, bearing, distance, polar, turned
from sample_projects.tools.shapes import (
    arc_wall,
    band,
    disc,
    link,
    rounded,
    spot,
    turned_shape,
    wall,
    wheel,
)

SKIN = 1.4


def side_bodies() -> tuple[Body, ...]:
    return (
        _airframe(),
        _brackets(),
        _leg(),
        _piston(),
        _wheel(),
        *_torque_links(),
        *_brace(),
        _main_door(),
        _small_door(),
        _hook(),
        valve_lever(),
    )


# ---- what stands still -------------------------------------------------------------------------------------------


def _airframe() -> Body:
    aft_edge, nose_edge = at.SMALL_EDGES[1] + 1.7, at.MAIN_EDGES[0] - 1.5
    middle = at.KEEL_RADIUS - SKIN / 2.0
    bay = [
        (-112.8, at.keel(-112.8) + SKIN),
        (-112.8, 22.0),
        (-99.0, 31.0),
        (-60.0, 35.0),
        (-10.0, 38.0),
        (21.2, 38.0),
        (21.2, at.keel(21.2) + SKIN),
    ]
    return Body(
        id="airframe", name="Keel and bay walls", view="side", role="structure", fixed=True, depth=(-15.0, 15.0),
        shapes=(
            wall(bay, 1.2),
            arc_wall(at.KEEL_CENTRE, middle, _keel_bearing(-150.0), _keel_bearing(nose_edge), SKIN),
            arc_wall(at.KEEL_CENTRE, middle, _keel_bearing(aft_edge), _keel_bearing(62.0), SKIN),
        ),
    )  # fmt: skip


def _brackets() -> Body:
    """Plates on the bay's far side wall that carry the pins, outboard of everything that moves."""
    leg_plate = rounded([(-13.0, 37.6, 0.0), (-7.5, -2.5, 6.4), (7.5, -2.5, 6.4), (9.0, 37.6, 0.0)])
    jack_plate = rounded([(9.0, 37.6, 0.0), (10.6, 28.2, 2.6), (17.0, 28.2, 2.6), (20.6, 37.6, 0.0)])
    brace_plate = rounded([(-47.0, 35.6, 0.0), (-39.6, 20.4, 3.2), (-32.0, 20.4, 3.2), (-26.0, 37.0, 0.0)])
    hook_plate = rounded([(-54.0, 35.2, 0.0), (-49.6, 26.6, 2.8), (-43.4, 26.6, 2.8), (-41.0, 36.0, 0.0)])
    door_plate = rounded([(-112.4, 24.6, 0.0), (-112.4, 15.4, 0.0), (-104.9, 17.2, 2.2), (-104.9, 22.8, 2.2)])
    return Body(
        id="brackets", name="Trunnion and jack brackets", view="side", role="structure", fixed=True, depth=(13.2, 15.0),
        shapes=(leg_plate, jack_plate, brace_plate, hook_plate, door_plate),
    )  # fmt: skip


def _keel_bearing(x: float) -> float:
    return bearing(at.KEEL_CENTRE, (x, at.keel(x))) % 360.0


# ---- leg ---------------------------------------------------------------------------------------------------------


def _leg() -> Body:
    casing = rounded(
        [
            (-5.6, -3.0, 0.0), (-5.0, -30.0, 4.0), (-4.6, -37.5, 0.0), (-5.4, -38.2, 0.3), (-5.4, -45.6, 0.4),
            (-4.8, -46.0, 0.0), (4.8, -46.0, 0.0), (5.4, -45.6, 0.4), (5.4, -38.2, 0.3), (4.6, -37.5, 0.0),
            (5.0, -30.0, 4.0), (5.6, -3.0, 0.0),
        ]
    )  # fmt: skip
    return Body(
        id="leg", name="Nose leg", view="side", role="leg", depth=(-4.5, 4.5), mass=62.0, centre_of_mass=(-0.4, -20.0),
        shapes=(
            casing,
            disc(at.LEG_PIVOT, 6.6),
            link(at.LEG_PIVOT, 5.0, at.VALVE_ON_LEG, 1.7),
            link((-2.0, -8.0), 4.0, at.ROD_ON_LEG, 2.0),
            link((-2.5, -33.5), 4.2, at.BRACE_LUG, 2.4),
            link((-4.4, -42.0), 2.3, at.ROLLER, at.ROLLER_RADIUS),
            link((3.0, -40.0), 3.2, at.LEG_TORQUE_PIN, 1.9),
        ),
    )  # fmt: skip


def _piston() -> Body:
    """The chromed piston with the half fork below it; the fork trails, so that the wheel casters."""
    crown: Point = (0.5, -55.0)
    fork = rounded(
        [
            (-3.5, -51.6, 0.8), (-3.9, -57.0, 3.0), (0.2, -68.0, 9.0), (1.9, -75.0, 3.0), (6.6, -77.6, 3.0),
            (8.3, -72.0, 3.0), (6.3, -66.0, 9.0), (4.4, -57.0, 3.0), (3.6, -51.6, 0.8),
        ]
    )  # fmt: skip
    return Body(
        id="piston", name="Piston and fork", view="side", role="leg", depth=(-7.0, 7.0), mass=38.0,
        centre_of_mass=(2.0, -56.0),
        shapes=(
            rounded([(-2.9, -22.0, 0.6), (-2.9, -54.0, 0.0), (2.9, -54.0, 0.0), (2.9, -22.0, 0.6)]),
            fork,
            link(crown, 2.8, at.FORK_TORQUE_PIN, 1.9),
        ),
    )  # fmt: skip


def _wheel() -> Body:
    return Body(
        id="wheel", name="Nosewheel", view="side", role="wheel", depth=(-4.5, 4.5), mass=31.0,
        centre_of_mass=spot(at.AXLE), shapes=(wheel(at.AXLE, at.TYRE_RADIUS, 5, 5.6, 1.5),),
    )  # fmt: skip


def _torque_links() -> tuple[Body, Body]:
    upper = link(at.LEG_TORQUE_PIN, 2.0, at.TORQUE_APEX, 1.5)
    lower = link(at.FORK_TORQUE_PIN, 2.0, at.TORQUE_APEX, 1.5)
    return (
        Body(id="torque-upper", name="Upper torque link", view="side", role="link", depth=(-2.0, 2.0), mass=3.0,
             shapes=(upper,)),
        Body(id="torque-lower", name="Lower torque link", view="side", role="link", depth=(2.2, 4.2), mass=3.0,
             shapes=(lower,)),
    )  # fmt: skip


def _brace() -> tuple[Body, Body]:
    upper = (
        link(at.BRACE_ANCHOR, 3.3, at.ELBOW, 2.6),
        link(at.BRACE_ANCHOR, 3.3, at.JACK_ARM, 2.2),
        _gusset(at.BRACE_ANCHOR, at.JACK_ARM, at.ELBOW),
    )
    return (
        Body(id="brace-upper", name="Upper brace link", view="side", role="link", depth=(-5.4, -3.4), mass=11.0,
             shapes=upper),
        Body(id="brace-lower", name="Lower brace link", view="side", role="link", depth=(-7.5, -5.5), mass=9.0,
             shapes=(link(at.ELBOW, 2.6, at.BRACE_LUG, 2.4),)),
    )  # fmt: skip


def _gusset(root: Point, arm: Point, end: Point) -> Polygon:
    """A web in the crook between the upper link and its jack arm."""
    reach = polar(root, 0.85 * distance(root, arm), bearing(root, arm))
    along = polar(root, 0.5 * distance(root, end), bearing(root, end))
    crook = polar(root, 11.0, bearing(root, along) - 18.0)
    return Polygon(points=(spot(root), spot(reach), spot(crook), spot(along)))


# ---- doors -------------------------------------------------------------------------------------------------------


def _door_skin(edges: tuple[float, float]) -> Polygon:
    return band(at.KEEL_CENTRE, at.KEEL_RADIUS - SKIN / 2.0, _keel_bearing(edges[0]), _keel_bearing(edges[1]), SKIN)


def _stiffener(start: float, end: float, height: float) -> Polygon:
    """A shallow rib on the inside of a door skin, its ends run out."""
    low, high = at.keel(start) + 0.6, at.keel(end) + 0.6
    run_out = 6.0
    return rounded(
        [
            (start, low, 0.0), (end, high, 0.0), (end, high + 0.9, 0.0),
            (end - run_out, at.keel(end - run_out) + SKIN + height, 4.0),
            (start + run_out, at.keel(start + run_out) + SKIN + height, 4.0), (start, low + 0.9, 0.0),
        ]
    )  # fmt: skip


def _main_door() -> Body:
    horn = link((-103.5, at.keel(-103.5) + 2.6), 2.6, at.DOOR_JACK_ARM, 1.9)
    return Body(
        id="main-door", name="Main door", view="side", role="door", depth=(-13.0, 13.0), mass=44.0,
        shapes=(_door_skin(at.MAIN_EDGES), _stiffener(-105.0, -27.0, 1.6), disc(at.MAIN_HINGE, 1.5), horn),
    )  # fmt: skip


def _small_door() -> Body:
    horn = link((1.5, at.keel(1.5) + 2.5), 2.3, at.SMALL_HORN_SHUT, 1.8)
    shut = (_door_skin(at.SMALL_EDGES), _stiffener(-22.0, 12.0, 1.2), disc(at.SMALL_HINGE, 1.5), horn)
    return Body(
        id="small-door", name="Small door", view="side", role="door", depth=(-13.0, 13.0), mass=19.0,
        shapes=_all_turned(shut, at.SMALL_OPEN, at.SMALL_HINGE),
    )  # fmt: skip


def _hook() -> Body:
    """Drawn up around the stowed roller, then swung open as it hangs with the leg down."""
    reach, roller = distance(at.HOOK_PIVOT, at.STOWED_ROLLER), bearing(at.HOOK_PIVOT, at.STOWED_ROLLER)
    throat = reach + at.ROLLER_RADIUS + 0.15
    toe = band(at.HOOK_PIVOT, throat + 1.0, roller - 24.0, roller + 9.0, 2.0)
    heel = polar(at.HOOK_PIVOT, throat + 1.0, roller - 24.0)
    tip = polar(at.HOOK_PIVOT, throat + 1.0, roller + 9.0)
    latched = (link(at.HOOK_PIVOT, 3.2, heel, 1.1), toe, disc(heel, 1.0), disc(tip, 1.0))
    return Body(
        id="hook", name="Uplock hook", view="side", role="lock", depth=(-2.6, -0.6), mass=4.0,
        shapes=_all_turned(latched, at.HOOK_OPEN, at.HOOK_PIVOT),
    )  # fmt: skip


def valve_lever(rod: float = at.VALVE_ROD) -> Body:
    """The lever of the valve that lets the doors close, worked from the leg by a rod of this length."""
    return Body(
        id="valve-lever", name="Sequence valve lever", view="side", role="link", depth=(7.6, 9.0), mass=2.0,
        shapes=(link(at.VALVE_PIVOT, 2.4, at.valve_pin(rod), 1.5),),
    )  # fmt: skip


def _all_turned(shapes: tuple[Shape, ...], degrees: float, about: Point) -> tuple[Shape, ...]:
    return tuple(turned_shape(shape, degrees, about) for shape in shapes)


def hook_throat() -> Point:
    """Where the roller lies in the hook, as the open hook is drawn."""
    return turned(at.STOWED_ROLLER, at.HOOK_OPEN, at.HOOK_PIVOT)


# ---- plan --------------------------------------------------------------------------------------------------------


def plan_bodies() -> tuple[Body, ...]:
    centre: Point = (0.0, 0.0)
    tyre = rounded([(-10.0, -4.5, 3.4), (20.0, -4.5, 3.4), (20.0, 4.5, 3.4), (-10.0, 4.5, 3.4)])
    fork = rounded(
        [
            (-4.4, -7.0, 3.0), (8.2, -7.0, 1.2), (8.2, -5.2, 0.4), (3.6, -5.2, 1.2), (3.6, 5.2, 1.2), (8.2, 5.2, 0.4),
            (8.2, 7.0, 1.2), (-4.4, 7.0, 3.0),
        ]
    )  # fmt: skip
    return (
        Body(id="steer-casing", name="Leg casing, plan", view="plan", role="structure", fixed=True,
             depth=(-37.0, -30.0), shapes=(link(centre, 5.6, at.STEER_ANCHOR, 2.8),)),
        Body(id="collar", name="Steering collar", view="plan", role="link", depth=(-44.0, -38.0), mass=8.0,
             shapes=(disc(centre, 7.0), link(centre, 6.0, at.STEER_ARM, 2.2), link(centre, 5.6, (18.0, 0.0), 2.2))),
        Body(id="fork-plan", name="Fork, plan", view="plan", role="leg", depth=(-58.0, -51.0), shapes=(fork,)),
        Body(id="wheel-plan", name="Nosewheel, plan", view="plan", role="wheel", depth=(-89.0, -59.0), shapes=(tyre,)),
    )  # fmt: skip
