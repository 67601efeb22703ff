"""The exact gap between two extrusions that stand across each other, as arrays over many of them.

Let w be the axis that both views share. The one outline lies in (s, w) and is extruded from near to far along t; the
other lies in (t, w) and is extruded along s. Of a point of the one only how far its s is outside the other's depth
matters, u; of a point of the other only how far its t is outside the one's, v. So the gap is the least of

    sqrt(u² + v² + (w - w')²)

over the two outlines, folded at the limits of depth. In each row w of an outline u is least at its edge, or nothing
where the row reaches into the depth; so the folded outline is a set of segments in (u, w), the other's one in (v, w'),
and the gap is the least distance between segments of the two sets in three dimensions. Segments that cannot be
nearest, by the boxes about them, are left out.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.geometry.planar import Bools, Floats, Ints

SLACK = 1e-9
"""Segments are left out as too far only when they are farther by this part; mm of rounding do not matter then."""
MOST_TOGETHER = 400_000
"""Pairs of segments that are looked at in one go."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Folded:
    """M outlines, each as segments, of one outline after the other."""

    of: Ints
    """(E,) which outline a segment is of, increasing; every outline has one at least."""
    across: Floats
    """(E, 2) at both ends, where it lies along the axis across the other's view."""
    outside: Floats
    """(E, 2) how far that is outside the other's depth, mm; 0 within."""
    shared: Floats
    """(E, 2) where it lies along the shared axis."""

    def at(self, kept: Bools | Ints) -> Folded:
        return Folded(of=self.of[kept], across=self.across[kept], outside=self.outside[kept], shared=self.shared[kept])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Nearest:
    """The gap of M pairs, and where it is."""

    gap: Floats
    """(M,) mm."""
    first: Floats
    second: Floats
    """(M, 2) nearest points of the two outlines, (across, shared) each in its own view."""


def fold(of: Ints, start: Floats, end: Floats, slab: Floats) -> Folded:
    """Fold closed outlines at the limits of the other part's depth.

    Edges run from `start` to `end` (E, 2), as (across, shared), and belong to outlines `of` (E,); `slab` (E, 2) is near
    and far of the depth that stands across each. Limits may be infinite.
    """
    s0, s1, w0, w1 = start[:, 0], end[:, 0], start[:, 1], end[:, 1]
    near, far = slab[:, 0], slab[:, 1]
    before = _between(s0, s1, w0, w1, np.full_like(near, -np.inf), near)
    within = _between(s0, s1, w0, w1, near, far)
    beyond = _between(s0, s1, w0, w1, far, np.full_like(far, np.inf))
    rows = _rows_at(of, s0, s1, w0, w1, near)
    index, ends_s, ends_w = (np.concatenate(part) for part in zip(before, within, beyond, rows, strict=True))
    of, near, far = of[index], near[index], far[index]
    outside = np.maximum(np.maximum(near[:, None] - ends_s, ends_s - far[:, None]), 0.0)
    order = np.argsort(of, kind="stable")
    return Folded(of=of[order], across=ends_s[order], outside=outside[order], shared=ends_w[order])


def _between(s0: Floats, s1: Floats, w0: Floats, w1: Floats, low: Floats, high: Floats) -> tuple[Ints, Floats, Floats]:
    """Of each edge what lies between two limits: which edge, and both ends across and along the shared axis."""
    index = np.flatnonzero((np.minimum(s0, s1) <= high) & (np.maximum(s0, s1) >= low))
    s0, s1, w0, w1, low, high = s0[index], s1[index], w0[index], w1[index], low[index], high[index]
    ends = np.stack([np.clip(s0, low, high), np.clip(s1, low, high)], axis=1)
    run = s1 - s0
    share = np.divide(ends - s0[:, None], run[:, None], out=np.zeros_like(ends), where=run[:, None] != 0.0)
    share[run == 0.0, 1] = 1.0
    shared = w0[:, None] + share * (w1 - w0)[:, None]
    # An end that is not cut off stays as it is to the last digit.
    shared[:, 0] = np.where(ends[:, 0] == s0, w0, shared[:, 0])
    shared[:, 1] = np.where(ends[:, 1] == s1, w1, shared[:, 1])
    return index, ends, shared


def _rows_at(of: Ints, s0: Floats, s1: Floats, w0: Floats, w1: Floats, limit: Floats) -> tuple[Ints, Floats, Floats]:
    """What of each outline lies on a limit of depth: there rows reach into the depth that have no edge in it."""
    index = np.flatnonzero((s0 < limit) != (s1 < limit))
    share = (limit[index] - s0[index]) / (s1[index] - s0[index])
    crossing = w0[index] + share * (w1[index] - w0[index])
    # A closed outline crosses a line an even number of times, in and out in turn.
    order = np.lexsort((crossing, of[index]))
    ends = crossing[order].reshape(-1, 2)
    index = index[order][0::2]
    return index, np.repeat(limit[index][:, None], 2, axis=1), ends


