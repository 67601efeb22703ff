"""Interference on random scenes: against exact rational arithmetic, against sampling a hundred times finer, and
against itself."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from core.document.project import Body, Circle, PairRule, Polygon
from core.geometry.outlines import crossing
from core.interference.overlap import overlaps_at
from core.interference.pairs import checked_pairs
from core.interference.placement import moved, parts_of
from core.interference.survey import claimed
from tests.core.interference.scenes import body, box, check, clearance_of, motion_of, project_of, still

Point = tuple[Fraction, Fraction]

# ---- exact: polygons with whole corners, areas and distances as fractions ------------------------------------------


def clipped(corners: list[Point], start: Point, end: Point) -> list[Point]:
    """What of a convex polygon lies to the left of a line."""

    def side(point: Point) -> Fraction:
        return (end[0] - start[0]) * (point[1] - start[1]) - (end[1] - start[1]) * (point[0] - start[0])

    kept: list[Point] = []
    for here, there in zip(corners, corners[1:] + corners[:1], strict=True):
        a, b = side(here), side(there)
        if a >= 0:
            kept.append(here)
        if a * b < 0:
            share = a / (a - b)
            kept.append((here[0] + share * (there[0] - here[0]), here[1] + share * (there[1] - here[1])))
    return kept


def area_of(corners: list[Point]) -> Fraction:
    turned = zip(corners, corners[1:] + corners[:1], strict=True)
    return sum((a[0] * b[1] - a[1] * b[0] for a, b in turned), Fraction(0)) / 2


def common_area(one: list[Point], other: list[Point]) -> Fraction:
    """Of two simple polygons, exactly: each is the sum of the signed triangles from its first corner to its edges."""
    total = Fraction(0)
    for a, b in pairwise(one[1:]):
        first = [one[0], a, b]
        for c, d in pairwise(other[1:]):
            second = [other[0], c, d]
            sign = area_of(first) * area_of(second)
            if sign == 0:
                continue
            common = first if area_of(first) > 0 else first[::-1]
            ring = second if area_of(second) > 0 else second[::-1]
            for start, end in zip(ring, ring[1:] + ring[:1], strict=True):
                common = clipped(common, start, end)
            total += abs(area_of(common)) * (1 if sign > 0 else -1)
    return total * (1 if area_of(one) > 0 else -1) * (1 if area_of(other) > 0 else -1)


def squared_distance(point: Point, start: Point, end: Point) -> Fraction:
    along = (end[0] - start[0], end[1] - start[1])
    square = along[0] ** 2 + along[1] ** 2
    share = ((point[0] - start[0]) * along[0] + (point[1] - start[1]) * along[1]) / square
    share = min(max(share, Fraction(0)), Fraction(1))
    off = (point[0] - start[0] - share * along[0], point[1] - start[1] - share * along[1])
    return off[0] ** 2 + off[1] ** 2


def edges(corners: list[Point]) -> list[tuple[Point, Point]]:
    return list(zip(corners, corners[1:] + corners[:1], strict=True))


def cross_over(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    def side(a: Point, b: Point, c: Point) -> int:
        value = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
        return (value > 0) - (value < 0)

    return side(*one, other[0]) * side(*one, other[1]) < 0 and side(*other, one[0]) * side(*other, one[1]) < 0


def exact_gap_squared(one: list[Point], other: list[Point]) -> Fraction:
    """0 where edges cross; else the least distance of a corner of either to an edge of the other."""
    if any(cross_over(a, b) for a in edges(one) for b in edges(other)):
        return Fraction(0)
    near = [squared_distance(corner, *edge) for corner in one for edge in edges(other)]
    near += [squared_distance(corner, *edge) for corner in other for edge in edges(one)]
    return min(near)


whole = st.integers(-12, 12)


def about_their_middle(corners: list[tuple[int, int]]) -> list[tuple[int, int]]:
    x, y = (sum(corner[axis] for corner in corners) / len(corners) for axis in (0, 1))
    return sorted(corners, key=lambda corner: (math.atan2(corner[1] - y, corner[0] - x), corner))


rings = st.lists(st.tuples(whole, whole), min_size=3, max_size=7, unique=True).map(about_their_middle)
rings = rings.filter(lambda ring: crossing(ring) is None)
shifts = st.tuples(st.integers(-16, 16), st.integers(-16, 16))


def exactly(corners, shift=(0, 0)) -> list[Point]:
    return [(Fraction(x + shift[0]), Fraction(y + shift[1])) for x, y in corners]


@given(rings, rings, shifts)
def test_common_areas_and_gaps_are_exact_to_rounding(one, other, shift):
    """Corners on a coarse grid, so that faces often lie exactly against each other."""
    first, second = exactly(one), exactly(other, shift)
    area, gap_squared = common_area(first, second), exact_gap_squared(first, second)
    project = project_of(
        body("one", Polygon(points=tuple((float(x), float(y)) for x, y in one))),
        body("other", Polygon(points=tuple((float(x), float(y)) for x, y in other))),
    )
    motion = motion_of({"one": still, "other": lambda _: (shift[0], shift[1], 0.0)}, seconds=0.0)
    found = check(project, motion)
    parts = parts_of(project)
    overlaps = overlaps_at(parts, checked_pairs(project, parts), motion.poses[0])
    if area == 0:
        assert found.contacts == overlaps == ()
        if gap_squared <= 100:
            assert clearance_of(found, "one", "other").least == pytest.approx(math.sqrt(gap_squared), abs=1e-9)
    else:
        assert found.contacts[0].area == pytest.approx(float(area), rel=1e-9)
        assert overlaps[0].area.area == pytest.approx(float(area), rel=1e-9)
        assert found.touching.all()


@given(rings, rings, shifts, st.sampled_from([(3, 4, 5), (5, 12, 13), (8, 15, 17), (-20, 21, 29), (0, 1, 1)]))
def test_turned_outlines_are_exact_to_rounding(one, other, shift, triple):
    """Turned by angles whose cosine and sine are fractions."""
    cosine, sine = Fraction(triple[0], triple[2]), Fraction(triple[1], triple[2])
    first = exactly(one)
    second = [(cosine * x - sine * y + shift[0], sine * x + cosine * y + shift[1]) for x, y in other]
    area = common_area(first, second)
    assume(area == 0 or area > Fraction(1, 1000))
    project = project_of(
        body("one", Polygon(points=tuple((float(x), float(y)) for x, y in one))),
        body("other", Polygon(points=tuple((float(x), float(y)) for x, y in other))),
    )
    turn = math.atan2(triple[1], triple[0])
    found = check(project, motion_of({"one": still, "other": lambda _: (shift[0], shift[1], turn)}, seconds=0.0))
    assert [contact.area for contact in found.contacts] == ([pytest.approx(float(area), rel=1e-7)] if area else [])


# ---- random moving scenes, against sampling a hundred times finer ---------------------------------------------------


def random_scene(seed: int, frames: int):
    """Three bodies that tumble past each other: outlines, wheels, and blades and posts of 0.05 mm."""
    random = np.random.default_rng(seed)
    bodies: list[Body] = []
    paths = {}
    for name in ("door", "link", "wheel"):
        kind = random.integers(0, 3)
        shape: Polygon | Circle
        if kind == 0:
            shape = box(-0.025, -8.0, 0.025, 8.0)
        elif kind == 1:
            shape = Circle(centre=(0.0, 0.0), radius=float(random.choice([0.025, 2.0, 5.0])))
        else:
            angles = np.sort(random.uniform(0.0, 2.0 * math.pi, 7))
            reach = random.uniform(3.0, 10.0, 7)
            points = np.column_stack([reach * np.cos(angles), reach * np.sin(angles)])
            shape = Polygon(points=tuple(map(tuple, points.tolist())))
        bodies.append(body(name, shape))
        place, speed, sway = random.uniform(-20, 20, 2), random.uniform(-40, 40, 2), random.uniform(-15, 15, 2)
        turn, beat = random.uniform(-6, 6), random.uniform(1, 6)
        paths[name] = lambda times, place=place, speed=speed, sway=sway, turn=turn, beat=beat: (
            place[0] + speed[0] * times + sway[0] * np.sin(beat * times),
            place[1] + speed[1] * times + sway[1] * np.cos(beat * times),
            turn * times,
        )
    return project_of(*bodies), motion_of(paths, frames=frames)


@pytest.mark.parametrize("frames", [7, 60])
@pytest.mark.parametrize("seed", range(8))
def test_nothing_that_finer_sampling_sees_is_lost(seed, frames):
    project, motion = random_scene(seed, frames)
    found = check(project, motion)
    parts = parts_of(project)
    fine = np.linspace(0.0, 1.0, 100 * 60 + 1)
    poses = motion.poses_at(fine)
    placed = [moved(np.full(len(fine), polygon), poses[:, i]) for i, polygon in enumerate(parts.polygons)]
    tolerance = 1e-3 + 1.0 / (len(fine) - 1)
    for one, other in found.pairs:
        first, second = placed[parts.by_id[one][0]], placed[parts.by_id[other][0]]
        hit = shapely.area(shapely.intersection(first, second)) > 1e-4
        contacts = [contact for contact in found.contacts if contact.parts == (one, other)]
        covered = np.zeros(len(fine), dtype=bool)
        for contact in contacts:
            covered |= (fine >= contact.begin - tolerance) & (fine <= contact.end + tolerance)
            within = (fine >= contact.begin) & (fine <= contact.end)
            assert contact.end - contact.begin < 2.0 * tolerance or hit[within].any()
            largest = shapely.area(shapely.intersection(first[within], second[within])).max(initial=0.0)
            assert contact.area >= largest * (1.0 - 1e-3)
        assert not (hit & ~covered).any()
        gap = shapely.distance(first, second).min()
        for clearance in found.clearances:
            if clearance.parts == (one, other):
                assert claimed(np.array(clearance.least), np.array(clearance.wanted)) <= gap + 1e-9
                assert clearance.proved


@pytest.mark.parametrize("seed", range(20, 32))
def test_more_frames_do_not_lose_a_clash(seed):
    few, many = (check(*random_scene(seed, frames)) for frames in (7, 91))
    assert [contact.parts for contact in few.contacts] == [contact.parts for contact in many.contacts]
    for one, other in zip(few.contacts, many.contacts, strict=True):
        assert (one.begin, one.end) == pytest.approx((other.begin, other.end), abs=1e-3)
        assert one.area == pytest.approx(other.area, rel=1e-3, abs=1e-6)
        assert one.depth == pytest.approx(other.depth, rel=0.1, abs=1e-2)


@pytest.mark.parametrize("seed", range(40, 50))
def test_it_is_all_the_same_which_body_comes_first(seed):
    project, motion = random_scene(seed, 61)
    order = [2, 1, 0]
    names = list(motion.bodies)
    turned = project_of(*(project.bodies[i] for i in order))
    paths = {names[i]: _path_of(motion, i) for i in order}
    one, other = check(project, motion), check(turned, motion_of(paths, frames=61))

    def seen(found):
        return sorted((sorted(c.parts), c.begin, c.end, c.area) for c in found.contacts)

    assert [row[0] for row in seen(one)] == [row[0] for row in seen(other)]
    for a, b in zip(seen(one), seen(other), strict=True):
        assert a[1:] == pytest.approx(b[1:], abs=1e-4)
    gaps = {frozenset(c.parts): (c.least, c.points) for c in one.clearances}
    for clearance in other.clearances:
        least, points = gaps[frozenset(clearance.parts)]
        if clearance.least <= 1.0:
            assert clearance.least == pytest.approx(least, abs=1e-3)
        if clearance.least == least > 0.0:
            assert np.array(clearance.points) == pytest.approx(np.array(points[::-1]))


def _path_of(motion, index):
    return lambda times: tuple(motion.poses_at(times)[:, index].T)


# ---- rules and depth ------------------------------------------------------------------------------------------------


@given(st.tuples(st.floats(-20, 20), st.floats(-20, 20)), st.tuples(st.floats(-20, 20), st.floats(-20, 20)))
def test_depths_that_do_not_lap_never_clash(near_and_far, other):
    first = body("door", box(-5, -5, 5, 5), depth=near_and_far)
    second = body("leg", box(-4, -6, 6, 4), depth=other)
    motion = motion_of({"door": still, "leg": still}, seconds=0.0)
    lap = min(max(near_and_far), max(other)) - max(min(near_and_far), min(other))
    assert bool(check(project_of(first, second), motion).contacts) == (lap > 0.0)


@pytest.mark.parametrize("seed", range(60, 66))
def test_ignoring_a_pair_leaves_the_others_as_they_were(seed):
    project, motion = random_scene(seed, 61)
    everything = check(project, motion)
    rule = PairRule(bodies=("wheel", "door"), rule="ignore", why="on purpose")
    rest = check(project_of(*project.bodies, pairs=(rule,)), motion)
    assert ("door", "wheel") not in rest.pairs
    kept = [contact for contact in everything.contacts if contact.parts != ("door", "wheel")]
    assert [contact.parts for contact in rest.contacts] == [contact.parts for contact in kept]
    for one, other in zip(kept, rest.contacts, strict=True):
        assert (one.begin, one.end, one.area) == pytest.approx((other.begin, other.end, other.area), abs=1e-4)
