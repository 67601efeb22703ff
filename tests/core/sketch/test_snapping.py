"""A point of the hand means what a builder would say it means."""

from __future__ import annotations

import math

import pytest

from core.document.project import Aircraft, Body, Circle, Pivot, Polygon, Project, Rod, View
from core.sketch.snap_targets import Kind, snap_targets
from core.sketch.snapping import EVERY_KIND, meeting, snap

BOX = Polygon(points=((0.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)))


def project():
    return Project(
        aircraft=Aircraft(name="Merrow T.2"),
        views=(View(id="side", plane="side"), View(id="front", plane="front")),
        bodies=(
            Body(id="frame", view="side", shapes=(BOX,)),
            Body(id="door", view="side", shapes=(Circle(centre=(20.0, 0.0), radius=4.0),)),
            Body(id="bent", view="side", shapes=(Polygon(points=((30.0, 0.0, 1.0), (34.0, 0.0))),)),
            Body(id="other", view="front", shapes=(Circle(centre=(5.0, 3.0), radius=1.0),)),
        ),
        connections=(
            Pivot(id="hinge", bodies=("frame", "door"), at=(10.2, 3.0)),
            Rod(id="rod", bodies=("frame", "door"), ends=((2.0, 3.0), (19.0, 1.0))),
        ),
    )


TARGETS = snap_targets(project(), "side")


@pytest.mark.parametrize(
    ("point", "kind", "at"),
    [
        ((0.3, 0.2), Kind.CORNER, (0.0, 0.0)),
        ((4.8, 0.2), Kind.MIDDLE, (5.0, 0.0)),
        ((10.0, 2.9), Kind.PIVOT, (10.2, 3.0)),
        ((2.2, 3.1), Kind.PIVOT, (2.0, 3.0)),
        ((20.2, -0.1), Kind.CENTRE, (20.0, 0.0)),
        ((2.0, 0.3), Kind.EDGE, (2.0, 0.0)),
        ((20.0, 4.3), Kind.EDGE, (20.0, 4.0)),
        ((32.0, -2.2), Kind.MIDDLE, (32.0, -2.0)),
        ((5.0, 3.0), Kind.NOTHING, (5.0, 3.0)),
    ],
)
def test_what_a_point_snaps_to(point, kind, at):
    found = snap(point, targets=TARGETS, reach=0.5)
    assert (found.kind, found.at) == (kind, pytest.approx(at))


def test_the_missing_half_of_an_arc_is_not_there():
    assert snap((32.0, 2.1), targets=TARGETS, reach=0.5).kind is Kind.NOTHING


def test_from_a_start_right_directions_are_found():
    level = snap((4.0, 20.3), targets=TARGETS, reach=0.5, start=(-3.0, 20.0))
    assert (level.kind, level.at, level.along) == (Kind.DIRECTION, (4.0, 20.0), ((-3.0, 20.0), (4.0, 20.0)))
    slant = snap((2.1, 25.0), targets=TARGETS, reach=0.5, start=(-3.0, 20.0))
    assert slant.kind is Kind.DIRECTION
    assert slant.at[0] + 3.0 == pytest.approx(slant.at[1] - 20.0)


def test_along_a_direction_lengths_are_whole_steps():
    found = snap((4.3, 20.2), targets=TARGETS, reach=0.5, start=(-3.0, 20.0), grid=1.0)
    assert (found.kind, found.at) == (Kind.DIRECTION, (4.0, 20.0))
    fine = snap((4.3, 20.02), targets=TARGETS, reach=0.1, start=(-3.0, 20.0), grid=1.0)
    assert fine.at == pytest.approx((4.3, 20.0)), "no whole step is near"


def test_on_a_level_edge_the_grid_says_where():
    found = snap((2.2, 0.3), targets=TARGETS, reach=0.5, grid=1.0)
    assert (found.kind, found.at) == (Kind.EDGE, (2.0, 0.0))


