"""The Merrow's two reference drawings, as a builder would find them: side elevation, and plan on the steering."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely
from shapely import affinity

from core.document.project import Body, View
from core.geometry.outlines import disc, outline
from sample_projects.tools import furniture
from sample_projects.tools import merrow_layout as at
from sample_projects.tools.composition import Solid, carried, ghosts, hidden_within, in_order, jack, rod, traced, track
from sample_projects.tools.draughting import CENTRE, HIDDEN, NARROW, WIDE, Sheet
from sample_projects.tools.merrow_parts import plan_bodies, side_bodies
from sample_projects.tools.plane import Point, bearing, polar, turned

SIZE = (2400, 1600)
TITLE = "MERROW T.2 - NOSE UNDERCARRIAGE"
SIDE_KNOWN: tuple[Point, ...] = ((-210.0, 10.0), (0.0, 0.0), (40.0, 10.0), (0.0, at.GROUND))
"""Nose datum, leg pivot, the datum line at station 3000, the ground under the leg."""
PLAN_KNOWN: tuple[Point, ...] = ((0.0, 0.0), (-25.0, 0.0), (25.0, 0.0), (0.0, 25.0))


def side_view(sheet: Sheet) -> View:
    return View(id="side", name="Side elevation", plane="side", drawing=traced("side", sheet, SIDE_KNOWN))


def plan_view(sheet: Sheet) -> View:
    """It stands alone: it draws the leg down once more, and would clash with the one that the side elevation swings."""
    return View(id="plan", name="Plan on the steering", plane="other", drawing=traced("plan", sheet, PLAN_KNOWN))


def _full(millimetres: float) -> str:
    """A full-size length as it is written on the sheet."""
    return f"{at.SCALE * millimetres:.0f}"


# ---- side elevation ----------------------------------------------------------------------------------------------


def side_sheet() -> Sheet:
    sheet = Sheet(SIZE, 7.5, (-228.0, 80.0))
    furniture.frame(sheet)
    note = "PORT WALL OF BAY REMOVED. LEG DOWN, AT STATIC LENGTH"
    furniture.title(sheet, TITLE, "SIDE ELEVATION ON CENTRE LINE", note, "SHEET 1 OF 2")
    furniture.ticks_across(sheet, 1512, range(0, 2301, 50), at.from_station, "FS", 250)
    furniture.ticks_up(sheet, 60, range(-750, 751, 50), at.from_waterline, "WL", 250)
    furniture.scale_bar(sheet, 640, 1440, full_size=250.0, parts=4, scale=at.SCALE)
    furniture.pin_list(sheet, 96, 1010, _pin_table(), ("PIN, LEG DOWN", "FS", "WL"))
    _fuselage(sheet)
    _stowed(sheet)
    _in_order(sheet)
    _pins(sheet)
    _ground(sheet)
    _side_sizes(sheet)
    _side_notes(sheet)
    return sheet


def _pin_table() -> Iterable[tuple[str, float, float]]:
    named = (
        ("LEG PIVOT", at.LEG_PIVOT), ("AXLE, STATIC", at.AXLE), ("BRACE ANCHOR", at.BRACE_ANCHOR),
        ("BRACE LUG", at.BRACE_LUG), ("BRACE JACK", at.JACK_ANCHOR), ("UPLOCK HOOK", at.HOOK_PIVOT),
        ("MAIN DOOR HINGE", at.MAIN_HINGE), ("DOOR JACK", at.DOOR_JACK_ANCHOR), ("SMALL DOOR HINGE", at.SMALL_HINGE),
    )  # fmt: skip
    return ((name, at.station(x), at.waterline(y)) for name, (x, y) in named)


def _fuselage(sheet: Sheet) -> None:
    """Nose, upper line and windscreen; the lower line along the bay is the airframe's own skin."""
    front, tip = -150.0, (-210.0, 4.0)
    slope = (front - at.KEEL_CENTRE[0]) / (at.KEEL_CENTRE[1] - at.keel(front))
    before = (front - 28.0, at.keel(front) - 28.0 * slope)
    for line in (
        _curve(tip, (-210.0, -4.0), before, (front, at.keel(front))),
        _curve(tip, (-210.0, 16.0), (-130.0, 44.0), (-56.0, 54.0)),
        _curve((-56.0, 54.0), (-42.0, 62.0), (-30.0, 69.0), (-12.0, 73.5)),
    ):
        sheet.line(line, width=WIDE)
    sheet.line(_curve((-56.0, 54.0), (-20.0, 58.0), (30.0, 60.0), (66.0, 60.5)))
    sheet.line([(-216.0, 10.0), (66.0, 10.0)], width=1.0, pattern=CENTRE)
    sheet.text("FUSELAGE DATUM WL 0", (-202.0, 11.4), height=13.0)
    sheet.line([(front, at.keel(front)), (front, 40.2)], pattern=HIDDEN)
    sheet.text("FRAME 2", (front - 1.2, 16.0), height=12.0, turn=90.0)
    sheet.line([(21.0, 38.6), (21.0, 59.8)], pattern=HIDDEN)
    sheet.text("FRAME 5", (24.0, 41.0), height=12.0, turn=90.0)


