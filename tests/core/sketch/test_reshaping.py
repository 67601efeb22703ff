"""Shapes pulled by their handles keep what they should keep."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.document.project import Circle, Polygon, Wall
from core.geometry.outlines import outline_of_shape
from core.sketch.constructing import bar_between
from core.sketch.reshaping import (
    Grip,
    add_corner,
    bend,
    drag,
    handles,
    remove_corner,
    round_corner,
    rounding,
    sharpen,
    straighten,
)

SQUARE = Polygon(points=((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)))
HOLED = Polygon(points=SQUARE.points, holes=(((2.0, 2.0), (4.0, 2.0), (3.0, 4.0)),))
BAR = bar_between((0.0, 0.0), (10.0, 0.0), 4.0)


def grip(shape, kind, index=0):
    return [handle for handle in handles(shape) if handle.grip is kind][index]


def test_a_polygon_has_a_handle_for_each_corner_and_edge_of_each_ring():
    kinds = [handle.grip for handle in handles(HOLED)]
    assert (kinds.count(Grip.CORNER), kinds.count(Grip.EDGE)) == (7, 7)
    assert {handle.ring for handle in handles(HOLED)} == {0, 1}


def test_a_bar_has_handles_at_the_middle_of_its_round_ends():
    ends = sorted(handle.at for handle in handles(BAR) if handle.grip is Grip.ARC)
    assert ends == [pytest.approx((-2.0, 0.0)), pytest.approx((12.0, 0.0))]


def test_a_wall_is_open():
    wall = Wall(points=((0, 0), (5, 0), (5, 5)), thickness=1)
    assert [handle.grip for handle in handles(wall)].count(Grip.EDGE) == 2


def test_dragging_a_corner_moves_it_alone():
    pulled = drag(SQUARE, grip(SQUARE, Grip.CORNER, 2), (14.0, 12.0))
    assert pulled.points == ((0.0, 0.0), (10.0, 0.0), (14.0, 12.0), (0.0, 10.0))
    hole = drag(HOLED, grip(HOLED, Grip.CORNER, 6), (3.0, 5.0))
    assert hole.points == HOLED.points
    assert hole.holes[0][2] == (3.0, 5.0)


def test_dragging_an_edge_moves_both_its_ends():
    pulled = drag(SQUARE, grip(SQUARE, Grip.EDGE, 3), (-2.0, 6.0))
    assert pulled.points == ((-2.0, 1.0), (10.0, 0.0), (10.0, 10.0), (-2.0, 11.0))


def test_dragging_a_circle_by_its_centre_and_by_its_rim():
    circle = Circle(centre=(1.0, 1.0), radius=2.0)
    assert drag(circle, grip(circle, Grip.CENTRE), (5.0, 5.0)).centre == (5.0, 5.0)
    assert drag(circle, grip(circle, Grip.RIM), (4.0, 5.0)).radius == pytest.approx(5.0)
    assert drag(circle, grip(circle, Grip.RIM), (1.0, 1.0)) is None


def test_bending_an_edge_puts_the_middle_of_its_arc_level_with_the_hand():
    bent = bend(SQUARE, 0, 0, (5.0, -3.0))
    middle = next(handle for handle in handles(bent) if handle.grip is Grip.ARC)
    assert middle.at == pytest.approx((5.0, -3.0))
    assert straighten(bent, 0, 0).points == SQUARE.points


@given(st.floats(0.05, 0.95), st.integers(0, 3), st.floats(-3.0, 3.0))
def test_a_corner_put_into_an_edge_changes_nothing_of_the_outline(share, edge, rise):
    start, end = SQUARE.points[edge], SQUARE.points[(edge + 1) % 4]
    middle = (0.5 * (start[0] + end[0]), 0.5 * (start[1] + end[1]))
    across = ((end[1] - start[1]) / 10.0 * rise, -(end[0] - start[0]) / 10.0 * rise)
    shape = bend(SQUARE, 0, edge, (middle[0] + across[0], middle[1] + across[1])) if abs(rise) > 0.01 else SQUARE
    at = (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))
    more = add_corner(shape, 0, edge, at)
    assert len(more.points) == 5
    old, new = outline_of_shape(shape), outline_of_shape(more)
    assert old.symmetric_difference(new).area < 0.2  # both are within a few thousandths of a mm of the true arc


def test_removing_corners_until_too_few_are_left():
    triangle = remove_corner(SQUARE, 0, 1)
    assert triangle.points == ((0.0, 0.0), (10.0, 10.0), (0.0, 10.0))
    assert remove_corner(triangle, 0, 0) is None
    assert remove_corner(HOLED, 1, 0).holes == (), "a hole is closed"


def test_rounding_a_right_corner_takes_away_the_square_less_the_quarter_circle():
    """r² (1 - pi/4), as any handbook of mensuration has it."""
    rounded = round_corner(SQUARE, 0, 2, 3.0)
    assert outline_of_shape(rounded).area == pytest.approx(100.0 - 9.0 * (1.0 - math.pi / 4.0), abs=0.01)
    assert rounding(rounded, 0, 2).radius == pytest.approx(3.0)
    assert rounding(rounded, 0, 2).point == pytest.approx((10.0, 10.0))


@pytest.mark.parametrize("corner", range(4))
def test_sharpening_a_rounded_corner_gives_it_back(corner):
    back = sharpen(round_corner(SQUARE, 0, corner, 2.5), 0, corner)
    assert sorted(back.points) == [pytest.approx(point) for point in sorted(SQUARE.points)]


def test_a_rounded_corner_stays_tangent_when_it_is_pulled():
    rounded = round_corner(SQUARE, 0, 1, 2.0)
    pulled = drag(rounded, grip(rounded, Grip.ARC), (9.0, 1.0))
    away = math.hypot(1.0, 1.0)
    assert rounding(pulled, 0, 1).radius == pytest.approx(away / (math.sqrt(2.0) - 1.0))
    assert rounding(drag(rounded, grip(rounded, Grip.ARC), (0.0, 9.0)), 0, 1).radius <= 10.0, (
        "no more than there is room"
    )


def test_no_rounding_where_there_is_no_room():
    assert round_corner(SQUARE, 0, 0, 10.5) is None
    assert round_corner(BAR, 0, 0, 0.5) is None, "an arc begins there"
    assert round_corner(Wall(points=((0, 0), (5, 0), (5, 5)), thickness=1), 0, 0, 1.0) is None, "an open end"
    assert sharpen(BAR, 0, 0) is None
