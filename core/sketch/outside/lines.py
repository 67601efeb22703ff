"""Loose lines and arcs made into outlines: chained end to end, closed, and holes put into what surrounds them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from core.document.project import Circle, Corner, Polygon, Ring, Shape
from core.geometry.curves import arc, arc_corners, signed_area
from core.geometry.planar import Floats
from core.sketch.moving import Likeness, moved_shape
from core.sketch.reshaping import bulge_of

SAME_END = 1e-6
"""Ends nearer than this part of the whole drawing's size are one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A line or several, one after the other: corners with their bulges; the last has none unless it is closed."""

    corners: Ring
    closed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlines:
    """What a file held, in its own unit, y up."""

    shapes: tuple[Shape, ...]
    """Closed outlines with their holes, and circles, the largest first."""
    open_lines: tuple[Ring, ...]
    """What does not close: a wall's middle line, perhaps."""
    unit: str | None
    """The file's unit as `core.units` names it; None where it names none, and has to be asked."""
    left_out: tuple[str, ...] = ()
    """What was passed over, in words with its count."""

    def in_millimetres(self, factor: float) -> Outlines:
        """The same with lengths times a factor."""
        by = Likeness.scaling(factor)
        return Outlines(
            shapes=tuple(moved_shape(shape, by) for shape in self.shapes),
            open_lines=tuple(tuple(by.corner(corner) for corner in line) for line in self.open_lines),
            unit="mm",
            left_out=self.left_out,
        )


def outlines_of(
    runs: Iterable[Run], circles: Iterable[Circle], *, unit: str | None, left_out: Sequence[str] = ()
) -> Outlines:
    """Chain runs into rings, and put rings into each other as holes."""
    closed: list[Ring] = []
    loose: list[Ring] = []
    for run in runs:
        (closed if run.closed else loose).append(run.corners)
    rings, open_lines = _chained(loose)
    discs = list(circles)
    solids = _nested([*closed, *rings], discs)
    return Outlines(shapes=tuple(solids), open_lines=tuple(open_lines), unit=unit, left_out=tuple(left_out))


# ---- chaining --------------------------------------------------------------------------------------------------------


def reversed_line(line: Ring) -> Ring:
    """The same line from its end to its start."""
    bulges = [bulge_of(corner) for corner in line[:-1]]
    points = [(corner[0], corner[1]) for corner in reversed(line)]
    turned: list[Corner] = [
        (x, y, -bulge) if bulge else (x, y) for (x, y), bulge in zip(points[:-1], reversed(bulges), strict=True)
    ]
    return (*turned, points[-1])


def _chained(lines: Sequence[Ring]) -> tuple[list[Ring], list[Ring]]:
    """Closed rings, and lines that stay open."""
    kept = [line for line in lines if len(line) > 1]
    if not kept:
        return [], []
    every = np.array([corner[:2] for line in kept for corner in line])
    near = SAME_END * max(float(np.hypot(*np.ptp(every, axis=0))), 1e-9)
    left = set(range(len(kept)))
    ends: dict[tuple[int, int], list[int]] = {}
    for i, line in enumerate(kept):
        for end in (line[0], line[-1]):
            ends.setdefault(_cell(end, near), []).append(i)
    rings: list[Ring] = []
    open_lines: list[Ring] = []
    for i in range(len(kept)):
        if i not in left:
            continue
        left.discard(i)
        line = _grown(kept[i], kept, left, ends, near)
        if math.dist(line[0][:2], line[-1][:2]) > near:
            line = reversed_line(_grown(reversed_line(line), kept, left, ends, near))
        if len(line) > 2 and math.dist(line[0][:2], line[-1][:2]) <= near:
            rings.append(line[:-1])
        else:
            open_lines.append(line)
    return rings, open_lines


def _grown(
    line: Ring, lines: Sequence[Ring], left: set[int], ends: dict[tuple[int, int], list[int]], near: float
) -> Ring:
    """A line carried on from its end as far as others begin or end there."""
    while math.dist(line[0][:2], line[-1][:2]) > near or len(line) < 3:
        following = next((i for i in _about(line[-1], ends, near) if i in left), None)
        if following is None:
            break
        left.discard(following)
        more = lines[following]
        if math.dist(more[0][:2], line[-1][:2]) > math.dist(more[-1][:2], line[-1][:2]):
            more = reversed_line(more)
        line = (*line[:-1], *more)
    return line


def _cell(at: Corner, near: float) -> tuple[int, int]:
    return (math.floor(at[0] / near), math.floor(at[1] / near))


def _about(at: Corner, ends: dict[tuple[int, int], list[int]], near: float) -> Iterable[int]:
    x, y = _cell(at, near)
    for i in (x, x - 1, x + 1):
        for j in (y, y - 1, y + 1):
            yield from ends.get((i, j), ())


