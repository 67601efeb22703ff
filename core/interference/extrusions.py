"""Measures pairs of parts that are drawn in different views: the gap between them in space, and what they have in
common.

Each part is an extrusion of its outline through its depth. Seen in the one view, the other part is what of its own
outline lies within the one's depth, flattened: the spans that this takes along the axis both views share, each as a
rectangle as wide as the other's depth. The two meet exactly when the one's outline has some area in common with these
rectangles, and then so it is in the other view. A part moves in its own view only, and there the rectangles stay as
they are: how far it must go to come clear of them is how far it must go to come clear of the other part.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from core.geometry.planar import Bools, Floats, Ints
from core.interference.depth import depth_of_overlap, quick_depth
from core.interference.folded import Folded, Nearest, common, fold, merged, nearest, within_depth
from core.interference.overlap import common_areas
from core.interference.pairs import PairsAcross
from core.interference.placement import Parts, moved, turning_radius
from core.interference.probe import Measure
from core.interference.track import straight_path, strayed

Polygons = NDArray[np.object_]

LOOKS = (0.5, 0.25, 0.75, 0.1, 0.9)
"""At these parts of a common span room is looked for that both outlines share."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Seen:
    """What M pairs have in common, as it is seen in both views, in (across, shared) of each view."""

    outlines: tuple[Polygons, Polygons]
    """(M,) of the parts themselves, where they stand."""
    others: tuple[Polygons, Polygons]
    """(M,) what is seen of the other part within the own depth: rectangles, or nothing."""
    areas: tuple[Polygons, Polygons]
    """(M,) what outline and rectangles have in common."""

    def depth(self, index: int, *, quick: bool = False) -> float:
        """How far one of the two must move, in its own view, to come clear, mm: the shorter of both ways."""
        measure = quick_depth if quick else depth_of_overlap
        return min(
            measure(self.others[view][index], self.outlines[view][index], self.areas[view][index]) for view in (0, 1)
        )


class Extrusions:
    """K pairs of parts, ready to be measured wherever they stand. Poses of a pair are (..., 6): the first's x, y and
    turn, then the second's."""

    def __init__(self, parts: Parts, across: PairsAcross) -> None:
        self.across = across
        self.anchor, self.mover = across.pairs.first, across.pairs.second
        self._sides = tuple(_Side(parts, across, view) for view in (0, 1))

    def __len__(self) -> int:
        return len(self.anchor)

    def relative(self, pair: Ints, first_poses: Floats, second_poses: Floats) -> Floats:  # noqa: ARG002
        """(..., 6) poses of pairs: nothing is relative between two views but the shared axis."""
        return np.concatenate([first_poses, second_poses], axis=-1)

    def straight_path(self, pair: Ints, poses: Floats) -> Floats:
        """(S,) how far any point of both parts goes at most, together, between (S, 2, 6) poses, if they go straight."""
        ways = [side.straight_path(pair, poses[..., 3 * n : 3 * n + 3]) for n, side in enumerate(self._sides)]
        return np.asarray(ways[0] + ways[1])

    def strayed(self, pair: Ints, ends: Floats, between: Floats, share: Floats) -> Floats:
        """(S,) how far any point of both is off the straight way, together, as `track.strayed` says it of one."""
        off = [
            side.strayed(pair, ends[..., 3 * n : 3 * n + 3], between[..., 3 * n : 3 * n + 3], share)
            for n, side in enumerate(self._sides)
        ]
        return np.asarray(off[0] + off[1])

    def measure(self, pair: Ints, poses: Floats) -> Measure:
        """Gap and common areas of M pairs at (M, 6) poses.

        `area` is the sum of the areas that are common in the two views; `thick` is the width of a disc that lies within
        either outline, about points that both parts have in common: as far as half of that both may move, taken
        together, and still touch.
        """
        gap, area, thick = np.full(len(pair), np.nan), np.zeros(len(pair)), np.zeros(len(pair))
        known = np.flatnonzero(np.isfinite(poses).all(axis=1))
        first, second = self._folded(pair[known], poses[known])
        meet = _meet(first, second, len(known))
        apart = np.flatnonzero(~meet)
        if len(apart):
            ours, theirs = _only(first, apart, len(known)), _only(second, apart, len(known))
            gap[known[apart]] = nearest(ours, theirs, len(apart)).gap
        gap[known[meet]] = 0.0
        area[known[meet]], thick[known[meet]] = _extent(self.seen(pair[known[meet]], poses[known[meet]]))
        return Measure(gap=gap, area=area, thick=thick)

    def meet(self, pair: Ints, poses: Floats) -> Bools:
        """(M,) whether pairs touch or lie against each other at (M, 6) poses that are numbers."""
        return _meet(*self._folded(pair, poses), len(pair))

    def nearest(self, pair: Ints, poses: Floats) -> Nearest:
        """Where the gaps of M pairs at (M, 6) poses are."""
        return nearest(*self._folded(pair, poses), len(pair))

    def seen(self, pair: Ints, poses: Floats) -> Seen:
        """What M pairs have in common at (M, 6) poses."""
        outlines = tuple(
            side.outlines(pair, poses[:, 3 * view : 3 * view + 3]) for view, side in enumerate(self._sides)
        )
        slabs = tuple(_finite(self.across.slabs[pair, view], outlines[view]) for view in (0, 1))
        spans = tuple(_spans_within(outlines[view], slabs[view]) for view in (0, 1))
        others = tuple(_rectangles(slabs[view], *spans[1 - view]) for view in (0, 1))
        areas = tuple(common_areas(outlines[view], others[view]) for view in (0, 1))
        return Seen(outlines=(outlines[0], outlines[1]), others=(others[0], others[1]), areas=(areas[0], areas[1]))

    def in_view(self, pair: Ints, view: int, points: Floats) -> Floats:
        """(M, 2) points (across, shared) as they are drawn in the first's view (0) or the second's (1)."""
        upright = self.across.upright[pair, view]
        return np.where(upright[:, None], points, points[:, ::-1])

    def area_in_view(self, pair: int, view: int, area: BaseGeometry) -> BaseGeometry:
        """An area of (across, shared) as it is drawn."""
        if self.across.upright[pair, view]:
            return area
        return shapely.transform(area, lambda corners: corners[:, ::-1])

    def as_seen(self, pair: Ints, view: int, own: Floats, other: Floats) -> Floats:
        """(M, 2) where the other part's point (across, shared) in its own view is seen in this one: at its place along
        the shared axis, and across as near to the own point as its depth lets it be."""
        slab = self.across.slabs[pair, view]
        return np.stack([own[:, 0].clip(slab[:, 0], slab[:, 1]), other[:, 1]], axis=1)

    def _folded(self, pair: Ints, poses: Floats) -> tuple[Folded, Folded]:
        first, second = (side.folded(pair, poses[:, 3 * n : 3 * n + 3]) for n, side in enumerate(self._sides))
        return first, second


