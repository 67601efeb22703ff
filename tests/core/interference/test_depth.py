"""Depth against closed forms, and against moving outlines step by step."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from shapely.affinity import rotate, translate

from core.geometry.outlines import disc
from core.interference.depth import FAN, _directions, _Ways, depth_of_overlap, quick_depth


def depth(one, other):
    return depth_of_overlap(one, other, one.intersection(other))


def random_outline(random, radius, centre):
    angles = np.sort(random.uniform(0.0, 2.0 * math.pi, int(random.integers(3, 9))))
    reach = random.uniform(0.3, 1.0, len(angles)) * radius
    return shapely.Polygon(np.column_stack([centre[0] + reach * np.cos(angles), centre[1] + reach * np.sin(angles)]))


def step_by_step(one, other, angle, step):
    """How far the other goes in small steps until nothing is common."""
    for count in range(5000):
        gone = count * step
        if one.intersection(translate(other, gone * math.cos(angle), gone * math.sin(angle))).area < 1e-9:
            return gone
    raise AssertionError("never clear")


def test_boxes_come_clear_the_short_way():
    assert depth(shapely.box(0, 0, 10, 10), shapely.box(9, 2, 20, 8)) == pytest.approx(1.0)
    assert depth(shapely.box(0, 0, 10, 10), shapely.box(9, 9.5, 20, 20)) == pytest.approx(0.5)


@pytest.mark.parametrize("turn", [0.0, 17.0, 45.0, 123.4])
def test_turning_both_changes_nothing(turn):
    one, other = shapely.box(0, 0, 10, 10), rotate(shapely.box(8, 2, 20, 8), 30.0, origin=(8, 5))
    plain = depth(one, other)
    turned = depth(rotate(one, turn, origin=(3, 3)), rotate(other, turn, origin=(3, 3)))
    assert turned == pytest.approx(plain, abs=1e-4)


def test_a_bar_through_a_block_must_leave_it_whole():
    """A post inside a block: out by the nearest side, its own width and all."""
    assert depth(shapely.box(0, 0, 10, 20), shapely.box(6.0, 5, 6.05, 8)) == pytest.approx(4.0)
    assert depth(shapely.box(0, 0, 10, 20), shapely.box(-5, 9, 15, 11)) == pytest.approx(11.0)


@pytest.mark.parametrize("apart", [0.5, 3.0, 7.9])
def test_discs(apart):
    one, other = disc((0, 0), 5.0), disc((apart * 0.6, apart * 0.8), 3.0)
    assert depth(one, other) == pytest.approx(8.0 - apart, abs=0.005)


def test_a_wheel_in_a_fork_comes_out_at_the_open_end():
    fork = shapely.box(0, 0, 20, 10).difference(shapely.box(4, 3, 21, 7.2))
    peg = shapely.box(5, 2.5, 9, 6.5)  # half a millimetre into the lower arm, with more room above
    assert depth(fork, peg) == pytest.approx(0.5)
    tight = shapely.box(5, 2.5, 9, 7.5)  # too tall for the mouth: past the end of the arms, or through one of them
    assert depth(fork, tight) == pytest.approx(min(15.0, 7.5, 7.5))


def test_convex_outlines_against_the_normals_of_all_their_edges():
    """For convex outlines the shortest way out is square to an edge of one of them: the least lap of the shadows on
    it."""
    random = np.random.default_rng(4)
    compared = 0
    while compared < 60:
        one = random_outline(random, 8.0, (0.0, 0.0)).convex_hull
        other = random_outline(random, 6.0, random.uniform(-5.0, 5.0, 2)).convex_hull
        if one.intersection(other).area < 1e-3:
            continue
        exact = math.inf
        for outline, turn in ((one, 1.0), (other, -1.0)):
            corners = np.array(shapely.geometry.polygon.orient(outline).exterior.coords)
            steps = np.diff(corners, axis=0)
            normals = turn * np.column_stack([steps[:, 1], -steps[:, 0]]) / np.hypot(*steps.T)[:, None]
            shadow_one, shadow_other = (np.array(g.exterior.coords) @ normals.T for g in (one, other))
            exact = min(exact, float((shadow_one.max(axis=0) - shadow_other.min(axis=0)).min()))
        assert depth(one, other) == pytest.approx(exact, abs=1e-3, rel=1e-3)
        assert quick_depth(one, other, one.intersection(other)) == depth(one, other)
        compared += 1


def test_other_outlines_against_steps_in_many_directions():
    """Moved in steps of 0.05 mm in 40 directions, random outlines come clear no sooner."""
    random = np.random.default_rng(11)
    compared = 0
    while compared < 8:
        one = random_outline(random, 8.0, (0.0, 0.0))
        other = random_outline(random, 6.0, random.uniform(-5.0, 5.0, 2))
        if not (one.is_valid and other.is_valid) or one.intersection(other).area < 1e-2:
            continue
        fan = np.linspace(0.0, 2.0 * math.pi, 40, endpoint=False)
        best = min(step_by_step(one, other, angle, 0.05) for angle in fan)
        assert depth(one, other) <= best * 1.01
        compared += 1


def test_the_way_out_found_is_a_way_out():
    random = np.random.default_rng(5)
    for _ in range(40):
        one, other = random_outline(random, 8.0, (0.0, 0.0)), random_outline(random, 6.0, random.uniform(-5.0, 5.0, 2))
        if not (one.is_valid and other.is_valid) or one.intersection(other).area < 1e-2:
            continue
        found = depth(one, other)
        clear = [
            one.intersection(translate(other, found * math.cos(angle), found * math.sin(angle))).area
            for angle in np.linspace(0.0, 2.0 * math.pi, 1440, endpoint=False)
        ]
        assert min(clear) < 0.02 * found  # a direction a quarter of a degree off leaves a sliver
        assert quick_depth(one, other, one.intersection(other)) >= found - 1e-6


def test_the_least_is_found_among_the_edges_about_the_overlap_as_among_all():
    """Of many corners, and deep in each other as well as shallow: what is left out meets later than the least move."""
    random = np.random.default_rng(8)
    compared = 0
    while compared < 40:
        one = random_outline(random, 40.0, (0.0, 0.0)).buffer(2.0, quad_segs=8)
        other = random_outline(random, 30.0, random.uniform(-45.0, 45.0, 2)).buffer(1.5, quad_segs=8)
        common = one.intersection(other)
        if not (one.is_valid and other.is_valid) or common.area < 1e-2:
            continue
        ways, angles = _Ways(one, other), _directions(common, FAN)
        assert ways.shortest(angles)[1] == pytest.approx(ways.clear_moves(angles, 1e4).min(), abs=1e-9)
        compared += 1
