"""A body that is carried comes to rest as a builder would lay it down."""

from __future__ import annotations

import math

import pytest

from core.document.project import Aircraft, Body, Circle, Pivot, Polygon, Project, Rod, View
from core.sketch.carrying import Carried, turned
from core.sketch.snap_targets import Kind
from core.sketch.snapping import EVERY_KIND


def box(left: float, low: float, right: float, high: float) -> Polygon:
    return Polygon(points=((left, low), (right, low), (right, high), (left, high)))


def project() -> Project:
    return Project(
        aircraft=Aircraft(name="Merrow T.2"),
        views=(View(id="side", plane="side"),),
        bodies=(
            Body(id="bay", view="side", fixed=True, shapes=(box(0, 0, 40, 10),)),
            Body(id="lever", view="side", shapes=(box(60, 0, 64, 20), Circle(centre=(62.0, 10.0), radius=1.0))),
            Body(id="boss", view="side", shapes=(Circle(centre=(100.0, 50.0), radius=3.0),)),
        ),
        connections=(
            Pivot(id="hinge", bodies=("bay", "lever"), at=(61.3, 2.7)),
            Rod(id="rod", bodies=("lever", "boss"), ends=((63.1, 18.9), (100.0, 46.2))),
        ),
    )


def carried(poses=None, *, held_at=(62.0, 15.0), kinds=EVERY_KIND) -> Carried:
    return Carried(
        project(), "side", ["lever"], leading=["lever"], held_at=held_at, poses=poses or {}, kinds=kinds
    )  # fmt: skip


@pytest.mark.parametrize(
    ("own", "place", "kind"),
    [
        ((60.0, 0.0), (40.0, 10.0), Kind.CORNER),
        ((62.0, 10.0), (100.0, 50.0), Kind.CENTRE),
        ((61.3, 2.7), (100.0, 50.0), Kind.CENTRE),
        ((63.1, 18.9), (0.0, 0.0), Kind.CORNER),
        ((64.0, 20.0), (20.0, 10.0), Kind.MIDDLE),
    ],
)
def test_its_own_places_come_to_rest_at_those_of_others(own, place, kind):
    way = (place[0] - own[0], place[1] - own[1])
    found = carried().rest((way[0] + 0.2, way[1] - 0.3), 0.5, 1.0)
    assert found is not None
    assert found.way == pytest.approx(way)
    assert (found.snap.kind, found.snap.at) == (kind, pytest.approx(place))


def test_what_goes_along_is_no_place_to_rest_at():
    points = EVERY_KIND - {Kind.DIRECTION}
    assert carried(kinds=points).rest((0.1, 0.1), 0.05, None) is None, "neither its own corners nor its hinge"
    to_the_rods_end = (100.0 - 60.0, 46.2 - 0.0)
    assert carried(kinds=points).rest(to_the_rods_end, 0.05, None) is None


def test_what_the_hand_holds_comes_to_rest_on_edges_and_in_line():
    found = carried(held_at=(60.2, 0.1)).rest((-26.7, 10.2), 0.5, None)
    assert found is not None
    assert (found.snap.kind, found.way) == (Kind.EDGE, pytest.approx((-26.7, 10.0)))
    level = carried(held_at=(60.2, 0.1)).rest((7.3, 0.2), 0.5, None)
    assert level is not None
    assert (level.snap.kind, level.way) == (Kind.DIRECTION, pytest.approx((7.3, 0.0)))
    steps = carried(held_at=(60.2, 0.1)).rest((7.3, 0.2), 0.5, 1.0)
    assert steps is not None
    assert steps.way == pytest.approx((7.0, 0.0))


def test_a_kind_that_is_switched_off_is_passed_over():
    way = (-20.0, 10.0)
    found = carried(kinds=EVERY_KIND - {Kind.CORNER}).rest(way, 0.5, None)
    assert found is None or found.snap.kind is not Kind.CORNER
    assert carried(kinds=frozenset({Kind.GRID})).rest(way, 0.5, 1.0) is None


def test_bodies_are_brought_together_where_they_stand():
    poses = {"lever": (0.0, 0.0, math.pi / 2.0), "bay": (5.0, 0.0, 0.0)}
    stands = (0.0, 60.0)  # the corner drawn at (60, 0), a quarter turn on
    found = carried(poses, held_at=(-10.0, 62.0)).rest((45.2 - stands[0], 9.9 - stands[1]), 0.5, None)
    assert found is not None
    assert found.snap.at == pytest.approx((45.0, 10.0))
    assert turned(found.way, -math.pi / 2.0) == pytest.approx((-50.0, -45.0))


def test_nothing_to_rest_at_is_no_trouble():
    alone = Project(aircraft=Aircraft(name="Alone"), bodies=(Body(id="lever", view="side", shapes=(box(0, 0, 1, 1),)),))
    one = Carried(alone, "side", ["lever"], leading=["lever"], held_at=(0, 0), poses={}, kinds=frozenset({Kind.CORNER}))
    assert one.rest((3.0, 4.0), 1.0, 1.0) is None
