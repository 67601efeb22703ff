"""Moved shapes are the same shapes elsewhere."""

from __future__ import annotations

import math

import pytest
import shapely.affinity
from hypothesis import given
from hypothesis import strategies as st

from core.document.project import Body, Circle, Polygon, Wall
from core.geometry.outlines import outline, outline_of_shape
from core.sketch.constructing import bar_between
from core.sketch.moving import Likeness, moved_body, moved_shape

BENT = Polygon(
    points=((0.0, 0.0), (10.0, 0.0, 0.4), (10.0, 10.0), (0.0, 12.0)), holes=(((2.0, 2.0, 1.0), (4.0, 2.0, 1.0)),)
)
points = st.tuples(st.floats(-50, 50), st.floats(-50, 50))


@given(points, st.floats(-720, 720), points)
def test_turning_and_moving_agree_with_shapely(by, degrees, about):
    turned = outline_of_shape(moved_shape(moved_shape(BENT, Likeness.turning(degrees, about)), Likeness.moving(*by)))
    wanted = shapely.affinity.translate(shapely.affinity.rotate(outline_of_shape(BENT), degrees, origin=about), *by)
    assert turned.symmetric_difference(wanted).area < 0.1


@given(points, st.floats(0, 6.28))
def test_mirroring_twice_gives_the_shape_back_and_once_has_the_same_area(at, angle):
    over = Likeness.mirroring(at, (at[0] + math.cos(angle), at[1] + math.sin(angle)))
    once = moved_shape(BENT, over)
    twice = moved_shape(once, over)
    assert outline_of_shape(once).area == pytest.approx(outline_of_shape(BENT).area, abs=0.05)
    for corner, was in zip(twice.points, BENT.points, strict=True):
        assert corner[:2] == pytest.approx(was[:2], abs=1e-9)
    assert once.points[1][2] == -0.4


def test_mirroring_over_an_upright_line_changes_the_sign_of_x():
    over = Likeness.mirroring((3.0, 0.0), (3.0, 5.0))
    assert over.point((1.0, 7.0)) == pytest.approx((5.0, 7.0))
    assert over.direction((1.0, 0.0)) == pytest.approx((-1.0, 0.0))


def test_quarters_of_a_turn_are_exact():
    assert Likeness.turning(90.0, (1.0, 1.0)).point((3.0, 1.0)) == (1.0, 3.0)
    assert Likeness.turning(-180.0).point((3.0, 1.0)) == (-3.0, -1.0)


def test_scaling_takes_sizes_along():
    by = Likeness.scaling(2.0, (1.0, 0.0))
    assert moved_shape(Circle(centre=(2.0, 0.0), radius=3.0), by) == Circle(centre=(3.0, 0.0), radius=6.0)
    assert moved_shape(Wall(points=((0, 0), (1, 0)), thickness=0.5), by).thickness == 1.0


def test_joining_brings_a_stretch_onto_another():
    by = Likeness.joining((0.0, 0.0), (2.0, 0.0), (5.0, 5.0), (5.0, 9.0))
    assert by.point((0.0, 0.0)) == pytest.approx((5.0, 5.0))
    assert by.point((2.0, 0.0)) == pytest.approx((5.0, 9.0))
    assert by.scale == pytest.approx(2.0)


def test_a_body_takes_its_centre_of_mass_along_and_keeps_its_mass():
    body = Body(id="leg", view="side", mass=40.0, centre_of_mass=(1.0, 0.0), shapes=(bar_between((0, 0), (9, 0), 2.0),))
    moved = moved_body(body, Likeness.turning(90.0))
    assert (moved.centre_of_mass, moved.mass) == ((0.0, 1.0), 40.0)
    assert outline(moved).bounds == pytest.approx((-1.0, -1.0, 1.0, 10.0), abs=0.01)