# ---- holes -----------------------------------------------------------------------------------------------------------


def _nested(rings: Sequence[Ring], circles: Sequence[Circle]) -> list[Shape]:
    """Rings within an odd number of others are holes of the smallest of them."""
    every: list[Ring | Circle] = [*rings, *circles]
    solids = [shapely.Polygon(_flat(one)) for one in every]
    solids = [one if one.is_valid else one.buffer(0) for one in solids]
    order = sorted(range(len(every)), key=lambda i: -solids[i].area)
    inside = {i: [j for j in order if solids[j].area > solids[i].area and solids[j].contains(solids[i])] for i in order}
    made: list[Shape] = []
    for i in order:
        if solids[i].area <= 0.0 or len(inside[i]) % 2:
            continue
        holes = [j for j in order if len(inside[j]) == len(inside[i]) + 1 and i in inside[j]]
        made.append(_solid(every[i], [every[j] for j in holes]))
    return made


def _solid(outer: Ring | Circle, holes: Sequence[Ring | Circle]) -> Shape:
    if isinstance(outer, Circle) and not holes:
        return outer
    return Polygon(points=_counter_clockwise(_ring(outer)), holes=tuple(_ring(hole) for hole in holes))


def _ring(one: Ring | Circle) -> Ring:
    if isinstance(one, Circle):
        x, y = one.centre
        return ((x - one.radius, y, 1.0), (x + one.radius, y, 1.0))
    return one


def _counter_clockwise(ring: Ring) -> Ring:
    if signed_area(_flat(ring)) >= 0.0:
        return ring
    closed = reversed_line((*ring, ring[0][:2]))
    return closed[:-1]


def _flat(one: Ring | Circle) -> Floats:
    ring = _ring(one)
    parts = [
        arc_corners(corner, ring[(i + 1) % len(ring)], bulge_of(corner), outside=False) for i, corner in enumerate(ring)
    ]
    return np.concatenate(parts)


# ---- curves to arcs --------------------------------------------------------------------------------------------------


def arcs_through(points: Floats, within: float) -> Ring:
    """Corners and bulges of arcs and straight edges that stay within so much of a finely flattened curve (n, 2).

    Each arc is carried on as far as it stays near enough, so that a circle drawn as a spline becomes a few arcs.
    """
    made: list[Corner] = []
    first, last = 0, len(points) - 1
    while first < last:
        reach, bulge = _longest(points, first, last, within)
        x, y = points[first].tolist()
        made.append((x, y, bulge) if bulge else (x, y))
        first = reach
    x, y = points[last].tolist()
    return (*made, (x, y))


def _longest(points: Floats, first: int, last: int, within: float) -> tuple[int, float]:
    """How far one edge may reach, and its bulge: doubled while it is good, then halved in."""
    good, bulge, step = first + 1, 0.0, 1
    while good < last:
        tried = min(good + step, last)
        found = _edge(points[first : tried + 1], within)
        if found is not None:
            good, bulge, step = tried, found, step * 2
        elif step == 1:
            break
        else:
            step = max(1, step // 4)
    return good, bulge


def _edge(points: Floats, within: float) -> float | None:
    """The bulge of an edge from the first point to the last that all lie on; None where none does."""
    start, end = points[0], points[-1]
    x, y = (end - start).tolist()
    chord = math.hypot(x, y)
    if chord <= 1e-12:
        return None
    off = ((points[:, 0] - start[0]) * y - (points[:, 1] - start[1]) * x) / chord
    if np.abs(off).max() <= 0.25 * within:
        return 0.0
    # The point nearest to the chord's middle gives the arc.
    along = ((points[:, 0] - start[0]) * x + (points[:, 1] - start[1]) * y) / chord
    middle = int(np.abs(along - 0.5 * chord).argmin())
    if not 0 < middle < len(points) - 1:
        return None
    a, h = float(along[middle]) - 0.5 * chord, float(off[middle])
    rise = _rise(chord, a, h)
    bulge = 2.0 * rise / chord
    if not bulge or abs(bulge) > 1.0:
        return None
    cx, cy, radius, _, _ = arc(start.tolist(), end.tolist(), bulge)
    away = np.abs(np.hypot(points[:, 0] - cx, points[:, 1] - cy) - radius)
    return bulge if away.max() <= within and (np.diff(along) >= -within).all() else None


def _rise(chord: float, a: float, h: float) -> float:
    """The rise of the circle through both ends of a chord and a point `a` from its middle along it, `h` beside it."""
    if h == 0.0:
        return 0.0
    half = 0.5 * chord
    # Ends at (-half, 0) and (half, 0), centre at (0, c): half² + c² = a² + (h - c)².
    c = (a * a + h * h - half * half) / (2.0 * h)
    radius = math.hypot(half, c)
    return c + math.copysign(radius, h)
