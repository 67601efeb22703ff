"""Measures many pairs of parts at many moments at once: gap, common area, and a quick lower bound of the gap.

Of each pair the smaller part, the mover, is put into the other's own frame, so that the other, the anchor, stays as
it is and prepared. Geometry that is prepared belongs to one thread: a probe makes its own copies and is used by its
maker only.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from core.interference.overlap import TOUCH, common_areas, thickness
from core.interference.pairs import Pairs
from core.interference.placement import Parts

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Polygons = NDArray[np.object_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measure:
    """What M moments of pairs show."""

    gap: Floats
    """(M,) mm; 0 where touching or lying against each other, NaN where a pose is none."""
    area: Floats
    """(M,) common area, mm²."""
    thick: Floats
    """(M,) its thickness, mm."""

    @property
    def touching(self) -> NDArray[np.bool_]:
        """(M,) whether the common area is thicker than TOUCH."""
        return self.thick > TOUCH

    def at(self, index: Ints | NDArray[np.bool_]) -> Measure:
        """Some of the moments."""
        return Measure(gap=self.gap[index], area=self.area[index], thick=self.thick[index])


def joined(found: Sequence[Measure]) -> Measure:
    """Several one after another."""
    none = np.zeros(0)
    return Measure(
        gap=np.concatenate([none, *(one.gap for one in found)]),
        area=np.concatenate([none, *(one.area for one in found)]),
        thick=np.concatenate([none, *(one.thick for one in found)]),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Probe:
    """K pairs of parts, ready to be measured."""

    anchor: Ints
    mover: Ints
    """(K,) part indices."""
    swapped: NDArray[np.bool_]
    """(K,) whether the anchor is the pair's second part."""
    anchors: Polygons
    """(K,) prepared."""
    movers: Polygons
    """(K,)"""
    centre: Floats
    """(K, 2) of the circle about the mover, in its own frame."""
    radius: Floats
    """(K,) of that circle."""
    anchor_box: Floats
    mover_box: Floats
    """(K, 4) middle x and y and half width and height, each in its own frame."""

    def __len__(self) -> int:
        return len(self.anchor)

    def in_place(self, pair: Ints, relative: Floats) -> Polygons:
        """(M,) movers in their anchors' frames; every pose must be a number."""
        movers = self.movers[pair]
        corners, index = shapely.get_coordinates(movers, return_index=True)
        cosine, sine = np.cos(relative[:, 2])[index], np.sin(relative[:, 2])[index]
        x, y = corners[:, 0], corners[:, 1]
        there = np.empty_like(corners)
        np.add(cosine * x - sine * y, relative[index, 0], out=there[:, 0])
        np.add(sine * x + cosine * y, relative[index, 1], out=there[:, 1])
        return shapely.set_coordinates(movers, there)

    def box_gap(self, pair: Ints, relative: Floats) -> Floats:
        """(M,) a lower bound of the gap: between the boxes about the two, along the axes of either; may be negative."""
        cosine, sine = np.cos(relative[:, 2]), np.sin(relative[:, 2])
        anchor, mover = self.anchor_box[pair], self.mover_box[pair]
        x = cosine * mover[:, 0] - sine * mover[:, 1] + relative[:, 0] - anchor[:, 0]
        y = sine * mover[:, 0] + cosine * mover[:, 1] + relative[:, 1] - anchor[:, 1]
        upright, slant = np.abs(cosine), np.abs(sine)
        gap_x = np.abs(x) - anchor[:, 2] - upright * mover[:, 2] - slant * mover[:, 3]
        gap_y = np.abs(y) - anchor[:, 3] - slant * mover[:, 2] - upright * mover[:, 3]
        along = np.abs(cosine * x + sine * y) - mover[:, 2] - upright * anchor[:, 2] - slant * anchor[:, 3]
        across = np.abs(cosine * y - sine * x) - mover[:, 3] - slant * anchor[:, 2] - upright * anchor[:, 3]
        corner = np.hypot(np.maximum(gap_x, 0.0), np.maximum(gap_y, 0.0))
        return np.maximum(np.maximum(np.where(corner > 0.0, corner, np.maximum(gap_x, gap_y)), along), across)

    def measure(self, pair: Ints, relative: Floats) -> Measure:
        """Gap and common area of M pairs at M relative poses."""
        gap, area, thick = np.full(len(pair), np.nan), np.zeros(len(pair)), np.zeros(len(pair))
        known = np.flatnonzero(np.isfinite(relative).all(axis=1))
        anchors, movers = self.anchors[pair[known]], self.in_place(pair[known], relative[known])
        meet = shapely.intersects(anchors, movers)
        gap[known[~meet]] = shapely.distance(anchors[~meet], movers[~meet])
        gap[known[meet]] = 0.0
        common = common_areas(anchors[meet], movers[meet])
        area[known[meet]] = shapely.area(common)
        thick[known[meet]] = thickness(common)
        return Measure(gap=gap, area=area, thick=thick)


def relative_poses(anchor_poses: Floats, mover_poses: Floats) -> Floats:
    """(..., 3) poses of movers in their anchors' frames."""
    turn = anchor_poses[..., 2]
    cosine, sine = np.cos(turn), np.sin(turn)
    x = mover_poses[..., 0] - anchor_poses[..., 0]
    y = mover_poses[..., 1] - anchor_poses[..., 1]
    return np.stack([cosine * x + sine * y, cosine * y - sine * x, mover_poses[..., 2] - turn], axis=-1)


def probe_of(parts: Parts, pairs: Pairs) -> Probe:
    """A probe of its own for one thread."""
    own_first, own_second = _copies(pairs.first_polygons), _copies(pairs.second_polygons)
    swapped = parts.radius[pairs.first] < parts.radius[pairs.second]
    anchors = np.where(swapped, own_second, own_first)
    movers = np.where(swapped, own_first, own_second)
    shapely.prepare(anchors)
    mover = np.where(swapped, pairs.first, pairs.second)
    return Probe(
        anchor=np.where(swapped, pairs.second, pairs.first),
        mover=mover,
        swapped=swapped,
        anchors=anchors,
        movers=movers,
        centre=parts.centre[mover].reshape(-1, 2),
        radius=parts.radius[mover],
        anchor_box=_boxes(anchors),
        mover_box=_boxes(movers),
    )


def _copies(polygons: Polygons) -> Polygons:
    """Each outline copied once, however many pairs have it."""
    copies: dict[int, object] = {}
    own = np.empty(len(polygons), dtype=object)
    for k, polygon in enumerate(polygons):
        if id(polygon) not in copies:
            copies[id(polygon)] = shapely.from_wkb(shapely.to_wkb(polygon))
        own[k] = copies[id(polygon)]
    return own


def _boxes(polygons: Polygons) -> Floats:
    bounds = shapely.bounds(polygons).reshape(-1, 4)
    middles = 0.5 * (bounds[:, :2] + bounds[:, 2:])
    return np.hstack([middles, 0.5 * (bounds[:, 2:] - bounds[:, :2])])
