"""Measures a whole motion at its moments, as seldom as the bounds allow.

The gap of two parts changes by no more than the path of one in the other's frame is long. So a gap measured once
clears every moment, and every instant between moments, to which the path is shorter. Stretches of moments are first
cleared by boxes swept around parts, then by boxes at single moments, then by gaps measured in the middle of what is
left, halving; all pairs at once. Where parts overlap, how thick their common area is spans a contact in the same way.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from core.geometry.planar import Bools, Floats, Ints
from core.interference.probe import Measure, Probe
from core.interference.samples import Measuring, Samples
from core.interference.track import Track, bend, centres

STRETCH = 16
"""Spans between moments that are swept and halved together; a power of two."""
STILL = 1e-7
"""Parts whose paths are shorter than this, in mm, stand still to each other."""
HOLD_SHARE = 0.5
"""Parts go on touching while none of their points goes farther than this part of their common area's thickness: so
large a disc at least lies in the area, and the half of it that has not left yet is still in both."""
SEEN = 0.001
"""No moment of the track is nearer than a told least clearance by more than this, mm."""
PROOF = 0.01
PROOF_SHARE = 0.05
"""A least clearance is proved when nothing between two moments can be nearer by more than this, in mm or as a part of
it; and, but for the millimetres, no nearer than is wanted where it is not."""


def claimed(least: Floats, wanted: Floats) -> Floats:
    """What must be shown of every instant for a least clearance to be proved, mm, of pairs that are `wanted` so far
    apart."""
    share = np.maximum(least * (1.0 - PROOF_SHARE), np.minimum(least, wanted))
    return np.maximum(np.minimum(least - PROOF, share), 0.0)


def matters_below(samples: Samples[Measuring], near: Floats, sight: float) -> Floats:
    """(K,) the gap below which a moment of a pair of parts still matters, mm: where its reported pair (N,) may be as
    near as `near` (N,), or nearer than is known within `sight`."""
    return np.maximum(near, np.minimum(samples.least - SEEN, sight))[samples.pairs.reported]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rows:
    """M stretches of moments of single pairs of parts which the swept boxes do not clear.

    Each has STRETCH + 1 moments; at the motion's end the last one is repeated. Its arrays are filled in by the survey.
    """

    pair: Ints
    """(M,)"""
    moment: Ints
    """(M, STRETCH + 1) indices of the track's moments."""
    poses: Floats
    """(M, STRETCH + 1, 3) relative poses."""
    extra: Floats
    """(M, STRETCH) how much farther than chord and turn any point may go over each span, mm."""
    firm: Floats
    """(M, STRETCH) what of that does not fall with the square of a piece's length; NaN where it is only seen."""
    path: Floats
    """(M, STRETCH) the bound of any path over each span, mm."""
    floor: Floats
    """(M, STRETCH + 1) lower bounds of the gap, mm."""
    hold: Floats
    """(M, STRETCH + 1) lower bounds of how far any point must at least go before they cease to touch, mm."""
    gap: Floats
    """(M, STRETCH + 1) NaN where not measured."""
    touching: Bools
    """(M, STRETCH + 1)"""

    def open(self, limit: Floats) -> Bools:
        """(M, STRETCH) the spans in which the gap may be `limit` (M,) or less, but for those that touch all along."""
        near = self.floor[:, 1:] + self.floor[:, :-1] - self.path <= 2.0 * limit[:, None]
        hold = self.hold[:, 1:] + self.hold[:, :-1] - self.path > 0.0
        return near & ~hold & (self.moment[:, 1:] > self.moment[:, :-1])


def survey(samples: Samples[Probe], near: Floats, sight: float) -> Rows:
    """Measure every moment at which a reported pair may be as near as `near` (N,) or at its least clearance, if that is
    within `sight`."""
    track, pairs = samples.track, samples.pairs
    swept = _swept_gaps(track, pairs.first, pairs.second)
    swept[_measure_still(samples, near)] = np.inf
    _glance(samples, swept, sight)
    rows = _rows(samples, *np.nonzero(swept <= matters_below(samples, near, sight)[:, None]))
    if len(track.times) == 1:
        samples.take(rows.pair, track.times[rows.moment[:, 0]], rows.poses[:, 0])
        return rows
    path = np.concatenate([np.zeros((len(rows.pair), 1)), np.cumsum(rows.path, axis=1)], axis=1)
    half = STRETCH // 2
    while half:
        columns = np.arange(half, STRETCH, 2 * half)
        _measure(samples, rows, path, columns, half, matters_below(samples, near, sight)[rows.pair])
        half //= 2
    _measure(samples, rows, path, np.array([0, STRETCH]), 1, matters_below(samples, near, sight)[rows.pair])
    return rows