class _Side:
    """The first parts of all pairs, or the second ones."""

    def __init__(self, parts: Parts, across: PairsAcross, view: int) -> None:
        index = across.pairs.first if view == 0 else across.pairs.second
        self._polygons = across.pairs.first_polygons if view == 0 else across.pairs.second_polygons
        self._centre, self._radius = parts.centre[index], turning_radius(parts)[index]
        self._upright, self._slabs = across.upright[:, view], across.slabs[:, view]
        _, chosen, which = np.unique(
            np.fromiter(map(id, self._polygons), dtype=np.intp, count=len(self._polygons)),
            return_index=True,
            return_inverse=True,
        )
        self._which = which
        pieces, of_piece = shapely.get_parts(self._polygons[chosen], return_index=True)
        rings, of_ring = shapely.get_rings(pieces, return_index=True)
        corners, ring = shapely.get_coordinates(rings, return_index=True)
        inside = ring[1:] == ring[:-1]
        self._start, self._end = corners[:-1][inside], corners[1:][inside]
        self._begins = np.searchsorted(of_piece[of_ring[ring[:-1][inside]]], np.arange(len(chosen) + 1))

    def straight_path(self, pair: Ints, poses: Floats) -> Floats:
        return straight_path(self._centre[pair], self._radius[pair], poses)

    def strayed(self, pair: Ints, ends: Floats, between: Floats, share: Floats) -> Floats:
        return strayed(self._centre[pair], self._radius[pair], ends, between, share)

    def folded(self, pair: Ints, poses: Floats) -> Folded:
        """(M,) outlines at (M, 3) poses, folded at the limits of the others' depths."""
        begins, ends = self._begins[self._which[pair]], self._begins[self._which[pair] + 1]
        sizes = ends - begins
        of = np.repeat(np.arange(len(pair)), sizes)
        edge = np.arange(len(of)) - np.repeat(np.cumsum(sizes) - sizes - begins, sizes)
        upright = self._upright[pair][of]
        start = _placed(self._start[edge], poses[of], upright)
        end = _placed(self._end[edge], poses[of], upright)
        return fold(of, start, end, self._slabs[pair][of])

    def outlines(self, pair: Ints, poses: Floats) -> Polygons:
        """(M,) outlines in (across, shared)."""
        there = moved(self._polygons[pair], poses)
        flat = np.flatnonzero(~self._upright[pair])
        there[flat] = shapely.transform(there[flat], lambda corners: corners[:, ::-1])
        return there


