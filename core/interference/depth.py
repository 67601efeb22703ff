"""How far one part must move to come clear of another.

Depth is the length of the shortest straight move of the one, turning neither, after which the two have no area in common
and on the way to which they always had. For one direction it is exact. Over directions it is the least of the
normals of the common area's edges and of an even fan, refined about the best; so it is never too small, and for convex
outlines, where the shortest way out is square to an edge, exact.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.optimize import minimize_scalar
from shapely.geometry.base import BaseGeometry

Floats = NDArray[np.float64]

FAN = 16
"""Directions tried all round, besides the normals of the common area's edges."""
MOST_NORMALS = 12
SAME_WAY = math.radians(2.0)
"""Normals closer than this are tried as one."""
JOIN = 1e-9
"""Moves, in mm, between which there is less than this count as one."""


def depth_of_overlap(fixed: BaseGeometry, moving: BaseGeometry, common: BaseGeometry, *, refine: bool = True) -> float:
    """Depth in mm of two outlines whose common area is known; without `refine` it may be a few per cent too large."""
    fixed_edges, moving_edges = edges_of(fixed), edges_of(moving)

    def way_out(angle: float) -> float:
        return clear_move(fixed, moving, fixed_edges, moving_edges, angle)

    angles = _directions(common)
    moves = np.array([way_out(angle) for angle in angles])
    best = int(np.argmin(moves))
    if not refine:
        return float(moves[best])
    beside = np.sort(np.abs(_wrapped(angles - angles[best])))
    reach = max(float(beside[1]) if len(beside) > 1 else 0.0, SAME_WAY)
    found = minimize_scalar(
        way_out, bounds=(angles[best] - reach, angles[best] + reach), method="bounded", options={"xatol": 1e-7}
    )
    return float(min(moves[best], found.fun))


def edges_of(geometry: BaseGeometry) -> Floats:
    """(n, 4) every edge of an outline, holes included: x and y of its start, x and y of its end."""
    rings = shapely.get_rings(shapely.get_parts(np.atleast_1d(np.asarray(geometry, dtype=object))))
    corners, ring = shapely.get_coordinates(rings, return_index=True)
    inside = ring[1:] == ring[:-1]
    return np.hstack([corners[:-1][inside], corners[1:][inside]])


def clear_move(
    fixed: BaseGeometry, moving: BaseGeometry, fixed_edges: Floats, moving_edges: Floats, angle: float
) -> float:
    """How far `moving` must go in one direction until it first has no area in common with `fixed`."""
    low, high = _crossing_moves(fixed_edges, moving_edges, angle)
    if not len(low):
        return 0.0
    order = np.argsort(low)
    low, high = low[order], np.maximum.accumulate(high[order])
    # While some edges cross the outlines overlap; where none do, one holds the other or they are clear.
    reached = 0.0
    open_ends = np.flatnonzero(low[1:] > high[:-1] + JOIN)
    starts = np.concatenate([[0], open_ends + 1])
    ends = np.concatenate([open_ends, [len(low) - 1]])
    for start, end in zip(starts, ends, strict=True):
        if high[end] <= reached:
            continue
        if low[start] > reached + JOIN and not _overlap_when_moved(fixed, moving, angle, 0.5 * (reached + low[start])):
            return reached
        reached = float(high[end])
    return reached


def _crossing_moves(fixed_edges: Floats, moving_edges: Floats, angle: float) -> tuple[Floats, Floats]:
    """For each two edges that meet somewhere along the way, the first and last move at which they cross."""
    cosine, sine = math.cos(angle), math.sin(angle)
    along_a, across_a = _in_direction(fixed_edges, cosine, sine)
    along_b, across_b = _in_direction(moving_edges, cosine, sine)
    near = (across_a.max(axis=0) > across_b.min()) & (across_a.min(axis=0) < across_b.max())
    along_a, across_a = along_a[:, near], across_a[:, near]
    low = np.maximum(across_a.min(axis=0)[:, None], across_b.min(axis=0)[None, :])
    high = np.minimum(across_a.max(axis=0)[:, None], across_b.max(axis=0)[None, :])
    i, j = np.nonzero(high > low)
    bottom = _at(along_a, across_a, i, low[i, j]) - _at(along_b, across_b, j, low[i, j])
    top = _at(along_a, across_a, i, high[i, j]) - _at(along_b, across_b, j, high[i, j])
    return np.minimum(bottom, top), np.maximum(bottom, top)


def _in_direction(edges: Floats, cosine: float, sine: float) -> tuple[Floats, Floats]:
    """(2, n) of start and end, along and across a direction."""
    x, y = edges[:, 0::2].T, edges[:, 1::2].T
    return cosine * x + sine * y, cosine * y - sine * x


def _at(along: Floats, across: Floats, edge: NDArray[np.intp], level: Floats) -> Floats:
    """Where edges stand along the direction at a level across it; they are never parallel to it."""
    start, end = across[0, edge], across[1, edge]
    return along[0, edge] + (along[1, edge] - along[0, edge]) * ((level - start) / (end - start))


def _overlap_when_moved(fixed: BaseGeometry, moving: BaseGeometry, angle: float, move: float) -> bool:
    shifted = shapely.transform(moving, lambda corners: corners + [move * math.cos(angle), move * math.sin(angle)])
    return bool(shapely.intersects(fixed, shifted))


def _directions(common: BaseGeometry) -> Floats:
    """Angles to try: the normals, both ways, of the common area's edges, the longest first; and an even fan."""
    edges = edges_of(common)
    steps = edges[:, 2:] - edges[:, :2]
    lengths = np.hypot(steps[:, 0], steps[:, 1])
    kept: list[float] = []
    for index in np.argsort(-lengths)[: 8 * MOST_NORMALS]:
        angle = math.atan2(-steps[index, 0], steps[index, 1]) % math.pi
        if lengths[index] > 0.0 and all(abs(math.remainder(angle - other, math.pi)) > SAME_WAY for other in kept):
            kept.append(angle)
        if len(kept) == MOST_NORMALS:
            break
    normals = np.array(kept)
    return np.concatenate([normals, normals + math.pi, 2.0 * math.pi * np.arange(FAN) / FAN])


def _wrapped(angles: Floats) -> Floats:
    return (angles + np.pi) % (2.0 * np.pi) - np.pi
