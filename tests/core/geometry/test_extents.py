"""How far shapes reach, against circles, round ends and boxes whose sizes are known exactly."""

from __future__ import annotations

import math

import pytest

from core.document.project import Circle, Polygon, Wall
from core.geometry.extents import farthest, width

TYRE = Circle(centre=(3.0, -4.0), radius=12.0)
BAR = Polygon(points=((0.0, -2.0), (10.0, -2.0, 1.0), (10.0, 2.0), (0.0, 2.0, 1.0)))
"""A bar with round ends of radius 2 about (0, 0) and (10, 0)."""
BOX = Polygon(points=((-6.0, -2.0), (6.0, -2.0), (6.0, 2.0), (-6.0, 2.0)))


def test_a_circle_reaches_as_far_as_it_is_and_not_as_it_is_flattened():
    assert farthest([TYRE], (3.0, -4.0)) == 12.0
    assert farthest([TYRE], (0.0, 0.0)) == 17.0
    for degrees in range(0, 360, 7):
        assert width([TYRE], math.radians(degrees)) == pytest.approx(24.0, abs=1e-12)


def test_a_round_end_counts_where_it_stands_out_and_nowhere_else():
    assert farthest([BAR], (0.0, 0.0)) == pytest.approx(12.0, abs=1e-12)
    assert farthest([BAR], (30.0, 0.0)) == pytest.approx(32.0, abs=1e-12)
    assert farthest([BAR], (5.0, 0.0)) == pytest.approx(7.0, abs=1e-12)
    assert width([BAR], 0.0) == pytest.approx(14.0, abs=1e-12)
    assert width([BAR], 0.5 * math.pi) == pytest.approx(4.0, abs=1e-12)
    assert width([BAR], math.radians(30.0)) == pytest.approx(10.0 * math.cos(math.radians(30.0)) + 4.0, abs=1e-12)


def test_an_arc_that_runs_clockwise_is_hollow():
    hollow = Polygon(points=((-6.0, -2.0), (6.0, -2.0), (6.0, 2.0), (3.0, 2.0, -0.5), (-3.0, 2.0), (-6.0, 2.0)))
    assert width([hollow], 0.5 * math.pi) == pytest.approx(4.0, abs=1e-12)


def test_several_shapes_reach_as_far_as_the_farthest():
    wall = Wall(points=((0.0, 0.0), (20.0, 0.0)), thickness=2.0)
    assert farthest([BOX, wall], (0.0, 0.0)) == pytest.approx(math.hypot(20.0, 1.0), abs=1e-9)
    assert width([BOX, wall], 0.0) == pytest.approx(26.0, abs=1e-9)