def test_square_to_the_edge_that_one_begins_at():
    tilted = Polygon(points=((0.0, 0.0), (4.0, 3.0), (3.0, 30.0)))
    base = project()
    there = snap_targets(
        Project(aircraft=base.aircraft, views=base.views, bodies=(Body(id="a", view="side", shapes=(tilted,)),)), "side"
    )
    found = snap((7.1, -0.9), targets=there, reach=0.5, start=(4.0, 3.0))
    assert found.kind is Kind.DIRECTION
    assert (found.at[0] - 4.0) * 4.0 + (found.at[1] - 3.0) * 3.0 == pytest.approx(0.0, abs=1e-9)


def test_a_right_direction_that_meets_an_edge_means_both():
    found = snap((10.2, 2.1), targets=TARGETS.without(["hinge"]), reach=0.5, start=(14.0, 2.0))
    assert (found.kind, found.at) == (Kind.CROSSING, pytest.approx((10.0, 2.0)))


def test_the_grid_comes_last():
    assert snap((50.1, 49.8), targets=TARGETS, reach=0.5, grid=1.0).at == (50.0, 50.0)
    assert snap((50.4, 49.6), targets=TARGETS, reach=0.5, grid=1.0).kind is Kind.NOTHING


@pytest.mark.parametrize(
    ("point", "without", "kind"),
    [
        ((0.3, 0.2), {Kind.CORNER}, Kind.EDGE),
        ((4.8, 0.2), {Kind.MIDDLE}, Kind.EDGE),
        ((10.1, 2.9), {Kind.PIVOT, Kind.MIDDLE}, Kind.EDGE),
        ((20.2, -0.1), {Kind.CENTRE}, Kind.GRID),
        ((2.0, 0.3), {Kind.EDGE}, Kind.GRID),
        ((2.0, 0.3), {Kind.EDGE, Kind.GRID}, Kind.NOTHING),
        ((0.1, 0.1), frozenset(Kind), Kind.NOTHING),
    ],
)
def test_what_is_switched_off_is_not_snapped_to(point, without, kind):
    assert snap(point, targets=TARGETS, reach=0.5, grid=1.0, kinds=EVERY_KIND - without).kind is kind


def test_directions_and_crossings_are_switched_off_by_themselves():
    start, at = (14.0, 2.0), (10.2, 2.1)
    targets = TARGETS.without(["hinge"])
    assert snap(at, targets=targets, reach=0.5, start=start).kind is Kind.CROSSING
    assert snap(at, targets=targets, reach=0.5, start=start, kinds=EVERY_KIND - {Kind.CROSSING}).kind is Kind.EDGE
    kinds = EVERY_KIND - {Kind.CROSSING, Kind.EDGE}
    assert snap(at, targets=targets, reach=0.5, start=start, kinds=kinds).kind is Kind.DIRECTION
    kinds = EVERY_KIND - {Kind.CROSSING, Kind.EDGE, Kind.DIRECTION}
    assert snap(at, targets=targets, reach=0.5, start=start, kinds=kinds).kind is Kind.NOTHING


def test_targets_stand_where_the_bodies_do():
    turned = snap_targets(project(), "side", {"frame": (100.0, 0.0, math.pi / 2.0)})
    assert snap((100.1, 9.8), targets=turned, reach=0.5).at == pytest.approx((100.0, 10.0))


def test_what_moves_with_the_hand_is_left_out():
    assert snap((0.1, 0.1), targets=TARGETS.without(["frame"]), reach=0.5).kind is Kind.NOTHING


def test_lines_that_meet_and_lines_that_do_not():
    assert meeting(((0, 0), (1, 1)), ((4, 0), (4, 1))) == pytest.approx((4.0, 4.0))
    assert meeting(((0, 0), (1, 1)), ((4, 0), (5, 1))) is None


def test_who_points_right_at_a_centre_means_it_whatever_corner_lies_about():
    targets = snap_targets(project(), "side")
    found = snap((20.0, 0.0), targets=targets, reach=4.0)
    assert (found.kind, found.at) == (Kind.CENTRE, (20.0, 0.0)), "not the rod's end, which lies 1.4 mm off"
    found = snap((19.6, 0.5), targets=targets, reach=4.0)
    assert found.kind is Kind.PIVOT, "of two as near the more wanted one"
