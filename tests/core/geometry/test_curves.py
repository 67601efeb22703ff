"""Arcs and circles against their closed forms; bulges as the DXF reference defines them (Autodesk, LWPOLYLINE group
code 42: tangent of a quarter of the included angle, negative if the arc goes clockwise; from memory)."""

from __future__ import annotations

import math

import numpy as np
import pytest

from core.geometry.curves import DEVIATION, arc, arc_corners, circle_corners, line_corners, ring_corners, signed_area

BULGES = [0.02, 0.2, 0.5, 1.0, 2.5, -0.3, -1.0, -4.0]


@pytest.mark.parametrize("bulge", BULGES)
def test_an_arc_passes_through_both_ends_with_the_angle_its_bulge_says(bulge):
    start, end = (3.0, -2.0), (8.0, 4.0)
    x, y, radius, begin, angle = arc(start, end, bulge)
    assert math.hypot(start[0] - x, start[1] - y) == pytest.approx(radius)
    assert (x + radius * math.cos(begin + angle), y + radius * math.sin(begin + angle)) == pytest.approx(end)
    assert math.tan(angle / 4.0) == pytest.approx(bulge)


def test_a_positive_bulge_stands_out_to_the_right():
    corners = arc_corners((0.0, 0.0), (10.0, 0.0), 1.0, outside=False)
    assert corners[:, 1].min() == pytest.approx(-5.0, abs=DEVIATION)
    assert corners[:, 1].max() <= 1e-12


@pytest.mark.parametrize("bulge", BULGES)
@pytest.mark.parametrize("outside", [True, False])
def test_flattened_arcs_keep_to_their_side_and_within_the_deviation(bulge, outside):
    start, end = (3.0, -2.0), (40.0, 4.0)
    x, y, radius, *_ = arc(start, end, bulge)
    corners = np.vstack([arc_corners(start, end, bulge, outside=outside), [end]])
    along = np.linspace(0.0, 1.0, 9)[:, None, None]
    points = corners[:-1] + along * np.diff(corners, axis=0)
    off = np.hypot(points[..., 0] - x, points[..., 1] - y) - radius
    low, high = (0.0, DEVIATION) if outside else (-DEVIATION, 0.0)
    assert off.min() >= low - 1e-12
    assert off.max() <= high + 1e-12


@pytest.mark.parametrize("radius", [0.01, 0.5, 12.0, 400.0])
def test_a_circle_is_never_less_than_itself_and_touches_its_four_sides(radius):
    corners = circle_corners((1.0, 2.0), radius)
    reach = np.hypot(corners[:, 0] - 1.0, corners[:, 1] - 2.0)
    assert reach.max() <= radius + DEVIATION + 1e-12
    sides = 0.5 * (corners + np.roll(corners, -1, axis=0))
    assert np.hypot(sides[:, 0] - 1.0, sides[:, 1] - 2.0) == pytest.approx(np.full(len(corners), radius))
    assert corners.max(axis=0) == pytest.approx([1.0 + radius, 2.0 + radius])
    assert math.pi * radius**2 <= signed_area(corners) <= math.pi * (radius + DEVIATION) ** 2


def test_a_ring_of_two_half_circles_is_a_circle():
    corners = ring_corners([(-5.0, 0.0, 1.0), (5.0, 0.0, 1.0)], material_left=True)
    assert signed_area(corners) == pytest.approx(25.0 * math.pi, rel=5e-4)
    assert signed_area(corners) > 25.0 * math.pi


def test_a_line_keeps_its_corners_and_its_last_point():
    assert line_corners([(0.0, 0.0), (3.0, 0.0, 0.0), (3.0, 4.0)]).tolist() == [[0.0, 0.0], [3.0, 0.0], [3.0, 4.0]]
