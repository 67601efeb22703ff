"""The Pellow's reference drawings: the stern on its centre line, and at the transom's port corner."""

from __future__ import annotations

from shapely import affinity

from core.document.project import Body, View
from core.geometry.outlines import outline
from sample_projects.tools import furniture
from sample_projects.tools import pellow_layout as at
from sample_projects.tools.composition import Solid, ghosts, in_order, jack, rod, traced, track
from sample_projects.tools.draughting import CENTRE, WIDE, Sheet
from sample_projects.tools.pellow_3 import rudder_bodies, tail_bodies
from sample_projects.tools.plane import Point, bearing, polar, turned

SIZE = (2400, 1600)
TITLE = "PELLOW 3 - TAILWHEEL AND WATER-RUDDER"
SCALE, CORNER = 7.0, (-146.0, 90.0)
KNOWN: tuple[Point, ...] = ((0.0, 0.0), at.TUBE, (-100.0, 0.0), (0.0, at.GROUND))


def side_view(sheet: Sheet) -> View:
    return View(id="side", name="Tailwheel on the centre line", plane="side", drawing=traced("side", sheet, KNOWN))


def corner_view(sheet: Sheet) -> View:
    return View(
        id="corner", name="Water-rudder on the port corner", plane="side", drawing=traced("corner", sheet, KNOWN)
    )


def _sheet(subject: str, note: str, number: str) -> Sheet:
    sheet = Sheet(SIZE, SCALE, CORNER)
    furniture.frame(sheet)
    furniture.title(sheet, TITLE, subject, note, number)
    furniture.ticks_across(sheet, 1512, range(6400, 7501, 50), at.from_station, "FS", 200)
    furniture.ticks_up(sheet, 60, range(0, 801, 50), at.from_waterline, "WL", 200)
    furniture.scale_bar(sheet, 200, 1440, full_size=200.0, parts=4, scale=at.SCALE)
    return sheet


def _full(millimetres: float) -> str:
    return f"{at.SCALE * millimetres:.0f}"


def _fixed_and_moving(sheet: Sheet, bodies: tuple[Body, ...]) -> list[Solid]:
    """Draws what is cut; answers with what stands in its depth."""
    for body in bodies:
        if body.id in ("hull", "transom"):
            sheet.outline(outline(body))
    return [
        (body.depth[0], WIDE, outline(body)) for body in bodies if body.depth and body.id not in ("hull", "transom")
    ]


def side_sheet() -> Sheet:
    sheet = _sheet("SIDE ELEVATION ON CENTRE LINE", "TAILWHEEL DOWN, STATIC", "SHEET 1 OF 2")
    bodies = {body.id: outline(body) for body in tail_bodies()}
    swung = (bodies["leg"], bodies["wheel"])
    ghosts(
        sheet,
        [
            *(affinity.rotate(one, at.SWING, origin=at.LEG_PIVOT) for one in swung),
            affinity.rotate(bodies["crank"], at.TUBE_TURN, origin=at.TUBE),
        ],
    )
    track(sheet, at.LEG_PIVOT, at.AXLE, at.SWING)
    solids = _fixed_and_moving(sheet, tail_bodies())
    in_order(sheet, [*solids, *jack(at.JACK_ANCHOR, at.JACK_ARM, at.JACK_CLOSED, 7.0, 3.0, -10.0)])
    for point, radius in (
        (at.LEG_PIVOT, 2.0), (at.AXLE, 1.5), (at.TUBE, 2.5), (at.CRANK_PIN, 1.4), (at.JACK_ANCHOR, 1.25),
        (at.JACK_ARM, 1.25),
    ):  # fmt: skip
        sheet.pin(point, radius)
    _side_sizes(sheet)
    return sheet


