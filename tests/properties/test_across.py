"""Bodies in different views: against exact rational arithmetic, against sampling a hundred times finer, and against
themselves with the views and the bodies exchanged."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from core.document.project import Body, Circle, Polygon
from core.geometry.outlines import crossing
from core.interference.placement import moved, parts_of
from core.interference.survey import claimed
from tests.core.interference.aircraft import AXES, PLANES, aircraft, drawn
from tests.core.interference.scenes import box, check, clearance_of, motion_of, still

Ring = list[tuple[int, int]]
Span = tuple[Fraction, Fraction]

# ---- exact: whole corners, spans along the shared axis as fractions -------------------------------------------------


def spans_within(ring: Ring, low: int, high: int) -> list[Span]:
    """Over which w a ring of corners (s, w) has some width with low < s < high: between any two heights at which
    something changes nothing does, so one row in the middle tells."""
    edges = list(zip(ring, ring[1:] + ring[:1], strict=True))
    heights = {Fraction(w) for _, w in ring}
    for (s0, w0), (s1, w1) in edges:
        for limit in (low, high):
            if (s0 - limit) * (s1 - limit) < 0:
                heights.add(w0 + Fraction(limit - s0, s1 - s0) * (w1 - w0))
    rows = sorted(heights)
    spans: list[Span] = []
    for below, above in pairwise(rows):
        row = (below + above) / 2
        cuts = sorted(
            s0 + (row - w0) / (w1 - w0) * (s1 - s0) for (s0, w0), (s1, w1) in edges if (w0 < row) != (w1 < row)
        )
        if any(max(a, low) < min(b, high) for a, b in zip(cuts[::2], cuts[1::2], strict=True)):
            spans.append((below, above))
    return spans


def meet_exactly(one: Ring, other: Ring, one_depth: tuple[int, int], other_depth: tuple[int, int]) -> bool:
    ours, theirs = spans_within(one, *other_depth), spans_within(other, *one_depth)
    return any(max(a[0], b[0]) < min(a[1], b[1]) for a in ours for b in theirs)


whole = st.integers(-12, 12)


def about_their_middle(corners: Ring) -> Ring:
    x, y = (sum(corner[axis] for corner in corners) / len(corners) for axis in (0, 1))
    return sorted(corners, key=lambda corner: (math.atan2(corner[1] - y, corner[0] - x), corner))


rings = st.lists(st.tuples(whole, whole), min_size=3, max_size=7, unique=True).map(about_their_middle)
rings = rings.filter(lambda ring: crossing(ring) is None)
depths = st.tuples(st.integers(-14, 12), st.integers(1, 12)).map(lambda pair: (pair[0], pair[0] + pair[1]))
two_planes = st.permutations(PLANES).map(lambda planes: tuple(planes[:2]))


def drawn_in(name: str, plane: str, other: str, ring: Ring, depth: tuple[int, int]) -> Body:
    """A ring of corners (s, w), w along the axis that both planes share."""
    upright = AXES[plane][1] != AXES[other][2]
    points = tuple((float(s), float(w)) if upright else (float(w), float(s)) for s, w in ring)
    return drawn(name, plane, Polygon(points=points), depth=(float(depth[0]), float(depth[1])))


@given(two_planes, rings, rings, depths, depths)
def test_bodies_meet_exactly_when_their_clipped_spans_do(planes, one, other, one_depth, other_depth):
    """Corners and depths on a coarse grid, so that faces often lie exactly against each other."""
    bodies = [
        drawn_in("leg", planes[0], planes[1], one, one_depth),
        drawn_in("door", planes[1], planes[0], other, other_depth),
    ]
    found = check(aircraft(*bodies), motion_of({"leg": still, "door": still}, seconds=0.0))
    assert bool(found.contacts) == meet_exactly(one, other, one_depth, other_depth)


def gap_by_rows(one: Ring, other: Ring, one_depth: tuple[int, int], other_depth: tuple[int, int]) -> float:
    """The gap in space found another way: each body cut into very many thin rows along the shared axis."""
    folded = []
    for ring, (low, high) in ((one, other_depth), (other, one_depth)):
        outline = shapely.Polygon(ring)
        _, bottom, _, top = outline.bounds
        rows = np.linspace(bottom + 1e-9, top - 1e-9, 1201)
        lines = shapely.linestrings([[(-99.0, row), (99.0, row)] for row in rows.tolist()])
        cut = shapely.intersection(lines, outline)
        slab = shapely.linestrings(np.stack([np.array([(low, row), (high, row)]) for row in rows]))
        folded.append((rows, shapely.distance(cut, slab)))
    (w, u), (x, v) = folded
    return float(np.sqrt(u[:, None] ** 2 + v[None, :] ** 2 + (w[:, None] - x[None, :]) ** 2).min())


@pytest.mark.parametrize("seed", range(40))
def test_gaps_in_space_are_those_of_thin_rows(seed):
    random = np.random.default_rng(seed)

    def star(away: float) -> Ring:
        angles = math.pi / 3.0 * (np.arange(6) + random.uniform(0.0, 0.9, 6))
        reach, place = random.uniform(3.0, 9.0, 6), random.uniform(-away, away, 2)
        points = np.column_stack([reach * np.cos(angles), reach * np.sin(angles)]) + place
        return [(float(s), float(w)) for s, w in points]  # type: ignore[misc]

    one, other = star(12.0), star(12.0)
    lows = random.uniform(-15.0, 12.0, 2)
    one_depth, other_depth = ((low, low + random.uniform(0.5, 9.0)) for low in lows)
    planes = random.permutation(PLANES)[:2].tolist()
    bodies = [
        drawn_in("leg", planes[0], planes[1], one, one_depth),
        drawn_in("door", planes[1], planes[0], other, other_depth),
    ]
    found = check(aircraft(*bodies), motion_of({"leg": still, "door": still}, seconds=0.0))
    expected = gap_by_rows(one, other, one_depth, other_depth)
    if found.contacts:
        assert expected < 0.05
    elif expected < 9.9:
        least = clearance_of(found, "leg", "door").least
        assert least - 1e-6 <= expected <= least + 0.05


# ---- random moving scenes, against sampling a hundred times finer ---------------------------------------------------


def random_scene(seed: int, frames: int):
    """A body in each view, tumbling: outlines, wheels, and blades and posts of 0.05 mm."""
    random = np.random.default_rng(seed)
    bodies, paths = [], {}
    for name, plane in zip(("door", "link", "wheel"), random.permutation(PLANES).tolist(), strict=True):
        shape: Polygon | Circle
        match random.integers(0, 3):
            case 0:
                shape = box(-0.025, -8.0, 0.025, 8.0)
            case 1:
                shape = Circle(centre=(0.0, 0.0), radius=float(random.choice([0.025, 2.0, 5.0])))
            case _:
                angles = 2.0 * math.pi / 7.0 * (np.arange(7) + random.uniform(0.0, 0.9, 7))
                reach = random.uniform(3.0, 10.0, 7)
                points = np.column_stack([reach * np.cos(angles), reach * np.sin(angles)])
                shape = Polygon(points=tuple(map(tuple, points.tolist())))
        near = float(random.uniform(-10.0, 4.0))
        bodies.append(drawn(name, plane, shape, depth=(near, near + float(random.choice([0.05, 3.0, 12.0])))))
        place, speed, sway = random.uniform(-12, 12, 2), random.uniform(-30, 30, 2), random.uniform(-10, 10, 2)
        turn, beat = random.uniform(-6, 6), random.uniform(1, 6)
        paths[name] = lambda times, place=place, speed=speed, sway=sway, turn=turn, beat=beat: (
            place[0] + speed[0] * (times - 0.5) + sway[0] * np.sin(beat * times),
            place[1] + speed[1] * (times - 0.5) + sway[1] * np.cos(beat * times),
            turn * times,
        )
    return aircraft(*bodies), motion_of(paths, frames=frames)


def touching_by_clipping(project, motion, one: str, other: str, times):
    """(T,) whether both bodies, each clipped to the other's depth, reach over some common span: by the boxes about the
    pieces of what is left of each, which a row through any piece meets all along."""
    bodies = {body.id: body for body in project.bodies}
    parts, poses = parts_of(project), motion.poses_at(times)
    axes = [AXES[bodies[name].view] for name in (one, other)]
    shared = next(axis for axis in range(3) if axis not in (axes[0][2], axes[1][2]))
    spans = []
    for name, own, across in ((one, axes[0], bodies[other].depth), (other, axes[1], bodies[one].depth)):
        index = parts.by_id[name][0]
        there = moved(np.full(len(times), parts.polygons[index]), poses[:, index])
        upright = own[1] == shared
        slab = shapely.box(across[0], -999, across[1], 999) if upright else shapely.box(-999, across[0], 999, across[1])
        pieces, of = shapely.get_parts(shapely.intersection(there, slab), return_index=True)
        bounds = shapely.bounds(pieces)[:, [1, 3] if upright else [0, 2]]
        spans.append([bounds[of == time] for time in range(len(times))])
    lap = np.zeros(len(times))
    for time, (ours, theirs) in enumerate(zip(*spans, strict=True)):
        if len(ours) and len(theirs):
            common = np.minimum(ours[:, None, 1], theirs[None, :, 1]) - np.maximum(ours[:, None, 0], theirs[None, :, 0])
            lap[time] = common.max()
    return lap


@pytest.mark.parametrize("frames", [7, 60])
@pytest.mark.parametrize("seed", range(8))
def test_nothing_that_finer_sampling_sees_is_lost(seed, frames):
    project, motion = random_scene(seed, frames)
    found = check(project, motion)
    fine = np.linspace(0.0, 1.0, 100 * 40 + 1)
    tolerance = 1e-3 + 1.0 / (len(fine) - 1)
    assert len(found.pairs) == 3
    for pair in found.pairs:
        lap = touching_by_clipping(project, motion, *pair, fine)
        contacts = [contact for contact in found.contacts if contact.parts == pair]
        covered = np.zeros(len(fine), dtype=bool)
        for contact in contacts:
            covered |= (fine >= contact.begin - tolerance) & (fine <= contact.end + tolerance)
            within = (fine >= contact.begin) & (fine <= contact.end)
            assert contact.end - contact.begin < 2.0 * tolerance or (lap[within] > 0.0).all()
        assert not ((lap > 0.02) & ~covered).any()


@pytest.mark.parametrize("seed", range(8, 14))
def test_clearances_hold_at_every_finer_sample(seed):
    project, motion = random_scene(seed, 13)
    found = check(project, motion)
    finer = check(project, motion_of({body.id: _path(motion, n) for n, body in enumerate(project.bodies)}, frames=1201))
    for clearance in found.clearances:
        assert clearance.proved
        gaps = finer.gaps[finer.pairs.index(clearance.parts)]
        assert claimed(np.array(clearance.least), np.array(clearance.wanted)) <= np.nanmin(gaps, initial=np.inf) + 1e-9


@pytest.mark.parametrize("seed", range(20, 30))
def test_more_frames_do_not_lose_a_clash(seed):
    few, many = (check(*random_scene(seed, frames)) for frames in (7, 91))
    assert [contact.parts for contact in few.contacts] == [contact.parts for contact in many.contacts]
    for one, other in zip(few.contacts, many.contacts, strict=True):
        assert (one.begin, one.end) == pytest.approx((other.begin, other.end), abs=1e-3)
        assert one.area + one.other_area == pytest.approx(other.area + other.other_area, rel=1e-3, abs=1e-6)
        assert one.depth == pytest.approx(other.depth, rel=0.1, abs=1e-2)


@pytest.mark.parametrize("seed", range(40, 48))
def test_it_is_all_the_same_which_body_comes_first(seed):
    project, motion = random_scene(seed, 31)
    backwards = list(reversed(range(len(project.bodies))))
    turned = aircraft(*(project.bodies[n] for n in backwards))
    one = check(project, motion)
    other = check(turned, motion_of({project.bodies[n].id: _path(motion, n) for n in backwards}, frames=31))
    seen = [
        sorted((sorted(c.parts), c.begin, c.end, c.depth, sorted([(c.view, c.area), (c.other_view, c.other_area)]))
               for c in found.contacts)
        for found in (one, other)
    ]  # fmt: skip
    assert [row[0] for row in seen[0]] == [row[0] for row in seen[1]]
    for a, b in zip(*seen, strict=True):
        assert a[1:3] == pytest.approx(b[1:3], abs=1e-4)
        assert a[3] == pytest.approx(b[3], rel=1e-2)
        for (view, area), (same, like) in zip(a[4], b[4], strict=True):
            assert view == same
            assert area == pytest.approx(like, rel=1e-3)
    gaps = {frozenset(c.parts): c.least for c in one.clearances}
    for clearance in other.clearances:
        if clearance.least <= 1.0:
            assert clearance.least == pytest.approx(gaps[frozenset(clearance.parts)], abs=1e-3)


def _path(motion, index):
    return lambda times: tuple(motion.poses_at(times)[:, index].T)