def within_depth(folded: Folded) -> tuple[Ints, Floats]:
    """The spans along the shared axis over which outlines reach into the depth: which outline (I,), and (I, 2) low and
    high. Of one outline they are in order and apart."""
    inside = folded.outside.max(axis=1) <= 0.0
    return merged(folded.of[inside], np.sort(folded.shared[inside], axis=1))


def merged(of: Ints, spans: Floats) -> tuple[Ints, Floats]:
    """Spans (I, 2) of things `of` (I,) that meet, as one."""
    if not len(of):
        return of, spans
    order = np.lexsort((spans[:, 0], of))
    of, spans = of[order], spans[order]
    # Each thing is shifted out of the others' way, so that one running greatest serves all.
    room = float(np.ptp(spans)) + 1.0
    shift = of * room
    upto = np.maximum.accumulate(spans[:, 1] + shift)
    new = np.ones(len(of), dtype=bool)
    new[1:] = spans[1:, 0] + shift[1:] > upto[:-1]
    starts = np.flatnonzero(new)
    high = np.maximum.reduceat(spans[:, 1], starts)
    return of[starts], np.stack([spans[starts, 0], high], axis=1)


def common(first: tuple[Ints, Floats], second: tuple[Ints, Floats]) -> tuple[Ints, Floats]:
    """What spans of the same things have in common, ends that only meet included."""
    one, other = _every(first[0], second[0])
    low = np.maximum(first[1][one, 0], second[1][other, 0])
    high = np.minimum(first[1][one, 1], second[1][other, 1])
    kept = low <= high
    return first[0][one[kept]], np.stack([low[kept], high[kept]], axis=1)


def nearest(first: Folded, second: Folded, count: int) -> Nearest:
    """The gaps of `count` pairs of folded outlines."""
    bound = _within_reach(first, second, count)
    first, second = _not_too_far(first, second, bound), _not_too_far(second, first, bound)
    gap = np.full(count, np.inf)
    points = np.zeros((count, 2, 2))
    sizes = np.bincount(first.of, minlength=count) * np.bincount(second.of, minlength=count)
    for begin, end in _batches(sizes):
        ours, theirs = _part(first, begin, end), _part(second, begin, end)
        one, other = _every(ours.of, theirs.of)
        far = _box_distance_squared(ours, theirs, one, other) > bound[ours.of[one]]
        one, other = one[~far], other[~far]
        square, share = _between_segments(ours, theirs, one, other)
        best = _least(ours.of[one], square)
        which = ours.of[one[best]]
        gap[which] = np.sqrt(square[best])
        points[which, 0] = _at(ours, one[best], share[best, 0])
        points[which, 1] = _at(theirs, other[best], share[best, 1])
    return Nearest(gap=gap, first=points[:, 0], second=points[:, 1])


def _within_reach(first: Folded, second: Folded, count: int) -> Floats:
    """(M,) the square of a distance at which some points of the two are, with a little slack."""
    here = np.zeros((count, 2))
    here[:, 1] = 0.5 * (_spread(second, count)[0] + _spread(second, count)[1])
    square = np.full(count, np.inf)
    for folded in (first, second, first, second):
        points = np.stack([folded.outside.ravel(), folded.shared.ravel()], axis=1)
        of = np.repeat(folded.of, 2)
        off = (points[:, 1] - here[of, 1]) ** 2 + points[:, 0] ** 2
        best = _least(of, off)
        square = off[best] + here[:, 0] ** 2
        here = points[best]
    return np.asarray(square * (1.0 + SLACK) + SLACK**2)


def _spread(folded: Folded, count: int) -> tuple[Floats, Floats]:
    starts = np.searchsorted(folded.of, np.arange(count))
    low = np.minimum.reduceat(folded.shared.min(axis=1), starts)
    return low, np.maximum.reduceat(folded.shared.max(axis=1), starts)


def _not_too_far(folded: Folded, other: Folded, bound: Floats) -> Folded:
    """The segments that are not farther than the bound from the box about all of the other's."""
    count = len(bound)
    low, high = _spread(other, count)
    starts = np.searchsorted(other.of, np.arange(count))
    least = np.minimum.reduceat(other.outside.min(axis=1), starts)
    of = folded.of
    off = np.maximum(np.maximum(low[of] - folded.shared.max(axis=1), folded.shared.min(axis=1) - high[of]), 0.0)
    return folded.at(folded.outside.min(axis=1) ** 2 + least[of] ** 2 + off**2 <= bound[of])


