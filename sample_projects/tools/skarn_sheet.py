"""The Skarn's reference drawing: front elevation of the port main undercarriage."""

from __future__ import annotations

import shapely
from shapely import affinity

from core.document.project import View
from core.geometry.outlines import outline
from sample_projects.tools import furniture
from sample_projects.tools import skarn_layout as at
from sample_projects.tools.composition import carried, ghosts, hidden_within, in_order, jack, rod, traced, track
from sample_projects.tools.draughting import CENTRE, WIDE, Sheet
from sample_projects.tools.plane import Point, bearing, polar, turned
from sample_projects.tools.skarn_parts import bodies

SIZE = (2400, 1600)
KNOWN: tuple[Point, ...] = ((0.0, 0.0), (-300.0, 37.5), (0.0, at.GROUND), (-300.0, at.GROUND))
"""Leg pivot, the datum line on the aircraft's centre line, and the ground under both."""


def front_view(sheet: Sheet) -> View:
    return View(id="front", name="Front elevation", plane="front", drawing=traced("front", sheet, KNOWN))


def front_sheet() -> Sheet:
    sheet = Sheet(SIZE, 4.0, (-420.0, 95.0))
    furniture.frame(sheet)
    note = "FROM AHEAD, BAY WALL REMOVED. LEG DOWN AT STATIC"
    furniture.title(sheet, "SKARN P.9 - PORT MAIN UNDERCARRIAGE", "FRONT ELEVATION", note, "SHEET 1 OF 1")
    furniture.ticks_across(sheet, 1512, range(0, 2001, 100), at.from_buttock, "BL", 500)
    furniture.ticks_up(sheet, 60, range(-2000, 401, 100), at.from_waterline, "WL", 500)
    furniture.scale_bar(sheet, 700, 1440, full_size=250.0, parts=4, scale=at.SCALE)
    furniture.pin_list(sheet, 1880, 1050, _pin_table(), ("PIN, LEG DOWN", "BL", "WL"))
    _outlines(sheet)
    _stowed(sheet)
    _in_order(sheet)
    _pins(sheet)
    _sizes(sheet)
    _notes(sheet)
    return sheet


def _pin_table() -> list[tuple[str, float, float]]:
    named = (
        ("LEG PIVOT", at.LEG_PIVOT), ("AXLE, STATIC", at.AXLE), ("BRACE ANCHOR", at.BRACE_ANCHOR),
        ("BRACE LUG", at.BRACE_LUG), ("BRACE JACK", at.JACK_ANCHOR), ("INNER DOOR HINGE", at.INNER_HINGE),
        ("DOOR JACK", at.INNER_JACK_ANCHOR), ("UPLOCK ROLLER", at.ROLLER),
    )  # fmt: skip
    return [(name, at.buttock(x), at.waterline(y)) for name, (x, y) in named]


def _full(millimetres: float) -> str:
    return f"{at.SCALE * millimetres:.0f}"


def _outlines(sheet: Sheet) -> None:
    """Wing, belly and the aircraft's centre line."""
    outboard = 150.0
    sheet.line([(-345.0, at.skin(-345.0)), (-380.0, at.skin(-345.0) - 0.6)], width=WIDE)
    sheet.line([(95.0, at.skin(95.0)), (outboard, at.skin(outboard))], width=WIDE)
    sheet.line([(-200.0, 66.0), (outboard, 66.0 - 14.0)], width=WIDE)
    sheet.line([(-300.0, 84.0), (-300.0, at.GROUND - 6.0)], width=1.0, pattern=CENTRE)
    sheet.text("CENTRE LINE BL 0", (-301.4, -120.0), height=13.0, turn=90.0)
    sheet.line([(-392.0, 37.5), (outboard, 37.5)], width=1.0, pattern=CENTRE)
    sheet.text("FUSELAGE DATUM WL 0", (-388.0, 40.0), height=13.0)
    sheet.line([(-345.0, at.GROUND), (60.0, at.GROUND)])
    sheet.hatch((-345.0, at.GROUND), (60.0, at.GROUND))
    sheet.text("STATIC GROUND LINE", (-286.0, at.GROUND + 2.0), height=12.0)


def _in_order(sheet: Sheet) -> None:
    parts = bodies()
    for body in parts:
        if body.role == "door" or body.id == "airframe":
            sheet.outline(outline(body))
    standing = [body for body in parts if body.role != "door" and body.id != "airframe" and body.depth is not None]
    # The wheel's body is as deep as the tyre, but the leg stands before its piston.
    solids = [(-8.0 if body.id == "wheel" else body.depth[0], WIDE, outline(body)) for body in standing if body.depth]
    bars = [
        *jack(at.JACK_ANCHOR, at.JACK_ARM, at.JACK_CLOSED, 9.0, 4.5, -4.5),
        *jack(at.INNER_JACK_ANCHOR, at.INNER_JACK_ARM, at.INNER_JACK_CLOSED, 8.0, 4.0, -6.0),
        rod(at.TRIM_ON_LEG, at.TRIM_ON_DOOR, 3.0, 10.0),
    ]
    in_order(sheet, [*solids, *bars])
    leg, wheel = (outline(body) for body in parts if body.id in ("leg", "wheel"))
    hidden_within(sheet, wheel, leg)