def _side_sizes(sheet: Sheet) -> None:
    sheet.line([(-110.0, at.GROUND), (70.0, at.GROUND)])
    sheet.hatch((-110.0, at.GROUND), (70.0, at.GROUND))
    sheet.text("STATIC GROUND LINE", (-100.0, at.GROUND + 1.6), height=12.0)
    for turn in (0.0, at.SWING):
        end = polar(at.LEG_PIVOT, at.LEG_LENGTH + 22.0, at.LEG_BEARING + turn)
        sheet.line([at.LEG_PIVOT, end], width=1.0, pattern=CENTRE)
    sheet.line([at.TUBE, at.LEG_PIVOT], width=1.0, pattern=CENTRE)
    sheet.arc(at.LEG_PIVOT, 76.0, at.LEG_BEARING, at.LEG_BEARING + at.SWING)
    sheet.arrow(polar(at.LEG_PIVOT, 76.0, at.LEG_BEARING), at.LEG_BEARING - 90.0)
    sheet.arrow(polar(at.LEG_PIVOT, 76.0, at.LEG_BEARING + at.SWING), at.LEG_BEARING + at.SWING + 90.0)
    sheet.text(f"{at.SWING:.0f} DEG", polar(at.LEG_PIVOT, 78.0, -24.0), height=16.0)
    sheet.dimension(at.LEG_PIVOT, at.AXLE, _full(at.LEG_LENGTH), offset=-20.0)
    sheet.dimension((0.0, at.GROUND), (0.0, 0.0), _full(-at.GROUND), offset=22.0)
    sheet.leader(at.CRANK_PIN, (30.0, 66.0), "CRANK SQUARE TO ITS SLOT AT BOTH ENDS")
    sheet.leader((-1.6, 26.0), (-18.0, 66.0), "TORQUE TUBE FS 7200 WL 544")
    sheet.leader((-38.0, 29.0), (-44.0, 6.0), f"JACK, STROKE {_full(at.JACK_UP - at.JACK_DOWN)}")
    sheet.leader((-1.6, -1.4), (-30.0, -26.0), "TAILWHEEL PIVOT FS 7200 WL 400")
    sheet.leader(
        polar(at.AXLE, at.TYRE_RADIUS, 210.0),
        (-8.0, -56.0),
        f"TYRE {_full(2.0 * at.TYRE_RADIUS)} DIA, {_full(7.0)} WIDE",
    )


def corner_sheet() -> Sheet:
    sheet = _sheet("SIDE ELEVATION AT TRANSOM, PORT", "RUDDER DOWN", "SHEET 2 OF 2")
    bodies = {body.id: outline(body) for body in rudder_bodies()}
    ghosts(
        sheet,
        [
            affinity.rotate(bodies["lever"], at.TUBE_TURN, origin=at.TUBE),
            affinity.rotate(bodies["rudder"], at.RUDDER_LIFT, origin=at.RUDDER_HINGE),
        ],
    )
    foot = (at.RUDDER_HINGE[0] + 7.0, at.RUDDER_HINGE[1] - 62.0)
    track(sheet, at.RUDDER_HINGE, foot, at.RUDDER_LIFT)
    solids = _fixed_and_moving(sheet, rudder_bodies())
    in_order(sheet, [*solids, rod(at.LEVER_PIN, at.HORN_PIN, 2.4, -6.4)])
    for point, radius in ((at.TUBE, 2.5), (at.LEVER_PIN, 1.0), (at.HORN_PIN, 1.0), (at.RUDDER_HINGE, 1.5)):
        sheet.pin(point, radius)
    lifted = turned(at.HORN_PIN, at.RUDDER_LIFT, at.RUDDER_HINGE)
    sheet.line([turned(at.LEVER_PIN, at.TUBE_TURN, at.TUBE), lifted], width=1.0, pattern=CENTRE)
    sheet.text(f"{at.RUDDER_LIFT:.0f} DEG", polar(at.RUDDER_HINGE, 65.0, -40.0), height=16.0)
    sheet.leader((-1.6, 26.0), (-18.0, 66.0), "TORQUE TUBE FS 7200 WL 544")
    sheet.leader((50.0, 22.0), (32.0, -5.0), f"RUDDER ROD {_full(at.RUDDER_ROD)} BETWEEN PINS")
    sheet.leader((97.0, -30.0), (60.0, -40.0), "WATER-RUDDER")
    sheet.dimension(at.TUBE, (at.RUDDER_HINGE[0], at.TUBE[1]), _full(at.RUDDER_HINGE[0]), offset=32.0)
    sheet.dimension(
        (at.RUDDER_HINGE[0], at.RUDDER_HINGE[1]), (at.RUDDER_HINGE[0], at.TUBE[1]), _full(12.0), offset=-28.0
    )
    sheet.arc(at.TUBE, 20.0, bearing(at.TUBE, at.LEVER_PIN), bearing(at.TUBE, at.LEVER_PIN) + at.TUBE_TURN)
    sheet.arrow(polar(at.TUBE, 20.0, at.TUBE_TURN), at.TUBE_TURN - 90.0)
    sheet.text(f"{-at.TUBE_TURN:.0f} DEG", polar(at.TUBE, 23.0, -56.0), height=14.0)
    return sheet