def _measure_still(samples: Samples[Probe], near: Floats) -> Ints:
    """Measure once the pairs of which neither part ever moves; which they are."""
    track, pairs, probe = samples.track, samples.pairs, samples.probe
    resting = np.ptp(track.poses, axis=0).max(axis=1) <= STILL / np.maximum(track.parts.radius, 1.0)
    pair = np.flatnonzero(resting[pairs.first] & resting[pairs.second])
    anchors, movers = track.poses[0, probe.anchor[pair]], track.poses[0, probe.mover[pair]]
    found = samples.take(pair, np.full(len(pair), track.times[0]), probe.relative(pair, anchors, movers))
    for index in np.flatnonzero(found.gap <= near[pairs.reported[pair]]).tolist():
        samples.put(int(pair[index]), np.union1d(track.times, track.motion.times), found, index)
    return pair


def _glance(samples: Samples[Probe], swept: Floats, sight: float) -> None:
    """Measure the pairs that are in sight once, where they seem nearest, to know what else to look for."""
    pair = np.flatnonzero(swept.min(axis=1, initial=np.inf) <= sight)
    track, probe = samples.track, samples.probe
    moment = np.minimum(swept[pair].argmin(axis=1) * STRETCH + STRETCH // 2, len(track.times) - 1)
    anchors, movers = track.poses[moment, probe.anchor[pair]], track.poses[moment, probe.mover[pair]]
    samples.take(pair, track.times[moment], probe.relative(pair, anchors, movers))


def _swept_gaps(track: Track, first: Ints, second: Ints) -> Floats:
    """(K, C) lower bounds of the gap over each stretch, by the boxes about all that the two parts sweep in it."""
    parts = track.parts
    bounds = shapely.bounds(parts.polygons).reshape(-1, 4)
    half = 0.5 * (bounds[:, 2:] - bounds[:, :2])
    middle = centres(0.5 * (bounds[:, :2] + bounds[:, 2:]), track.poses)
    upright, slant = np.abs(np.cos(track.poses[..., 2])), np.abs(np.sin(track.poses[..., 2]))
    reach_x = np.where(parts.round, parts.radius, upright * half[:, 0] + slant * half[:, 1])
    reach_y = np.where(parts.round, parts.radius, slant * half[:, 0] + upright * half[:, 1])
    starts = np.arange(0, max(len(track.times) - 1, 1), STRETCH)
    stray = np.maximum.reduceat(track.stray, starts) if len(track.stray) else np.zeros((1, len(track.parts)))
    gaps = []
    for place, reach in ((middle[..., 0], reach_x), (middle[..., 1], reach_y)):
        low = -_greatest(reach - place, starts) - stray
        high = _greatest(place + reach, starts) + stray
        gaps.append(np.maximum(low[:, second] - high[:, first], low[:, first] - high[:, second]))
    return np.hypot(np.maximum(gaps[0], 0.0), np.maximum(gaps[1], 0.0)).T


def _greatest(values: Floats, starts: Ints) -> Floats:
    """(C, P) the greatest of (T, P) values over each stretch, the moment at its end included."""
    ends = np.minimum(starts + STRETCH, len(values) - 1)
    return np.maximum(np.maximum.reduceat(values, starts), values[ends])


def _rows(samples: Samples[Probe], pair: Ints, stretch: Ints) -> Rows:
    track, probe = samples.track, samples.probe
    around = stretch[:, None] * STRETCH + np.arange(-1, STRETCH + 2)
    around = around.clip(0, len(track.times) - 1)
    anchor, mover = probe.anchor[pair][:, None], probe.mover[pair][:, None]
    pairs_around = np.broadcast_to(pair[:, None], around.shape)
    poses = probe.relative(pairs_around, track.poses[around, anchor], track.poses[around, mover])
    places = centres(probe.centre[pair][:, None, :], poses)
    times = track.times[around]
    radius = probe.radius[pair]
    within = slice(1, -1)
    steps = np.diff(times[:, within], axis=1)
    spans = np.minimum(around[:, 1:-2], max(len(track.times) - 2, 0))
    extra, firm = track.farther_apart(spans, anchor[:, 0], mover[:, 0], radius, probe.steady[pair, 0])
    seen = np.isnan(firm)
    if seen.any():
        bends = bend(times.T, places.swapaxes(0, 1), poses[..., 2].T, radius).T[:, 1:-1]
        extra = np.where(seen, bends * steps**2, extra)
    extra = np.where(steps > 0.0, extra, 0.0)
    chord, turn = np.diff(places[:, within], axis=1), np.abs(np.diff(poses[:, within, 2], axis=1))
    inner = poses[:, within]
    count = inner.shape[1]
    floor = probe.box_gap(np.repeat(pair, count), inner.reshape(-1, 3)).reshape(-1, count)
    return Rows(
        pair=pair,
        moment=around[:, within],
        poses=inner,
        extra=extra,
        firm=firm,
        path=np.hypot(chord[..., 0], chord[..., 1]) + radius[:, None] * turn + extra,
        floor=floor,
        hold=np.full(floor.shape, -np.inf),
        gap=np.full(floor.shape, np.nan),
        touching=np.zeros(floor.shape, dtype=bool),
    )


def _measure(samples: Samples[Probe], rows: Rows, path: Floats, columns: Ints, half: int, limit: Floats) -> None:
    """Measure the moments in these columns that have an open span within `half` of them; note what they clear."""
    waiting = rows.open(limit)
    wanted = np.zeros(rows.gap.shape, dtype=bool)
    for column in columns:
        wanted[:, column] = waiting[:, max(column - half, 0) : column + half].any(axis=1)
    if 0 in columns:  # whether it touches at the very start and end is wanted even where it is known to go on
        ends = (rows.moment == 0) | (rows.moment == len(samples.track.times) - 1)
        wanted |= ends & (rows.hold > 0.0)
    wanted &= np.isnan(rows.gap)
    row, column = np.nonzero(wanted)
    # Two stretches share the moment between them: it is measured once.
    moment, count = rows.moment[row, column], len(samples.track.times)
    _, chosen, back = np.unique(rows.pair[row] * count + moment, return_index=True, return_inverse=True)
    pair, times = rows.pair[row[chosen]], samples.track.times[moment[chosen]]
    found = samples.take(pair, times, rows.poses[row[chosen], column[chosen]])
    rows.gap[row, column], rows.touching[row, column] = found.gap[back], found.touching[back]

    for here in columns.tolist():
        mine = column == here
        at, index = row[mine], back[mine]
        gone = np.abs(path[at] - path[at, here][:, None])
        rows.floor[at] = np.fmax(rows.floor[at], found.gap[index][:, None] - gone)
        rows.hold[at] = np.maximum(rows.hold[at], HOLD_SHARE * found.thick[index][:, None] - gone)
    rows.floor[row, column] = rows.gap[row, column]
    _copy_to_still(samples, rows, path, row, column, found, back)


def _copy_to_still(
    samples: Samples[Probe], rows: Rows, path: Floats, row: Ints, column: Ints, found: Measure, back: Ints
) -> None:
    """What stands still all through a stretch is as it was measured at every moment of it."""
    still = np.flatnonzero(path[row, -1] < STILL)
    for index in still:
        at = row[index]
        rows.gap[at], rows.floor[at] = rows.gap[at, column[index]], rows.floor[at, column[index]]
        rows.touching[at] = rows.touching[at, column[index]]
        samples.put(int(rows.pair[at]), samples.track.times[rows.moment[at]], found, int(back[index]))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OpenSpans:
    """S spans of time over which a pair of parts is not cleared yet, measured at both ends."""

    pair: Ints
    """(S,)"""
    times: Floats
    """(S, 2) start and end."""
    poses: Floats
    """(S, 2, 3) relative poses."""
    gaps: Floats
    """(S, 2)"""
    touching: Bools
    """(S, 2)"""
    extra: Floats
    """(S,) how much farther than chord and turn any point may go, mm."""
    firm: Floats
    """(S,) what of that does not fall with the square of a piece's length; NaN where it is only seen."""
    closing: Floats
    """(S,) where one end touches: how fast the gap closes towards the span beyond its other end, mm/s; NaN where that
    is not known."""


def near_spans(rows: Rows, limit: Floats) -> tuple[Ints, Ints]:
    """Pairs of parts and first moments of the spans in which the gap may be `limit` (K,) or less and is not known."""
    row, column = np.nonzero(rows.open(limit[rows.pair]))
    return rows.pair[row], rows.moment[row, column]


def open_spans(samples: Samples[Measuring], rows: Rows) -> OpenSpans:
    """The spans between moments in which a pair may touch, or come nearer than its least clearance claims."""
    limit = claimed(samples.least, samples.pairs.wanted)[samples.pairs.reported][rows.pair]
    row, column = np.nonzero(rows.open(limit) & ~np.isnan(rows.gap[:, 1:]) & ~np.isnan(rows.gap[:, :-1]))
    ends = np.stack([column, column + 1], axis=1)
    return OpenSpans(
        pair=rows.pair[row],
        times=samples.track.times[rows.moment[row[:, None], ends]],
        poses=rows.poses[row[:, None], ends],
        gaps=rows.gap[row[:, None], ends],
        touching=rows.touching[row[:, None], ends],
        extra=rows.extra[row, column],
        firm=rows.firm[row, column],
        closing=_closing(rows, samples.track.times, row, column),
    )


def _closing(rows: Rows, times: Floats, row: Ints, column: Ints) -> Floats:
    """(S,) as `OpenSpans` says, from the moment beyond the end that does not touch."""
    forwards = rows.touching[row, column + 1]
    here = np.where(forwards, column, column + 1)
    beyond = np.where(forwards, column - 1, column + 2).clip(0, STRETCH)
    fall = rows.gap[row, beyond] - rows.gap[row, here]
    step = np.abs(times[rows.moment[row, beyond]] - times[rows.moment[row, here]])
    known = (step > 0.0) & ~rows.touching[row, beyond]
    return np.divide(fall, step, out=np.full(len(row), np.nan), where=known)