def _stowed(sheet: Sheet) -> None:
    down = {body.id: outline(body) for body in bodies()}
    wheel = affinity.translate(down["wheel"], 0.0, -at.STATIC)
    swung = (shapely.union_all([down["leg"], wheel]), down["wheel-door"])
    ghosts(
        sheet,
        [
            *(affinity.rotate(one, at.RETRACTION, origin=at.LEG_PIVOT) for one in swung),
            affinity.rotate(down["brace-upper"], at.BRACE_TURN, origin=at.BRACE_ANCHOR),
            carried(down["brace-lower"], (at.ELBOW, at.BRACE_LUG), (at.STOWED_ELBOW, at.STOWED_LUG)),
            affinity.rotate(down["inner-door"], at.INNER_OPEN, origin=at.INNER_HINGE),
        ],
    )
    track(sheet, at.LEG_PIVOT, (at.AXLE[0], at.AXLE[1] - at.STATIC), at.RETRACTION)
    track(sheet, at.INNER_HINGE, (at.INNER_EDGES[1], at.skin(at.INNER_EDGES[1])), at.INNER_OPEN)


def _pins(sheet: Sheet) -> None:
    pins = (
        (at.LEG_PIVOT, 5.0), (at.BRACE_ANCHOR, 3.0), (at.ELBOW, 2.5), (at.BRACE_LUG, 2.5), (at.JACK_ANCHOR, 2.0),
        (at.JACK_ARM, 2.0), (at.INNER_HINGE, 1.2), (at.INNER_JACK_ANCHOR, 1.5), (at.INNER_JACK_ARM, 1.5),
        (at.DOOR_HINGE, 1.0), (at.TRIM_ON_LEG, 1.0), (at.TRIM_ON_DOOR, 1.0), (at.ROLLER, 1.8),
    )  # fmt: skip
    for point, radius in pins:
        sheet.pin(point, radius)
    sheet.line([(0.0, 22.0), (0.0, -206.0)], width=1.0, pattern=CENTRE)
    sheet.line([(at.AXLE[0] - 28.0, at.AXLE[1]), (14.0, at.AXLE[1])], width=1.0, pattern=CENTRE)
    sheet.line([(at.AXLE[0], at.AXLE[1] + 58.0), (at.AXLE[0], at.GROUND - 8.0)], width=1.0, pattern=CENTRE)
    sheet.line([at.LEG_PIVOT, polar(at.LEG_PIVOT, 268.0, 270.0 + at.RETRACTION)], width=1.0, pattern=CENTRE)
    for one, other in ((at.BRACE_ANCHOR, at.BRACE_LUG), (at.JACK_ANCHOR, at.JACK_ARM)):
        sheet.line([one, other], width=1.0, pattern=CENTRE)


def _sizes(sheet: Sheet) -> None:
    sheet.dimension((14.0, at.AXLE[1]), (14.0, 0.0), _full(-at.AXLE[1]), offset=-18.0)
    sheet.dimension((14.0, at.GROUND), (14.0, 0.0), _full(-at.GROUND), offset=-31.0)
    sheet.dimension((-300.0, 56.0), (0.0, 56.0), _full(300.0), offset=16.0)
    sheet.dimension((at.AXLE[0], at.GROUND - 1.0), (0.0, at.GROUND - 1.0), _full(-at.AXLE[0]), offset=-3.4, height=13.0)
    left = at.AXLE[0] - at.TYRE_WIDTH / 2.0
    sheet.dimension(
        (left, at.GROUND), (left, at.GROUND + 2 * at.TYRE_RADIUS), f"{_full(2 * at.TYRE_RADIUS)} DIA", offset=14.0
    )
    sheet.arc(at.LEG_PIVOT, 128.0, 270.0, 270.0 + at.RETRACTION)
    sheet.arrow(polar(at.LEG_PIVOT, 128.0, 270.0), 0.0)
    sheet.arrow(polar(at.LEG_PIVOT, 128.0, 270.0 + at.RETRACTION), 180.0 + at.RETRACTION)
    sheet.text(f"{-at.RETRACTION:.0f} DEG", polar(at.LEG_PIVOT, 124.0, 228.0), turn=-42.0, across=0.5)


def _notes(sheet: Sheet) -> None:
    barrel = polar(at.JACK_ANCHOR, 30.0, bearing(at.JACK_ANCHOR, at.JACK_ARM))
    door = turned((-200.0, at.skin(-200.0)), at.INNER_OPEN, at.INNER_HINGE)
    stroke = f"OLEO STROKE {_full(at.FULL_STROKE)}, STATIC {_full(at.STATIC)} IN"
    sheet.leader((3.6, 3.4), (54.0, 24.0), "LEG PIVOT BL 2400 WL -300")
    sheet.leader(barrel, (54.0, 70.0), f"BRACE JACK, STROKE {_full(at.JACK_DOWN - at.JACK_UP)}")
    sheet.leader(at.ELBOW, (-104.0, -62.0), "SIDE BRACE, LOCKED PAST STRAIGHT")
    sheet.leader((-5.6, -128.0), (-56.0, -122.0), stroke)
    sheet.leader((22.0, -70.0), (54.0, -60.0), "WHEEL DOOR")
    sheet.leader(door, (-262.0, -128.0), f"INNER DOOR OPEN {-at.INNER_OPEN:.0f} DEG")
    sheet.leader((at.STOWED_ROLLER[0] - 6.0, 36.0), (-140.0, 58.0), "UPLOCK CATCH")
    sheet.leader((-279.0, 14.0), (-330.0, 8.0), "DOOR JACK")
    sheet.leader((-200.0, 14.0), (-216.0, -46.0), "STOWED, EXTENDED")
