"""Measures many pairs of parts at many moments at once: gap, common area, and a quick lower bound of the gap.

Of each pair the part whose turning matters less, the mover, is put into the other's own frame, so that the other, the
anchor, stays as it is and prepared. Geometry that is prepared belongs to one thread: a probe makes its own copies and
is used by its maker only.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from core.geometry.outlines import without_holes
from core.geometry.planar import Floats, Ints
from core.interference.overlap import TOUCH, common_areas, thickness
from core.interference.pairs import Pairs
from core.interference.placement import Parts
from core.interference.track import straight_path, strayed

Polygons = NDArray[np.object_]

MANY = 4000
"""Corners of one outline times those of the other from which on an index pays."""
ROOM = 1.5
"""A part whose circle is wider than this many times half the box about a hole cannot lie in it: the box's half diagonal
is less."""


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

    def at(self, index: Ints | NDArray[np.bool_] | slice) -> Measure:
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
    anchors: Polygons
    """(K,) prepared."""
    movers: Polygons
    """(K,)"""
    edged: NDArray[np.bool_]
    """(K,) whether the two have so many corners that the shortest line between them is found sooner by an index."""
    edges: Polygons
    """(K,) the anchors' edges, prepared: GEOS indexes lines for that, and not polygons."""
    centre: Floats
    """(K, 2) of the circle about the mover, in its own frame."""
    radius: Floats
    """(K,) how far any point of the mover is from that centre, or 0 where turning it changes nothing."""
    steady: NDArray[np.bool_]
    """(K, 2) whether the anchor and the mover are taken as round discs that do not turn: their own turn is left out of
    relative poses, and their holes are filled, which are too small for the other part to lie in."""
    anchor_centre: Floats
    """(K, 2) of the circle about the anchor, in its own frame."""
    anchor_box: Floats
    mover_box: Floats
    """(K, 4) middle x and y and half width and height, each in its own frame."""

    def __len__(self) -> int:
        return len(self.anchor)

    def relative(self, pair: Ints, anchor_poses: Floats, mover_poses: Floats) -> Floats:
        """(..., 3) poses of movers in their anchors' frames, of pairs (...)."""
        anchors = _steadied(anchor_poses, self.anchor_centre[pair], self.steady[pair, 0])
        return _steadied(relative_poses(anchors, mover_poses), self.centre[pair], self.steady[pair, 1])

    def in_place(self, pair: Ints, relative: Floats) -> Polygons:
        """(M,) movers in their anchors' frames; every pose must be a number."""
        movers = self.movers[pair]
        corners, index = shapely.get_coordinates(movers, return_index=True)
        points, turned = corners.view(complex)[:, 0], np.exp(1j * relative[:, 2])
        points *= turned.take(index)
        points += (relative[:, 0] + 1j * relative[:, 1]).take(index)
        return shapely.set_coordinates(movers, corners)

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

    def straight_path(self, pair: Ints, relative: Floats) -> Floats:
        """(S,) how far any point of movers goes at most between (S, 2, 3) relative poses, if it goes straight, mm."""
        return straight_path(self.centre[pair], self.radius[pair], relative)

    def strayed(self, pair: Ints, ends: Floats, between: Floats, share: Floats) -> Floats:
        """(S,) how far any is off the straight way between (S, 2, 3) poses at (S, n, 3), a `share` (n,) of it."""
        return strayed(self.centre[pair], self.radius[pair], ends, between, share)

    def measure(self, pair: Ints, relative: Floats) -> Measure:
        """Gap and common area of M pairs at M relative poses."""
        known = np.isfinite(relative).all(axis=1)
        if known.all():
            return self._measure(pair, relative)
        some = self._measure(pair[known], relative[known])
        gap, area, thick = np.full(len(pair), np.nan), np.zeros(len(pair)), np.zeros(len(pair))
        gap[known], area[known], thick[known] = some.gap, some.area, some.thick
        return Measure(gap=gap, area=area, thick=thick)

    def _measure(self, pair: Ints, relative: Floats) -> Measure:
        """The same, of poses that are numbers."""
        gap, area, thick = np.zeros(len(pair)), np.zeros(len(pair)), np.zeros(len(pair))
        anchors, movers = self.anchors[pair], self.in_place(pair, relative)
        meet = shapely.intersects(anchors, movers)
        together, apart = np.flatnonzero(meet), np.flatnonzero(~meet)
        if len(apart):
            gap[apart] = self._distances(pair[apart], movers[apart])
        if len(together):
            common = common_areas(anchors[together], movers[together])
            area[together], thick[together] = shapely.area(common), thickness(common)
        return Measure(gap=gap, area=area, thick=thick)

    def _distances(self, pair: Ints, movers: Polygons) -> Floats:
        """(M,) how far movers in their anchors' frames are from these, which they do not meet."""
        many = self.edged[pair]
        if not many.any():
            return np.asarray(shapely.distance(self.anchors[pair], movers))
        gap = np.empty(len(pair))
        gap[~many] = shapely.distance(self.anchors[pair[~many]], movers[~many])
        gap[many] = shapely.length(shapely.shortest_line(self.edges[pair[many]], movers[many]))
        return gap


