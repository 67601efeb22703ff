"""How far one part must move to come clear of another.

Depth is the length of the shortest straight move of the one, without turning, up to which the two have some area in
common and after which they have none. For one direction it is exact, for outlines of any shape. Over directions it is
the least of the normals of the common area's edges and of an even fan, narrowed down about the best; so it is never too
small. For convex outlines, where the shortest way out is square to an edge, it is the shortest; for others it was
within a hundredth of it in every one of 239 random overlaps of star-shaped outlines.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from core.geometry.planar import Bools, Floats, Ints

FAN = 36
"""Directions tried all round, besides the normals of the common area's edges."""
QUICK_FAN = 12
MOST_NORMALS = 12
LONG_EDGE = 0.1
"""Edges shorter than this part of the longest are pieces of curves; the fan and the narrowing find their normals."""
SAME_WAY = math.radians(2.0)
"""Normals closer than this are tried as one."""
NARROWINGS = 5
NARROWING_FAN = 5
FEW = 4
"""So many directions in which the outlines come clear outright soonest are looked at first, and those of so many edges
of the common area: what needs no more than the best of these is soon told of all others."""
MANY = 100_000
"""Directions times edges of one outline times those of the other from which on that pays."""
AT_ONCE = 200_000
"""Pairs of edges looked at together: memory for many more takes longer to get than to fill."""
ROUNDED = 1e-9
"""Of a move: what rounding may add to it."""
JOIN = 1e-9
"""Moves, in mm, between which there is less than this count as one."""


def depth_of_overlap(fixed: BaseGeometry, moving: BaseGeometry, common: BaseGeometry) -> float:
    """Depth in mm of two outlines whose common area is known."""
    convex = _depth_of_convex(fixed, moving)
    if convex is not None:
        return convex
    ways = _Ways(fixed, moving)
    best, least = ways.shortest(_directions(common, FAN))
    reach = max(SAME_WAY, math.pi / FAN)
    for _ in range(NARROWINGS):
        fan = best + reach * np.linspace(-1.0, 1.0, NARROWING_FAN)
        moves = ways.clear_moves(fan, least)
        if moves.min() < least:
            best, least = float(fan[moves.argmin()]), float(moves.min())
        reach *= 0.5
    return least


def quick_depth(fixed: BaseGeometry, moving: BaseGeometry, common: BaseGeometry) -> float:
    """The same for what moves under the hand: of outlines that are not both convex from fewer directions, never too
    small, and seldom by much too large."""
    convex = _depth_of_convex(fixed, moving)
    return _Ways(fixed, moving).shortest(_directions(common, QUICK_FAN))[1] if convex is None else convex


def _depth_of_convex(fixed: BaseGeometry, moving: BaseGeometry) -> float | None:
    """Of two convex outlines exactly, by the normals of their edges; None where one of them is not convex.

    The moves at which two convex outlines overlap are a convex outline themselves, whose edges are those of both
    (Minkowski's difference: M. de Berg and others, Computational Geometry, 3rd edition, section 13.3).
    """
    one, other = _convex_corners(fixed), _convex_corners(moving)
    if one is None or other is None:
        return None
    ways = np.concatenate([_outward(one), -_outward(other)])
    out = (ways @ one.T).max(axis=1) - (ways @ other.T).min(axis=1)
    return max(float(out.min()), 0.0)


def _convex_corners(geometry: BaseGeometry) -> Floats | None:
    """(n, 2) corners counter-clockwise of a convex outline; None for any other."""
    if geometry.geom_type != "Polygon" or len(geometry.interiors):
        return None
    corners = shapely.get_coordinates(geometry)[:-1]
    along = np.roll(corners, -1, axis=0) - corners
    after = np.roll(along, -1, axis=0)
    bends = along[:, 0] * after[:, 1] - along[:, 1] * after[:, 0]
    straight = 1e-12 * float(np.abs(along).max(initial=0.0)) ** 2
    if (bends < -straight).any():
        corners, bends = corners[::-1], -bends
        if (bends < -straight).any():
            return None
    turned = np.arctan2(along[:, 1], along[:, 0])
    round_ = np.abs(np.remainder(np.diff(turned, append=turned[:1]) + math.pi, 2.0 * math.pi) - math.pi).sum()
    return np.asarray(corners) if round_ < 3.0 * math.pi else None  # a star bends one way too, but twice round


def _outward(corners: Floats) -> Floats:
    """(n, 2) unit normals of the edges of an outline that runs counter-clockwise."""
    along = np.roll(corners, -1, axis=0) - corners
    length = np.hypot(along[:, 0], along[:, 1])
    along, length = along[length > 0.0], length[length > 0.0]
    return np.stack([along[:, 1], -along[:, 0]], axis=1) / length[:, None]


