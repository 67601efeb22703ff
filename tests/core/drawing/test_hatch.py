"""Hatching: total length against the area it fills, spacing, slope, and holes left bare."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from core.drawing.hatch import FEWEST, MOST, hatching

SQUARE = np.array([(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0)])
HOLE = np.array([(10.0, 10.0), (20.0, 10.0), (20.0, 20.0), (10.0, 20.0)])


def lengths(lines: np.ndarray) -> np.ndarray:
    return np.hypot(*(lines[:, 1] - lines[:, 0]).T)


def test_lines_stand_at_45_degrees_and_a_spacing_apart():
    lines = hatching([SQUARE], 1.0)
    ways = (lines[:, 1] - lines[:, 0])[lengths(lines) > 1e-9]
    assert np.allclose(np.degrees(np.arctan2(ways[:, 1], ways[:, 0])), 45.0)
    across = (lines[:, 0, 1] - lines[:, 0, 0]) / math.sqrt(2.0)
    assert np.allclose(np.diff(np.unique(across.round(9))), 1.0)


def test_hatching_fills_what_it_is_given_and_leaves_holes_bare():
    """By Cavalieri the lines' length times their spacing comes to the area."""
    lines = hatching([SQUARE, HOLE], 0.05)
    assert lengths(lines).sum() * 0.05 == pytest.approx(40 * 30 - 100, rel=2e-3)
    middles = shapely.points(lines.mean(axis=1))
    assert not shapely.contains_properly(shapely.Polygon(HOLE), middles).any()


def test_a_tiny_area_is_still_hatched():
    sliver = np.array([(0.0, 0.0), (0.01, 0.0), (0.01, 0.02), (0.0, 0.02)])
    assert len(hatching([sliver], 1.0)) >= FEWEST - 1


def test_a_vast_area_does_not_take_for_ever():
    assert len(hatching([SQUARE * 1e6], 1.0)) <= MOST + 1


def test_areas_side_by_side_share_their_lines():
    beside = SQUARE + np.array([40.0, 0.0])
    together = hatching([np.array([(0.0, 0.0), (80.0, 0.0), (80.0, 30.0), (0.0, 30.0)])], 1.0)
    apart = np.concatenate([hatching([SQUARE], 1.0), hatching([beside], 1.0)])
    assert lengths(apart).sum() == pytest.approx(lengths(together).sum())


@pytest.mark.parametrize("rings", [[], [np.zeros((2, 2))], [np.zeros((4, 2))]])
def test_nothing_is_hatched_where_there_is_no_area(rings: list[np.ndarray]):
    assert len(hatching(rings, 1.0)) == 0


@given(
    corners=st.lists(st.tuples(st.integers(-5000, 5000), st.integers(-5000, 5000)), min_size=3, max_size=9),
    spacing=st.floats(0.2, 5.0),
)
def test_lines_stay_within_any_ring(corners: list[tuple[int, int]], spacing: float):
    """Even one that crosses and retraces itself: a ray to the right of a line's middle crosses the ring an odd number
    of times, unless the middle lies on the ring."""
    ring = np.array(corners) / 100.0
    lines = hatching([ring], spacing)
    edge = shapely.LinearRing(ring)
    for x, y in lines[lengths(lines) > 1e-6].mean(axis=1):
        if shapely.distance(shapely.Point(x, y), edge) < 1e-6:
            continue
        (x1, y1), (x2, y2) = ring.T, np.roll(ring, -1, axis=0).T
        crosses = (y1 > y) != (y2 > y)
        with np.errstate(divide="ignore", invalid="ignore"):
            right = x1 + (y - y1) * (x2 - x1) / (y2 - y1) > x
        assert np.count_nonzero(crosses & right) % 2 == 1