def _box_distance_squared(first: Folded, second: Folded, one: Ints, other: Ints) -> Floats:
    low, high = first.shared.min(axis=1), first.shared.max(axis=1)
    low_other, high_other = second.shared.min(axis=1), second.shared.max(axis=1)
    off = np.maximum(np.maximum(low_other[other] - high[one], low[one] - high_other[other]), 0.0)
    return np.asarray(first.outside.min(axis=1)[one] ** 2 + second.outside.min(axis=1)[other] ** 2 + off**2)


def _between_segments(first: Folded, second: Folded, one: Ints, other: Ints) -> tuple[Floats, Floats]:
    """(N,) squared distances of segments, and (N, 2) how far along each the nearest points are.

    The nearest points of two segments are either both within them, where the line between is square to both, or one of
    them is an end: all five cases are tried, so that near parallels cost no accuracy.
    """
    u, w = first.outside[one], first.shared[one]
    v, x = second.outside[other], second.shared[other]
    du, dw, dv, dx = u[:, 1] - u[:, 0], w[:, 1] - w[:, 0], v[:, 1] - v[:, 0], x[:, 1] - x[:, 0]
    a, e, b = du**2 + dw**2, dv**2 + dx**2, dw * dx
    apart = w[:, 0] - x[:, 0]
    c, f = u[:, 0] * du + apart * dw, apart * dx - v[:, 0] * dv
    slant = a * e - b * b
    inner = np.divide(b * f - c * e, slant, out=np.zeros_like(a), where=slant > 0.0).clip(0.0, 1.0)
    zeros, ones = np.zeros_like(a), np.ones_like(a)
    tries = [(alpha, _foot(b * alpha + f, e)) for alpha in (inner, zeros, ones)]
    tries += [(_foot(b * beta - c, a), beta) for beta in (zeros, ones)]
    best, share = np.full(len(a), np.inf), np.zeros((len(a), 2))
    for alpha, beta in tries:
        square = (u[:, 0] + alpha * du) ** 2 + (v[:, 0] + beta * dv) ** 2 + (apart + alpha * dw - beta * dx) ** 2
        less = square < best
        best = np.where(less, square, best)
        share[less] = np.stack([alpha, beta], axis=1)[less]
    return best, share


def _foot(along: Floats, length_squared: Floats) -> Floats:
    share = np.divide(along, length_squared, out=np.zeros_like(along), where=length_squared > 0.0)
    return np.asarray(share.clip(0.0, 1.0))


def _at(folded: Folded, index: Ints, share: Floats) -> Floats:
    """(N, 2) (across, shared) of points along segments."""
    both = np.stack([folded.across[index], folded.shared[index]], axis=-1)
    return np.asarray(both[:, 0] + share[:, None] * (both[:, 1] - both[:, 0]))


def _least(of: Ints, values: Floats) -> Ints:
    """Where the least value of each thing is; `of` is increasing."""
    starts = np.flatnonzero(np.append(True, of[1:] != of[:-1]))
    least = np.minimum.reduceat(values, starts)
    sizes = np.diff(np.append(starts, len(of)))
    hits = np.flatnonzero(values == np.repeat(least, sizes))
    return hits[np.searchsorted(hits, starts)]


def _every(first: Ints, second: Ints) -> tuple[Ints, Ints]:
    """Indices of everything of `first` with everything of `second` that is of the same thing; both are increasing."""
    begins, ends = np.searchsorted(second, first, side="left"), np.searchsorted(second, first, side="right")
    sizes = ends - begins
    one = np.repeat(np.arange(len(first)), sizes)
    offset = np.arange(len(one)) - np.repeat(np.cumsum(sizes) - sizes, sizes)
    return one, np.repeat(begins, sizes) + offset


def _part(folded: Folded, begin: int, end: int) -> Folded:
    start, stop = np.searchsorted(folded.of, [begin, end])
    return folded.at(np.arange(start, stop))


def _batches(sizes: Ints) -> list[tuple[int, int]]:
    """Runs of things whose sizes together are no more than `MOST_TOGETHER`, or single ones."""
    batches, begin, total = [], 0, 0
    for index, size in enumerate(sizes.tolist()):
        if total and total + size > MOST_TOGETHER:
            batches.append((begin, index))
            begin, total = index, 0
        total += size
    if len(sizes):
        batches.append((begin, len(sizes)))
    return batches
