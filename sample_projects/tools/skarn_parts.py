"""The outlines of the Skarn's port main undercarriage, as drawn."""

from __future__ import annotations

from core.document.project import Body, Polygon
from sample_projects.tools import skarn_layout as at
from sample_projects.tools.plane import Point, bearing, polar
from sample_projects.tools.shapes import disc, link, rounded, spot, wall

SKIN = 2.0


def bodies() -> tuple[Body, ...]:
    return (_airframe(), _brackets(), _leg(), _wheel(), *_brace(), _wheel_door(), _inner_door())


def _airframe() -> Body:
    """Bay walls and the lower skin on either side of the doors; on the roof the catch that holds the leg up."""
    inboard, outboard = -299.0, 38.0
    bay = [
        (inboard, at.skin(inboard) + SKIN), (inboard, 42.0), (-160.0, 45.0), (-92.0, 50.0), (outboard, 50.0),
        (outboard, at.skin(outboard) + SKIN),
    ]  # fmt: skip
    middle = SKIN / 2.0
    return Body(
        id="airframe", name="Spar web and bay walls", view="front", role="structure", fixed=True, depth=(-64.0, 64.0),
        shapes=(
            wall(bay, 1.6),
            wall([(-345.0, at.skin(-345.0) + middle), (-289.7, at.skin(-289.7) + middle)], SKIN),
            wall([(30.0, at.skin(30.0) + middle), (95.0, at.skin(95.0) + middle)], SKIN),
            _catch(),
        ),
    )  # fmt: skip


def _catch() -> Polygon:
    """A sprung jaw hanging from the roof about the stowed roller."""
    x, y = at.STOWED_ROLLER
    return rounded(
        [
            (x - 11.0, 47.4, 0.0), (x - 8.0, y - 3.0, 2.0), (x - 4.4, y - 5.0, 1.0), (x - 4.2, y + 2.0, 2.0),
            (x, y + 4.4, 3.0), (x + 4.2, y + 2.0, 2.0), (x + 4.4, y - 5.0, 1.0), (x + 7.0, y - 3.0, 2.0),
            (x + 7.0, 48.6, 0.0),
        ]
    )  # fmt: skip


def _brackets() -> Body:
    leg_plate = rounded([(-26.0, 49.6, 0.0), (-16.0, -6.0, 14.0), (16.0, -6.0, 14.0), (19.0, 49.6, 0.0)])
    jack_plate = rounded([(14.0, 49.6, 0.0), (18.0, 33.0, 6.0), (33.0, 33.0, 6.0), (37.0, 49.6, 0.0)])
    brace_plate = rounded([(-116.0, 47.8, 0.0), (-103.0, 28.0, 7.0), (-88.0, 28.0, 7.0), (-74.0, 49.6, 0.0)])
    door_plate = rounded([(-298.4, 43.0, 0.0), (-298.4, 25.0, 0.0), (-275.0, 28.0, 5.0), (-275.0, 41.0, 5.0)])
    return Body(
        id="brackets", name="Pin brackets", view="front", role="structure", fixed=True, depth=(56.0, 64.0),
        shapes=(leg_plate, jack_plate, brace_plate, door_plate),
    )  # fmt: skip


def _leg() -> Body:
    casing = rounded(
        [
            (-10.0, -6.0, 0.0), (-8.6, -70.0, 8.0), (-8.0, -104.0, 0.0), (-9.6, -105.5, 0.6), (-9.6, -117.0, 1.0),
            (9.6, -117.0, 1.0), (9.6, -105.5, 0.6), (8.0, -104.0, 0.0), (8.6, -70.0, 8.0), (10.0, -6.0, 0.0),
        ]
    )  # fmt: skip
    return Body(
        id="leg", name="Main leg", view="front", role="leg", depth=(-9.0, 9.0), mass=410.0,
        centre_of_mass=(-1.0, -58.0),
        shapes=(
            casing,
            disc(at.LEG_PIVOT, 13.0),
            link((-4.0, -83.0), 8.0, at.BRACE_LUG, 5.0),
            link((-6.0, -111.0), 6.0, at.ROLLER, at.ROLLER_RADIUS),
            link((5.0, -18.0), 6.0, at.DOOR_HINGE, 3.0),
            link((5.0, -97.0), 5.0, at.TRIM_ON_LEG, 2.6),
        ),
    )  # fmt: skip


