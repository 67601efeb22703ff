"""Shapes from points, against what geometry says of them."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from core.geometry.curves import arc
from core.geometry.outlines import outline_of_shape
from core.sketch.constructing import (
    bar_between,
    bulge_of_radius,
    bulge_of_rise,
    circle_by_three_points,
    circle_by_two_points,
    closed_outline,
    rectangle,
    wall_along,
    wheel,
)

points = st.tuples(st.floats(-100, 100), st.floats(-100, 100))


def test_a_circle_by_two_points_has_them_opposite_each_other():
    circle = circle_by_two_points((1.0, 2.0), (7.0, 10.0))
    assert circle is not None
    assert circle.centre == (4.0, 6.0)
    assert circle.radius == 5.0
    assert circle_by_two_points((1.0, 2.0), (1.0, 2.0)) is None


def test_a_circle_by_three_points_of_a_right_triangle_has_the_hypotenuse_as_its_diameter():
    """Thales: Euclid, Elements III.31."""
    circle = circle_by_three_points((0.0, 0.0), (3.0, 0.0), (0.0, 4.0))
    assert circle is not None
    assert circle.centre == pytest.approx((1.5, 2.0))
    assert circle.radius == pytest.approx(2.5)


def test_three_points_on_a_line_have_no_circle():
    assert circle_by_three_points((0.0, 0.0), (1.0, 1.0), (5.0, 5.0)) is None


@given(points, points, points)
def test_a_circle_passes_through_its_three_points(first, second, third):
    circle = circle_by_three_points(first, second, third)
    assume(circle is not None and circle.radius < 1e4)
    for point in (first, second, third):
        assert math.dist(circle.centre, point) == pytest.approx(circle.radius, abs=1e-5)


def test_a_rise_to_the_right_of_half_the_chord_is_a_half_circle():
    assert bulge_of_rise((0.0, 0.0), (2.0, 0.0), (0.3, -1.0)) == pytest.approx(1.0)
    assert bulge_of_rise((0.0, 0.0), (2.0, 0.0), (0.3, 1.0)) == pytest.approx(-1.0)


@pytest.mark.parametrize("right", [True, False])
def test_the_bulge_of_a_radius_makes_an_arc_of_that_radius_to_that_side(right):
    start, end = (0.0, 0.0), (6.0, 0.0)
    bulge = bulge_of_radius(start, end, 5.0, right=right)
    _, y, radius, _, _ = arc(start, end, bulge)
    assert radius == pytest.approx(5.0)
    assert y == pytest.approx(4.0 if right else -4.0)
    assert bulge_of_radius(start, end, 2.9, right=right) is None


def test_a_rectangle_needs_an_area():
    assert rectangle((3.0, 4.0), (1.0, 1.0)).points == ((1.0, 1.0), (3.0, 1.0), (3.0, 4.0), (1.0, 4.0))
    assert rectangle((1.0, 1.0), (1.0, 5.0)) is None


def test_a_bar_is_a_rectangle_and_two_half_circles():
    outline = outline_of_shape(bar_between((1.0, 1.0), (7.0, 9.0), 3.0))
    assert outline.area == pytest.approx(10.0 * 3.0 + math.pi * 1.5**2, abs=0.02)
    assert outline.length == pytest.approx(20.0 + math.pi * 3.0, abs=0.01)
    assert bar_between((1.0, 1.0), (1.0, 1.0), 3.0) is None


def test_a_wheel_has_its_bore():
    assert outline_of_shape(wheel((0.0, 0.0), 24.0, bore=3.0)).area == pytest.approx(math.pi * (144.0 - 2.25), rel=1e-3)
    assert wheel((0.0, 0.0), 3.0, bore=3.0) is None


def test_an_outline_closes_on_its_first_corner_and_needs_an_area():
    assert closed_outline([(0, 0), (2, 0), (2, 0), (2, 1), (0, 0)]).points == ((0, 0), (2, 0), (2, 1))
    assert closed_outline([(0, 0), (2, 0)]) is None
    assert outline_of_shape(closed_outline([(0, 0, 1.0), (2, 0)])).area == pytest.approx(math.pi / 2.0, rel=1e-2)


def test_a_wall_needs_a_length():
    assert wall_along([(0, 0), (0, 0)], 1.0) is None
    assert wall_along([(0, 0), (5, 0)], 0.0) is None
    assert outline_of_shape(wall_along([(0, 0), (5, 0)], 1.0)).area == pytest.approx(5.0)