def _placed(corners: Floats, poses: Floats, upright: NDArray[np.bool_]) -> Floats:
    cosine, sine = np.cos(poses[:, 2]), np.sin(poses[:, 2])
    x = cosine * corners[:, 0] - sine * corners[:, 1] + poses[:, 0]
    y = sine * corners[:, 0] + cosine * corners[:, 1] + poses[:, 1]
    return np.stack([np.where(upright, x, y), np.where(upright, y, x)], axis=1)


def _meet(first: Folded, second: Folded, count: int) -> Bools:
    meet = np.zeros(count, dtype=bool)
    meet[common(within_depth(first), within_depth(second))[0]] = True
    return meet


def _only(folded: Folded, which: Ints, count: int) -> Folded:
    """Some of the outlines, numbered anew."""
    number = np.full(count, -1)
    number[which] = np.arange(len(which))
    kept = folded.at(number[folded.of] >= 0)
    return Folded(of=number[kept.of], across=kept.across, outside=kept.outside, shared=kept.shared)


def _finite(slabs: Floats, outlines: Polygons) -> Floats:
    """Slabs (M, 2) without infinite limits: those just beyond the outlines."""
    bounds = shapely.bounds(outlines).reshape(-1, 4)
    low, high = bounds[:, 0] - 1.0, bounds[:, 2] + 1.0
    return np.stack(
        [np.where(np.isinf(slabs[:, 0]), low, slabs[:, 0]), np.where(np.isinf(slabs[:, 1]), high, slabs[:, 1])], axis=1
    )


def _spans_within(outlines: Polygons, slabs: Floats) -> tuple[Ints, Floats]:
    """Spans along the shared axis over which outlines have some area within the depth."""
    bounds = shapely.bounds(outlines).reshape(-1, 4)
    strips = shapely.box(slabs[:, 0], bounds[:, 1] - 1.0, slabs[:, 1], bounds[:, 3] + 1.0)
    return _spans(common_areas(outlines, strips))


def _spans(areas: Polygons) -> tuple[Ints, Floats]:
    """The spans of the shared axis that areas take, of each in order and apart."""
    pieces, of = shapely.get_parts(areas, return_index=True)
    solid = shapely.area(pieces) > 0.0
    bounds = shapely.bounds(pieces[solid]).reshape(-1, 4)
    return merged(of[solid], bounds[:, [1, 3]])


def _rectangles(slabs: Floats, of: Ints, spans: Floats) -> Polygons:
    """(M,) rectangles as wide as slabs (M, 2) over spans (I, 2) of things `of` (I,); nothing where there are none."""
    found = np.empty(len(slabs), dtype=object)
    found[:] = shapely.Polygon()
    boxes = shapely.box(slabs[of, 0], spans[:, 0], slabs[of, 1], spans[:, 1])
    which, begins = np.unique(of, return_index=True)
    if len(which):
        found[which] = shapely.multipolygons(boxes, indices=np.searchsorted(which, of))
        single = np.diff(np.append(begins, len(of))) == 1
        found[which[single]] = boxes[begins[single]]
    return found


def _extent(seen: Seen) -> tuple[Floats, Floats]:
    """(M,) the areas common in both views taken together, and how thick the common part is."""
    count = len(seen.areas[0])
    thick = np.zeros(count)
    both = [shapely.area(areas) for areas in seen.areas]
    of, spans = _spans(seen.areas[0])
    kept = both[1][of] > 0.0
    of, spans = of[kept], spans[kept]
    for look in LOOKS:
        if not len(of):
            break
        row = spans[:, 0] + look * (spans[:, 1] - spans[:, 0])
        room = [_room_in_row(seen.outlines[view][of], seen.areas[view][of], row) for view in (0, 1)]
        np.maximum.at(thick, of, 2.0 * np.minimum(*room))
    return np.where(thick > 0.0, both[0] + both[1], 0.0), thick


def _room_in_row(outlines: Polygons, areas: Polygons, row: Floats) -> Floats:
    """(I,) how far the middle of the longest piece of a row of each area is from the outline's edge; 0 without any."""
    bounds = shapely.bounds(areas).reshape(-1, 4)
    ends = np.stack([np.stack([bounds[:, 0] - 1.0, row], axis=1), np.stack([bounds[:, 2] + 1.0, row], axis=1)], axis=1)
    pieces, of = shapely.get_parts(shapely.intersection(areas, shapely.linestrings(ends)), return_index=True)
    room, longest = np.zeros(len(row)), np.zeros(len(row))
    lengths = shapely.length(pieces)
    order = np.argsort(lengths, kind="stable")
    order = order[lengths[order] > 0.0]
    longest[of[order]] = lengths[order]
    middles = np.empty(len(row), dtype=object)
    middles[of[order]] = shapely.line_interpolate_point(pieces[order], 0.5, normalized=True)
    found = np.flatnonzero(longest > 0.0)
    room[found] = shapely.distance(middles[found], shapely.boundary(outlines[found]))
    return room