def edges_of(geometry: BaseGeometry) -> Floats:
    """(4, n) every edge of an outline, holes included: x and y of its start, x and y of its end."""
    rings = shapely.get_rings(shapely.get_parts(geometry))
    corners, ring = shapely.get_coordinates(rings, return_index=True)
    inside = ring[1:] == ring[:-1]
    return np.vstack([corners[:-1][inside].T, corners[1:][inside].T])


class _Ways:
    """The ways out of an overlap: both outlines as edges."""

    def __init__(self, fixed: BaseGeometry, moving: BaseGeometry) -> None:
        self._fixed, self._moving = fixed, moving
        self._fixed_edges, self._moving_edges = edges_of(fixed), edges_of(moving)
        both = np.concatenate([self._fixed_edges, self._moving_edges], axis=1)
        self._far = 8.0 * float(np.ptp(both, axis=1).max()) + 1.0
        """More than any move can be."""

    def shortest(self, angles: Floats) -> tuple[float, float]:
        """Of (D,) directions the one in which `moving` comes clear first, and after how far."""
        outright = self._outright(angles)
        order, moves = np.argsort(outright), np.full(len(angles), np.inf)
        least = float(outright.min())
        many = len(order) * self._fixed_edges.shape[1] * self._moving_edges.shape[1] > MANY
        few = FEW if many else len(order)
        soon = np.isin(order, order[:few]) | (order < 2 * few)
        for some in (order[soon], order[~soon]):
            if len(some):
                moves[some] = self.clear_moves(angles[some], least)
                least = min(least, float(moves[some].min()))
        return float(angles[moves.argmin()]), float(moves.min())

    def clear_moves(self, angles: Floats, upto: float) -> Floats:
        """(D,) how far `moving` must go in each direction until it first has no area in common with `fixed`, right for
        the least of them if that is no more than `upto`; of the others only that they are no less."""
        upto = upto * (1.0 + ROUNDED) + JOIN
        moves, seen = self._ends_of_crossing(angles, upto)
        moves[moves > upto] = np.inf
        for at in np.argsort(moves).tolist():
            # What meets only later is not among the crossings: until then one may hold the other.
            if moves[at] >= upto or seen[at] or not self._overlap(angles[at], 0.5 * (moves[at] + upto)):
                break
            moves[at] = np.inf
        return moves

    def _ends_of_crossing(self, angles: Floats, upto: float) -> tuple[Floats, Bools]:
        """(D,) after how far in each direction no edges cross for the first time without the outlines overlapping even
        so, and (D,) whether that is seen to be so; infinite where none cross on the way at all, which leaves them
        overlapping as they do to begin with."""
        way, low, high = self._crossings(angles, upto)
        moves, clear = np.zeros(len(angles)), np.zeros(len(angles), dtype=bool)
        # Each direction is shifted out of the others' way, so that all are put in order at once.
        order = np.argsort(low + way * self._far)
        way, low, high = way[order], low[order], high[order]
        reached = np.maximum.accumulate(high + way * self._far) - way * self._far
        apart = np.ones(len(way), dtype=bool)
        apart[1:] = (way[1:] != way[:-1]) | (low[1:] > reached[:-1] + JOIN)
        starts = np.flatnonzero(apart)
        ends = np.append(starts[1:], len(way))[: len(starts)] - 1
        for at, begin, end in zip(way[starts].tolist(), low[starts].tolist(), reached[ends].tolist(), strict=True):
            if clear[at] or end <= moves[at]:
                continue
            parted = moves[at] > 0.0 and begin > moves[at] + JOIN
            between = 0.5 * (moves[at] + min(begin, upto))
            if moves[at] > upto or (parted and not self._overlap(angles[at], between)):
                clear[at] = True
            else:
                moves[at] = end
        moves[moves == 0.0] = np.inf
        return moves, clear

    def _outright(self, angles: Floats) -> Floats:
        """(D,) moves after which a straight line lies between the two."""
        along = (_turned(edges, angles)[0] for edges in (self._fixed_edges, self._moving_edges))
        fixed, moving = along
        return np.asarray(fixed.max(axis=(0, 2)) - moving.min(axis=(0, 2)))

    def _crossings(self, angles: Floats, upto: float) -> tuple[Ints, Floats, Floats]:
        """Of every two edges that meet along each way in moves `upto` a length, and some that meet later: which way,
        and the first and last move at which they cross."""
        along_a, across_a = _turned(_near(self._fixed_edges, self._moving_edges, upto), angles)
        along_b, across_b = _turned(_near(self._moving_edges, self._fixed_edges, upto), angles)
        low_a, high_a = np.minimum(*across_a), np.maximum(*across_a)
        low_b, high_b = np.minimum(*across_b), np.maximum(*across_b)
        here = low_a, high_a, np.minimum(*along_a), np.maximum(*along_a)
        there = low_b, high_b, np.minimum(*along_b), np.maximum(*along_b) + upto
        way, i, j = _laps(here, there)
        low, high = np.maximum(low_a[way, i], low_b[way, j]), np.minimum(high_a[way, i], high_b[way, j])
        slope_a, base_a = _lines(along_a, across_a)
        slope_b, base_b = _lines(along_b, across_b)
        base = base_a[way, i] - base_b[way, j]
        slope_a, slope_b = slope_a[way, i], slope_b[way, j]
        start_a, start_b = across_a[0, way, i], across_b[0, way, j]
        bottom = base + slope_a * (low - start_a) - slope_b * (low - start_b)
        top = base + slope_a * (high - start_a) - slope_b * (high - start_b)
        return way, np.minimum(bottom, top), np.maximum(bottom, top)

    def _overlap(self, angle: float, move: float) -> bool:
        shift = [move * math.cos(angle), move * math.sin(angle)]
        return bool(shapely.intersects(self._fixed, shapely.transform(self._moving, lambda corners: corners + shift)))