def relative_poses(anchor_poses: Floats, mover_poses: Floats) -> Floats:
    """(..., 3) poses of movers in their anchors' frames."""
    turn = anchor_poses[..., 2]
    cosine, sine = np.cos(turn), np.sin(turn)
    x = mover_poses[..., 0] - anchor_poses[..., 0]
    y = mover_poses[..., 1] - anchor_poses[..., 1]
    return np.stack([cosine * x + sine * y, cosine * y - sine * x, mover_poses[..., 2] - turn], axis=-1)


def probe_of(parts: Parts, pairs: Pairs) -> Probe:
    """A probe of its own for one thread."""
    first_steady = _may_be_steady(parts, pairs.first, pairs.first_polygons, pairs.second, pairs.second_polygons)
    second_steady = _may_be_steady(parts, pairs.second, pairs.second_polygons, pairs.first, pairs.first_polygons)
    own_first = _copies(pairs.first_polygons, first_steady)
    own_second = _copies(pairs.second_polygons, second_steady)
    first_radius = np.where(first_steady, 0.0, parts.radius[pairs.first])
    second_radius = np.where(second_steady, 0.0, parts.radius[pairs.second])
    swapped = first_radius < second_radius
    anchor, mover = np.where(swapped, pairs.second, pairs.first), np.where(swapped, pairs.first, pairs.second)
    anchors, movers = np.where(swapped, own_second, own_first), np.where(swapped, own_first, own_second)
    shapely.prepare(anchors)
    edged = shapely.get_num_coordinates(anchors) * shapely.get_num_coordinates(movers) > MANY
    return Probe(
        anchor=anchor,
        mover=mover,
        anchors=anchors,
        movers=movers,
        edged=edged,
        edges=_edges(anchors, edged),
        centre=parts.centre[mover].reshape(-1, 2),
        radius=np.minimum(first_radius, second_radius),
        steady=np.where(swapped, (second_steady, first_steady), (first_steady, second_steady)).T,
        anchor_centre=parts.centre[anchor].reshape(-1, 2),
        anchor_box=_boxes(anchors),
        mover_box=_boxes(movers),
    )


def _may_be_steady(
    parts: Parts, index: Ints, polygons: Polygons, other: Ints, other_polygons: Polygons
) -> NDArray[np.bool_]:
    """(K,) round parts of which nothing is cut away and in none of whose holes the other part could lie."""
    alone = _whole(parts, other, other_polygons) & (shapely.get_num_geometries(other_polygons) == 1)
    outside = (parts.holes[index] == 0.0) | (alone & (parts.radius[other] > ROOM * parts.holes[index]))
    return parts.round[index] & _whole(parts, index, polygons) & outside


def _whole(parts: Parts, index: Ints, polygons: Polygons) -> NDArray[np.bool_]:
    """(K,) whether each outline is that of the whole part, the same object."""
    return _identities(polygons) == _identities(parts.polygons)[index]


def _identities(polygons: Polygons) -> Ints:
    return np.fromiter(map(id, polygons), dtype=np.intp, count=len(polygons))


def _steadied(poses: Floats, centre: Floats, steady: NDArray[np.bool_]) -> Floats:
    """Poses (..., 3), with the turn of those that are steady left out and their centres where they were."""
    if not steady.any():
        return poses
    turned = poses.copy()
    cosine, sine = np.cos(poses[steady, 2]), np.sin(poses[steady, 2])
    x, y = centre[steady, 0], centre[steady, 1]
    turned[steady, 0] += cosine * x - sine * y - x
    turned[steady, 1] += sine * x + cosine * y - y
    turned[steady, 2] = 0.0
    return turned


def _copies(polygons: Polygons, filled: NDArray[np.bool_]) -> Polygons:
    """Each outline copied once, however many pairs have it; some without their holes."""
    _, chosen, back = np.unique(2 * _identities(polygons) + filled, return_index=True, return_inverse=True)
    copies = shapely.from_wkb(shapely.to_wkb(polygons[chosen]))
    fill = filled[chosen]
    copies[fill] = [without_holes(polygon) for polygon in copies[fill]]
    own: Polygons = copies[back]
    return own


def _edges(polygons: Polygons, wanted: NDArray[np.bool_]) -> Polygons:
    """The prepared edges of each outline where they are wanted, made once for the same one."""
    edges = np.empty(len(polygons), dtype=object)
    _, chosen, back = np.unique(_identities(polygons[wanted]), return_index=True, return_inverse=True)
    found = shapely.boundary(polygons[wanted][chosen])
    shapely.prepare(found)
    edges[wanted] = found[back]
    return edges


def _boxes(polygons: Polygons) -> Floats:
    bounds = shapely.bounds(polygons).reshape(-1, 4)
    middles = 0.5 * (bounds[:, :2] + bounds[:, 2:])
    return np.hstack([middles, 0.5 * (bounds[:, 2:] - bounds[:, :2])])
