"""Outlines of shapes: solids as they are drawn, on the side of every curve that the caller needs."""

from __future__ import annotations

import math

import pytest
import shapely

from core.document.project import Body, Circle, Polygon, Wall
from core.geometry.curves import DEVIATION
from core.geometry.outlines import bar, crossing, outline, outline_of_shape

SQUARE = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))


def test_shapes_of_one_body_make_one_solid():
    body = Body(id="leg", view="front", shapes=(Polygon(points=SQUARE), Circle(centre=(10.0, 5.0), radius=2.0)))
    solid = outline(body)
    assert solid.geom_type == "Polygon"
    assert solid.area == pytest.approx(100.0 + 2.0 * math.pi, abs=0.02)


def test_shapes_apart_stay_apart_and_none_is_empty():
    apart = Body(id="pair", view="front", shapes=(Circle(centre=(0, 0), radius=1), Circle(centre=(5, 0), radius=1)))
    assert outline(apart).geom_type == "MultiPolygon"
    assert outline(Body(id="none", view="front")).is_empty


@pytest.mark.parametrize("points", [SQUARE, SQUARE[::-1]])
@pytest.mark.parametrize("turned", [False, True])
def test_holes_are_cut_out_whichever_way_they_run(points, turned):
    hole = ((2.0, 2.0), (4.0, 2.0), (4.0, 4.0), (2.0, 4.0))
    solid = outline_of_shape(Polygon(points=points, holes=(hole[::-1] if turned else hole,)))
    assert solid.area == pytest.approx(96.0)
    assert solid.is_valid


@pytest.mark.parametrize("bulge", [1.0, -1.0])
@pytest.mark.parametrize("reverse", [False, True])
def test_curves_never_take_material_away(bulge, reverse):
    """A half disc of radius 5 added to, or cut from, a square; the true shape lies within the outline and nearly
    fills it."""
    side = [(0.0, 0.0), (10.0, 0.0, bulge), (10.0, 10.0), (0.0, 10.0)]
    if reverse:  # the bulge belongs to the edge that follows its corner
        side = [(0.0, 10.0), (10.0, 10.0, -bulge), (10.0, 0.0), (0.0, 0.0)]
    solid = outline_of_shape(Polygon(points=tuple(side)))
    exact = 100.0 + bulge * 12.5 * math.pi
    assert 0.0 <= solid.area - exact <= 5.0 * math.pi * DEVIATION + 1e-6


def test_a_round_hole_is_never_larger_than_drawn():
    hole = ((3.0, 5.0, 1.0), (7.0, 5.0, 1.0))
    solid = outline_of_shape(Polygon(points=SQUARE, holes=(hole,)))
    assert 0.0 <= solid.area - (100.0 - 4.0 * math.pi) <= 4.0 * math.pi * DEVIATION


def test_a_wall_is_open_at_its_ends_and_square_at_its_corners():
    wall = outline_of_shape(Wall(points=((0.0, 0.0), (0.0, 20.0), (30.0, 20.0), (30.0, 0.0)), thickness=2.0))
    assert wall.area == pytest.approx(2.0 * (21.0 * 2.0) + 28.0 * 2.0)  # two legs to the top, and what is between them
    assert wall.bounds == pytest.approx((-1.0, 0.0, 31.0, 21.0))
    assert not wall.intersects(shapely.Point(15.0, 0.0))
    assert wall.intersects(shapely.Point(30.99, 20.99))


def test_a_closed_wall_is_whole_at_the_corner_where_it_closes():
    wall = outline_of_shape(Wall(points=(*SQUARE, SQUARE[0]), thickness=1.0))
    assert wall.area == pytest.approx(11.0**2 - 9.0**2)


def test_a_curved_wall_holds_the_true_one():
    """A half ring of mean radius 10 and thickness 2."""
    wall = outline_of_shape(Wall(points=((-10.0, 0.0, 1.0), (10.0, 0.0)), thickness=2.0))
    exact = 0.5 * math.pi * (11.0**2 - 9.0**2)
    assert 0.0 <= wall.area - exact <= math.pi * 20.0 * 2.0 * DEVIATION


@pytest.mark.parametrize("shape", [Circle(centre=(0, 0), radius=0.0), Wall(points=((1, 1), (1, 1)), thickness=1.0)])
def test_shapes_of_no_area_are_empty(shape):
    assert outline_of_shape(shape).is_empty


def test_a_bar_has_round_ends_about_its_two_points():
    rod = bar(20.0, 4.0)
    assert rod.area == pytest.approx(80.0 + 4.0 * math.pi, abs=0.02)
    assert rod.bounds == pytest.approx((-2.0, -2.0, 22.0, 2.0))
    square = bar(20.0, 4.0, square_end=True)
    assert square.area == pytest.approx(80.0 + 2.0 * math.pi, abs=0.01)
    assert square.bounds == pytest.approx((-2.0, -2.0, 20.0, 2.0))


def test_a_sound_ring_does_not_cross():
    assert crossing(SQUARE) is None
    assert crossing(((0.0, 0.0, 0.4), (10.0, 0.0), (10.0, 10.0, -0.3), (0.0, 10.0))) is None
    assert crossing(((-5.0, 0.0, 1.0), (5.0, 0.0, 1.0))) is None


def test_a_crossing_is_named_with_its_place_and_edges():
    found = crossing(((0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)))
    assert found is not None
    assert found.point == pytest.approx((5.0, 5.0))
    assert found.edges == (0, 2)


def test_an_arc_that_swells_through_another_edge_crosses():
    found = crossing(((0.0, 0.0, -1.0), (10.0, 0.0), (10.0, 3.0), (0.0, 3.0)))
    assert found is not None
    assert found.edges == (0, 2)
    assert found.point[1] == pytest.approx(3.0)


@pytest.mark.parametrize(
    "ring",
    [
        ((0.0, 0.0), (10.0, 0.0), (5.0, 0.0), (5.0, 5.0)),  # back along itself
        ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (5.0, 0.0)),  # a corner on another edge
        ((0.0, 0.0), (10.0, 0.0)),  # no area
        ((1.0, 1.0), (1.0, 1.0), (1.0, 1.0)),
    ],
)
def test_rings_that_touch_themselves_or_enclose_nothing_are_refused(ring):
    assert crossing(ring) is not None


def test_a_self_crossing_outline_still_gives_valid_areas():
    bow = outline_of_shape(Polygon(points=((0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0))))
    assert bow.is_valid
    assert bow.area == pytest.approx(50.0)