Boxes = tuple[Floats, Floats, Floats, Floats]
"""(D, n) low, high, near and far."""


def _laps(here: Boxes, there: Boxes) -> tuple[Ints, Ints, Ints]:
    """Which of (D, n) boxes and (D, m) others lap in each of D ways: the way, the box and the other; those that are as
    low as they are high lap with none."""
    count, others = here[0].shape[1], there[0].shape[1]
    some = max(AT_ONCE // max(count * others, 1), 1)
    found = [np.zeros(0, dtype=np.intp)]
    for begin in range(0, len(here[0]), some):
        low_a, high_a, near_a, far_a = (side[begin : begin + some, :, None] for side in here)
        low_b, high_b, near_b, far_b = (side[begin : begin + some, None, :] for side in there)
        laps = high_a > np.where(high_b > low_b, low_b, np.inf)
        laps &= np.where(high_a > low_a, low_a, np.inf) < high_b
        laps &= near_a <= far_b
        laps &= far_a >= near_b
        found.append(np.flatnonzero(laps) + begin * count * others)
    way, pair = np.divmod(np.concatenate(found), max(count * others, 1))
    return way, *np.divmod(pair, max(others, 1))


def _near(edges: Floats, others: Floats, within: float) -> Floats:
    """Those of some edges (4, n) that come within a length of the box about others."""
    x, y = edges[0::2], edges[1::2]
    near = (np.maximum(*x) >= others[0::2].min() - within) & (np.minimum(*x) <= others[0::2].max() + within)
    near &= (np.maximum(*y) >= others[1::2].min() - within) & (np.minimum(*y) <= others[1::2].max() + within)
    return edges[:, near]


def _turned(edges: Floats, angles: Floats) -> tuple[Floats, Floats]:
    """(4, n) edges along and across (D,) directions, each (2, D, n) of start and end."""
    cosine, sine = np.cos(angles)[:, None], np.sin(angles)[:, None]
    x, y = edges[0::2, None, :], edges[1::2, None, :]
    return cosine * x + sine * y, cosine * y - sine * x


def _lines(along: Floats, across: Floats) -> tuple[Floats, Floats]:
    """(D, n) how far along edges go for each mm across, and where they start; those that go straight along never
    count."""
    rise = across[1] - across[0]
    slope = np.divide(along[1] - along[0], rise, out=np.zeros_like(rise), where=rise != 0.0)
    return slope, along[0]


def _directions(common: BaseGeometry, fan: int) -> Floats:
    """Angles to try: the normals of the common area's edges, the longest first, each both ways; and an even fan."""
    edges = edges_of(common)
    step_x, step_y = edges[2] - edges[0], edges[3] - edges[1]
    lengths = np.hypot(step_x, step_y)
    normals = np.arctan2(-step_x, step_y) % math.pi
    kept: list[float] = []
    longest = np.argsort(-lengths)
    for angle in normals[longest[lengths[longest] > LONG_EDGE * lengths.max()]].tolist():
        if all(abs(math.remainder(angle - other, math.pi)) > SAME_WAY for other in kept):
            kept.append(angle)
            if len(kept) == MOST_NORMALS:
                break
    both_ways = np.repeat(kept, 2) + np.tile([0.0, math.pi], len(kept))
    return np.concatenate([both_ways, 2.0 * math.pi * np.arange(fan) / fan])