def _wheel() -> Body:
    """Piston, stub axle and the wheel seen edge on: in this view the wheel does not turn on its axle."""
    x, y = at.AXLE
    half, radius = at.TYRE_WIDTH / 2.0, at.TYRE_RADIUS
    tyre = rounded(
        [
            (x - half, y - radius, 11.0),
            (x + half, y - radius, 11.0),
            (x + half, y + radius, 11.0),
            (x - half, y + radius, 11.0),
        ]
    )
    return Body(
        id="wheel", name="Piston and wheel", view="front", role="wheel", depth=(-50.0, 50.0), mass=780.0,
        centre_of_mass=(-18.0, -170.0),
        shapes=(
            rounded([(-5.6, -70.0, 1.0), (-5.6, -182.0, 0.0), (5.6, -182.0, 0.0), (5.6, -70.0, 1.0)]),
            link((0.0, y), 8.0, (x + half + 2.0, y), 6.0),
            tyre,
            rounded([(x - half - 2.5, y - 12.0, 2.0), (x - half + 1.0, y - 12.0, 0.0), (x - half + 1.0, y + 12.0, 0.0),
                     (x - half - 2.5, y + 12.0, 2.0)]),
        ),
    )  # fmt: skip


def _brace() -> tuple[Body, Body]:
    crook = polar(at.BRACE_ANCHOR, 24.0, bearing(at.BRACE_ANCHOR, at.ELBOW) - 13.0)
    upper = (
        link(at.BRACE_ANCHOR, 7.5, at.ELBOW, 5.5),
        link(at.BRACE_ANCHOR, 7.5, at.JACK_ARM, 4.6),
        Polygon(
            points=(spot(at.BRACE_ANCHOR), spot(_part(at.JACK_ARM, 0.8)), spot(crook), spot(_part(at.ELBOW, 0.45)))
        ),
    )
    return (
        Body(id="brace-upper", name="Upper side brace", view="front", role="link", depth=(-9.5, -5.0), mass=70.0,
             shapes=upper),
        Body(id="brace-lower", name="Lower side brace", view="front", role="link", depth=(-14.5, -10.0), mass=60.0,
             shapes=(link(at.ELBOW, 5.5, at.BRACE_LUG, 5.0),)),
    )  # fmt: skip


def _part(end: Point, share: float) -> Point:
    """So far along from the brace's anchor to another point."""
    x, y = at.BRACE_ANCHOR
    return (x + share * (end[0] - x), y + share * (end[1] - y))


def _wheel_door() -> Body:
    outer, inner = at.DOOR_FACE, at.DOOR_FACE - SKIN
    top, foot = at.DOOR_ENDS
    panel = rounded([(inner, top, 0.0), (inner, foot, 0.0), (outer, foot, 0.0), (outer, top, 0.0)])
    return Body(
        id="wheel-door", name="Wheel door", view="front", role="door", depth=(-42.0, 42.0), mass=95.0,
        shapes=(
            panel,
            link((inner - 1.0, -18.0), 2.9, at.DOOR_HINGE, 2.4),
            link((inner - 1.0, -97.0), 2.9, at.TRIM_ON_DOOR, 2.0),
        ),
    )  # fmt: skip


def _inner_door() -> Body:
    start, end = at.INNER_EDGES
    panel = rounded(
        [
            (start, at.skin(start), 0.0),
            (end, at.skin(end), 0.0),
            (end, at.skin(end) + SKIN, 0.0),
            (start, at.skin(start) + SKIN, 0.0),
        ]
    )
    rib = rounded(
        [
            (start + 10.0, at.skin(start + 10.0) + 1.0, 0.0), (end - 4.0, at.skin(end - 4.0) + 1.0, 0.0),
            (end - 16.0, at.skin(end - 16.0) + 5.4, 8.0), (start + 30.0, at.skin(start + 30.0) + 6.4, 8.0),
        ]
    )  # fmt: skip
    horn = link((-275.0, at.skin(-275.0) + 5.0), 5.0, at.INNER_JACK_ARM, 3.6)
    return Body(
        id="inner-door", name="Inner door", view="front", role="door", depth=(-54.0, 54.0), mass=210.0,
        shapes=(panel, rib, disc(at.INNER_HINGE, 3.0), horn),
    )  # fmt: skip