def _curve(start: Point, first: Point, second: Point, end: Point) -> list[Point]:
    """A cubic from start to end, pulled by two points between."""
    t = np.linspace(0.0, 1.0, 49)[:, None]
    weights = np.hstack([(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3])
    return [(float(x), float(y)) for x, y in weights @ np.array([start, first, second, end])]


def _in_order(sheet: Sheet) -> None:
    """Keel, bay and doors are cut and hide nothing; the rest stands in its depth."""
    bodies = side_bodies()
    cut = [body for body in bodies if body.role == "door" or body.id == "airframe"]
    for body in cut:
        sheet.outline(outline(body))
    in_order(sheet, [*((_near(body), WIDE, outline(body)) for body in bodies if body not in cut), *_bars()])
    leg, piston = (outline(body) for body in bodies if body.id in ("leg", "piston"))
    sheet.outline(disc(at.AXLE, 8.4), width=NARROW, behind=piston)
    hidden_within(sheet, piston, leg)


def _near(body: Body) -> float:
    # The piston slides inside the leg: only its fork, lower down, is the nearer of the two.
    if body.depth is None or body.id == "piston":
        return -4.4
    return body.depth[0] if body.id != "wheel" else -4.3


def _bars() -> list[Solid]:
    """Jacks and rods, each with the near side of its depth."""
    return [
        rod(at.ROD_ON_LEG, at.SMALL_HORN, 1.8, -9.4),
        rod(at.VALVE_ON_LEG, at.valve_pin(), 1.5, 9.2),
        *jack(at.JACK_ANCHOR, at.JACK_ARM, at.JACK_CLOSED, 5.5, 2.5, -2.8),
        *jack(at.DOOR_JACK_ANCHOR, at.DOOR_JACK_ARM, at.DOOR_JACK_CLOSED, 4.5, 2.0, -11.8),
    ]


def _stowed(sheet: Sheet) -> None:
    """The far position of what moves, and the tracks there."""
    down = {body.id: outline(body) for body in side_bodies()}
    extended = {one: affinity.translate(down[one], 0.0, -at.STATIC) for one in ("piston", "wheel")}
    leg = shapely.union_all([down["leg"], extended["piston"]])
    ghosts(
        sheet,
        [
            *(affinity.rotate(one, at.RETRACTION, origin=at.LEG_PIVOT) for one in (leg, extended["wheel"])),
            affinity.rotate(down["brace-upper"], at.BRACE_TURN, origin=at.BRACE_ANCHOR),
            carried(down["brace-lower"], (at.ELBOW, at.BRACE_LUG), (at.STOWED_ELBOW, at.STOWED_LUG)),
            affinity.rotate(down["main-door"], at.MAIN_OPEN, origin=at.MAIN_HINGE),
            affinity.rotate(down["small-door"], -at.SMALL_OPEN, origin=at.SMALL_HINGE),
            affinity.rotate(down["hook"], -at.HOOK_OPEN, origin=at.HOOK_PIVOT),
        ],
    )
    track(sheet, at.LEG_PIVOT, (at.AXLE[0], at.AXLE[1] - at.STATIC), at.RETRACTION)
    track(sheet, at.MAIN_HINGE, (at.MAIN_EDGES[1], at.keel(at.MAIN_EDGES[1])), at.MAIN_OPEN)


def _pins(sheet: Sheet) -> None:
    pins = (
        (at.LEG_PIVOT, 2.5), (at.BRACE_ANCHOR, 1.5), (at.ELBOW, 1.25), (at.BRACE_LUG, 1.25), (at.JACK_ANCHOR, 1.0),
        (at.JACK_ARM, 1.0), (at.MAIN_HINGE, 0.5), (at.SMALL_HINGE, 0.5), (at.DOOR_JACK_ANCHOR, 0.75),
        (at.DOOR_JACK_ARM, 0.75), (at.HOOK_PIVOT, 1.0), (at.LEG_TORQUE_PIN, 0.75), (at.TORQUE_APEX, 0.6),
        (at.FORK_TORQUE_PIN, 0.75), (at.AXLE, 1.5), (at.ROD_ON_LEG, 0.6), (at.SMALL_HORN, 0.6), (at.ROLLER, 0.8),
        (at.STOWED_ROLLER, 0.8), (at.VALVE_PIVOT, 0.75), (at.valve_pin(), 0.6),
    )  # fmt: skip
    for point, radius in pins:
        sheet.pin(point, radius)
    sheet.line([(0.0, 14.0), (0.0, -98.0)], width=1.0, pattern=CENTRE)
    sheet.line([at.LEG_PIVOT, polar(at.LEG_PIVOT, 108.0, 270.0 + at.RETRACTION)], width=1.0, pattern=CENTRE)
    for one, other in ((at.BRACE_ANCHOR, at.BRACE_LUG), (at.JACK_ANCHOR, at.JACK_ARM)):
        sheet.line([one, other], width=1.0, pattern=CENTRE)


def _ground(sheet: Sheet) -> None:
    sheet.line([(-34.0, at.GROUND), (60.0, at.GROUND)])
    sheet.hatch((-34.0, at.GROUND), (60.0, at.GROUND))
    sheet.text("STATIC GROUND LINE", (26.0, at.GROUND + 1.2), height=12.0)


def _side_sizes(sheet: Sheet) -> None:
    sheet.dimension(at.AXLE, (at.AXLE[0], 0.0), _full(-at.AXLE[1]), offset=-46.0)
    sheet.dimension((0.0, at.GROUND), (0.0, 0.0), _full(-at.GROUND), offset=-60.0)
    sheet.dimension((-112.0, 22.0), (20.4, 22.0), _full(132.4), offset=20.6)
    sheet.dimension((0.0, at.GROUND - 1.6), (at.AXLE[0], at.GROUND - 1.6), _full(at.AXLE[0]), offset=-4.4, height=12.0)
    sheet.arc(at.LEG_PIVOT, 52.0, 270.0, 270.0 + at.RETRACTION)
    sheet.arrow(polar(at.LEG_PIVOT, 52.0, 270.0), 0.0)
    sheet.arrow(polar(at.LEG_PIVOT, 52.0, 270.0 + at.RETRACTION), 180.0 + at.RETRACTION)
    sheet.text(f"{-at.RETRACTION:.0f} DEG", polar(at.LEG_PIVOT, 51.0, 238.0), turn=-32.0, across=0.5)


def _side_notes(sheet: Sheet) -> None:
    barrel = polar(at.JACK_ANCHOR, 12.0, bearing(at.JACK_ANCHOR, at.JACK_ARM))
    door = turned((-66.0, at.keel(-66.0)), at.MAIN_OPEN, at.MAIN_HINGE)
    small = turned((-18.0, at.keel(-18.0)), at.SMALL_OPEN, at.SMALL_HINGE)
    tyre = polar(at.AXLE, at.TYRE_RADIUS, 148.0)
    stroke = f"OLEO STROKE {_full(at.FULL_STROKE)}, STATIC {_full(at.STATIC)} IN"
    sheet.leader((2.0, 1.5), (27.0, 18.0), "LEG PIVOT FS 2520 WL -120")
    sheet.leader(tyre, (-26.0, -77.0), f"TYRE {_full(2 * at.TYRE_RADIUS)} DIA, {_full(9.0)} WIDE")
    sheet.leader((-2.9, -49.0), (-20.0, -58.0), stroke)
    sheet.leader(at.ELBOW, (-44.0, -34.0), "DRAG BRACE, LOCKED PAST STRAIGHT")
    sheet.leader(barrel, (27.0, 33.0), f"BRACE JACK, STROKE {_full(at.JACK_DOWN - at.JACK_UP)}")
    sheet.leader((at.HOOK_PIVOT[0] - 2.0, at.HOOK_PIVOT[1] + 2.4), (-64.0, 45.6), "UPLOCK HOOK")
    sheet.leader(door, (-96.0, -62.0), f"MAIN DOOR OPEN {-at.MAIN_OPEN:.0f} DEG")
    sheet.leader(small, (40.0, -70.0), "SMALL DOOR")
    sheet.leader((-107.0, 6.0), (-128.0, 24.0), "DOOR JACK")
    sheet.leader((-84.2, 6.8), (-62.0, -10.0), "STOWED, EXTENDED")


# ---- plan --------------------------------------------------------------------------------------------------------


def plan_sheet() -> Sheet:
    sheet = Sheet(SIZE, 24.0, (-48.0, 30.0))
    furniture.frame(sheet)
    note = "FROM ABOVE, NOSE TO THE LEFT, STARBOARD UP"
    furniture.title(sheet, TITLE, "PLAN ON STEERING, LEG DOWN", note, "SHEET 2 OF 2")
    furniture.ticks_across(sheet, 1512, range(2100, 2651, 50), at.from_station, "FS", 100)
    furniture.ticks_up(sheet, 60, range(-200, 301, 50), lambda full: full / at.SCALE, "BL", 100)
    furniture.scale_bar(sheet, 190, 1440, full_size=100.0, parts=3, scale=at.SCALE)
    _turned_ghosts(sheet)
    _plan_in_order(sheet)
    _plan_pins(sheet)
    _plan_sizes(sheet)
    return sheet


def _plan_in_order(sheet: Sheet) -> None:
    """From above: jack, casing and collar, and what they hide of fork and wheel in dashed line."""
    bodies = {body.id: outline(body) for body in plan_bodies()}
    downward = ("steer-casing", "collar", "fork-plan", "wheel-plan")
    solids = [(float(i + 1), WIDE, bodies[one]) for i, one in enumerate(downward)]
    in_order(sheet, [*jack(at.STEER_ANCHOR, at.STEER_ARM, at.STEER_CLOSED, 4.0, 1.8, 0.0), *solids])
    for one in ("fork-plan", "wheel-plan"):
        sheet.outline(bodies[one], width=NARROW, pattern=HIDDEN)


def _turned_ghosts(sheet: Sheet) -> None:
    turned_bodies = [outline(body) for body in plan_bodies() if body.id in ("collar", "wheel-plan")]
    for turn in (at.STEER_LOCK, -at.STEER_LOCK):
        ghosts(sheet, [affinity.rotate(one, turn, origin=(0.0, 0.0)) for one in turned_bodies])


def _plan_pins(sheet: Sheet) -> None:
    for point, radius in ((at.STEER_ANCHOR, 0.75), (at.STEER_ARM, 0.75), ((18.0, 0.0), 0.6), ((0.0, 0.0), 2.9)):
        sheet.pin(point, radius)
    sheet.line([(-42.0, 0.0), (40.0, 0.0)], width=1.0, pattern=CENTRE)
    sheet.line([(0.0, -22.0), (0.0, 22.0)], width=1.0, pattern=CENTRE)
    sheet.line([(at.AXLE[0], -9.0), (at.AXLE[0], 9.0)], width=1.0, pattern=CENTRE)


def _plan_sizes(sheet: Sheet) -> None:
    for turn in (at.STEER_LOCK, -at.STEER_LOCK):
        sheet.line([(0.0, 0.0), turned((30.0, 0.0), turn)], width=1.0, pattern=CENTRE)
        sheet.arc((0.0, 0.0), 27.0, 0.0, turn)
        sheet.arrow(polar((0.0, 0.0), 27.0, turn), turn + (90.0 if turn > 0 else -90.0))
        sheet.text(f"{at.STEER_LOCK:.0f} DEG", polar((0.0, 0.0), 27.8, turn / 2.0), height=18.0)
    sheet.dimension((at.STEER_ANCHOR[0], 8.0), (0.0, 8.0), _full(-at.STEER_ANCHOR[0]), offset=8.0, height=18.0)
    sheet.dimension((0.0, 0.0), at.STEER_ARM, _full(at.STEER_ARM[1]), offset=32.0, height=18.0)
    sheet.dimension((20.0, -4.5), (20.0, 4.5), _full(9.0), offset=-18.0, height=18.0)
    stroke = f"STEERING JACK, STROKE {_full(at.STEER_RIGHT - at.STEER_LEFT)}"
    sheet.leader((-12.0, 10.2), (-18.0, 21.0), stroke, height=18.0)
    sheet.leader((2.0, 8.0), (8.0, 20.0), "STEERING COLLAR", height=18.0)
    sheet.leader((-16.0, 2.2), (-24.0, -10.0), "LEG CASING", height=18.0)
    sheet.leader((14.0, -4.5), (19.0, -18.0), "NOSEWHEEL", height=18.0)
    sheet.leader((15.0, 2.8), (24.0, 20.0), "TORQUE LINK", height=18.0)
    sheet.leader((-3.0, -7.0), (-8.0, -16.0), "FORK", height=18.0)
