"""Measures pairs of parts in different views at a motion's moments, as seldom as the bounds allow.

**The bound.** The gap between two bodies changes by no more than a point of the one goes at most and a point of the
other at most, taken together, each in its own view: nothing moves across its view. Between two neighbouring moments a
part's path is bounded as `track` says. So a gap clears every instant to which both paths together are shorter, and two
parts go on touching while neither has gone farther than a disc reaches that lies in its outline about a common point:
no edge can have come to that point yet.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from core.geometry.planar import Bools, Floats, Ints
from core.interference.extrusions import Extrusions
from core.interference.pairs import PairsAcross
from core.interference.placement import turning_radius
from core.interference.probe import Measure
from core.interference.samples import Measuring, Samples
from core.interference.survey import HOLD_SHARE, STILL, OpenSpans, claimed, matters_below
from core.interference.track import Track, bend, centres

STRIDES = (16, 8, 4, 2, 1)
"""Moments are measured this far apart, where they are not cleared yet, one stride after the other."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Moments:
    """T moments of K pairs of parts; the arrays of what is known are filled in by the survey."""

    path: Floats
    """(T - 1, K) the bound of both parts' paths together over each span, mm."""
    extra: Floats
    """(T - 1, K) how much of it is more than chord and turn."""
    firm: Floats
    """(T - 1, K) what of that does not fall with the square of a piece's length; NaN where it is only seen."""
    along: Floats
    """(T, K) the sum of paths up to each moment."""
    rest: Ints
    """(T, K) the first of the moments at which the pair stands as it stands now."""
    floor: Floats
    """(T, K) lower bounds of the gap, mm."""
    hold: Floats
    """(T, K) lower bounds of how far the two must go before they cease to touch, mm."""
    found: Floats
    """(T, K, 3) gap, area and thickness; NaN where not measured."""

    def open(self, limit: Floats) -> Bools:
        """(T - 1, K) the spans in which the gap may be `limit` (K,) or less, but for those that touch all along."""
        near = self.floor[1:] + self.floor[:-1] - self.path <= 2.0 * limit
        return near & ~(self.hold[1:] + self.hold[:-1] - self.path > 0.0)


def survey_across(samples: Samples[Extrusions], near: Floats, sight: float) -> Moments:
    """Measure every moment at which a reported pair may be as near as `near` (N,) or at its least clearance, if that is
    within `sight`."""
    moments = _moments(samples.track, samples.probe.across)
    _glance(samples, moments, sight)
    last = len(samples.track.times) - 1
    if not last:
        wanted = moments.floor <= matters_below(samples, near, sight)
        _measure(samples, moments, wanted, 0)
        return moments
    for stride in STRIDES:
        waiting = moments.open(matters_below(samples, near, sight))
        before = np.concatenate([np.zeros((1, waiting.shape[1]), dtype=np.intp), np.cumsum(waiting, axis=0)])
        here = np.arange(last + 1)
        about = before[np.minimum(here + stride, last)] - before[np.maximum(here - stride, 0)]
        wanted = (about > 0) & (here % stride == 0)[:, None]
        if stride == 1:  # whether it touches at the very start and end is wanted even where it is known to go on
            wanted[[0, last]] |= moments.hold[[0, last]] > 0.0
        _measure(samples, moments, wanted, stride)
    _tell_rests(samples, moments)
    return moments


def near_spans_across(moments: Moments, limit: Floats) -> tuple[Ints, Ints]:
    """Pairs of parts and first moments of the spans in which the gap may be `limit` (K,) or less and is not known."""
    start, pair = np.nonzero(moments.open(limit))
    return pair, start


def open_spans_across(samples: Samples[Measuring], moments: Moments) -> OpenSpans:
    """The spans between moments in which a pair may touch, or come nearer than its least clearance claims."""
    known = ~np.isnan(moments.found[..., 0])
    waiting = moments.open(claimed(samples.least, samples.pairs.wanted)[samples.pairs.reported])
    start, pair = np.nonzero(waiting & known[1:] & known[:-1])
    ends = np.stack([start, start + 1], axis=1)
    found = moments.found[ends, pair[:, None]]
    return OpenSpans(
        pair=pair,
        times=samples.track.times[ends],
        poses=_poses(samples, ends, np.stack([pair, pair], axis=1)),
        gaps=found[..., 0],
        touching=_measures(found).touching,
        extra=moments.extra[start, pair],
        firm=moments.firm[start, pair],
        closing=np.full(len(pair), np.nan),
    )


def _moments(track: Track, across: PairsAcross) -> Moments:
    first, second = across.pairs.first, across.pairs.second
    path, extra, firm = _paths(track)
    both, more = path[:, first] + path[:, second], extra[:, first] + extra[:, second]
    along = np.concatenate([np.zeros((1, len(first))), np.cumsum(both, axis=0)])
    starts = np.ones(along.shape, dtype=bool)
    starts[1:] = both > STILL / max(len(along), 1)
    floor = _box_gaps(track, across)
    return Moments(
        path=both,
        extra=more,
        firm=firm[:, first] + firm[:, second],
        along=along,
        rest=np.maximum.accumulate(np.where(starts, np.arange(len(along))[:, None], 0), axis=0),
        floor=np.where(np.isfinite(floor), floor, np.inf),
        hold=np.full(floor.shape, -np.inf),
        found=np.full((*floor.shape, 3), np.nan),
    )


def _paths(track: Track) -> tuple[Floats, Floats, Floats]:
    """(T - 1, P) bounds of how far any point of a part goes between moments, how much is more than chord and turn, and
    how much of that is firm."""
    parts = track.parts
    radius = turning_radius(parts)
    turns = track.poses[..., 2]
    steps = np.diff(track.times)[:, None]
    extra, firm = track.farther(radius)
    seen = np.isnan(firm)
    if seen.any():
        extra = np.where(seen, bend(track.times[:, None], track.centres, turns, radius) * steps**2, extra)
    chord = np.diff(track.centres, axis=0)
    path = np.hypot(chord[..., 0], chord[..., 1]) + radius * np.abs(np.diff(turns, axis=0)) + extra
    return np.nan_to_num(path), np.nan_to_num(extra), firm


def _box_gaps(track: Track, across: PairsAcross) -> Floats:
    """(T, K) lower bounds of the gap: between the boxes about both parts in space."""
    parts = track.parts
    bounds = shapely.bounds(parts.polygons).reshape(-1, 4)
    half = 0.5 * (bounds[:, 2:] - bounds[:, :2])
    middle = centres(0.5 * (bounds[:, :2] + bounds[:, 2:]), track.poses)
    cosine, sine = np.abs(np.cos(track.poses[..., 2])), np.abs(np.sin(track.poses[..., 2]))
    reach = np.stack([cosine * half[:, 0] + sine * half[:, 1], sine * half[:, 0] + cosine * half[:, 1]], axis=-1)
    low, high = middle - reach, middle + reach
    row = np.arange(len(across.pairs.first))
    square = np.zeros((len(track.times), len(row)))
    shared_low, shared_high = [], []
    for view, part in enumerate((across.pairs.first, across.pairs.second)):
        upright = across.upright[:, view].astype(np.intp)
        shared_low.append(low[:, part, upright])
        shared_high.append(high[:, part, upright])
        near, far = across.slabs[:, view, 0], across.slabs[:, view, 1]
        outside = np.maximum(near - high[:, part, 1 - upright], low[:, part, 1 - upright] - far)
        square += np.maximum(outside, 0.0) ** 2
    apart = np.maximum(shared_low[1] - shared_high[0], shared_low[0] - shared_high[1])
    return np.sqrt(square + np.maximum(apart, 0.0) ** 2)


def _glance(samples: Samples[Measuring], moments: Moments, sight: float) -> None:
    """Measure the pairs that are in sight once, where they seem nearest, to know what else to look for."""
    if not moments.floor.size:
        return
    nearest = moments.floor.argmin(axis=0)
    wanted = np.zeros(moments.floor.shape, dtype=bool)
    wanted[nearest, np.arange(len(nearest))] = moments.floor.min(axis=0) <= sight
    _measure(samples, moments, wanted, STRIDES[0])


def _measure(samples: Samples[Measuring], moments: Moments, wanted: Bools, reach: int) -> None:
    """Measure wanted moments (T, K), and note what they clear of the moments within `reach` of them."""
    moment, pair = np.nonzero(wanted)
    at = np.unique(np.stack([moments.rest[moment, pair], pair], axis=1), axis=0)
    at = at[np.isnan(moments.found[at[:, 0], at[:, 1], 0])]
    moment, pair = at[:, 0], at[:, 1]
    taken = samples.take(pair, samples.track.times[moment], _poses(samples, moment, pair))
    moments.found[moment, pair] = np.stack([taken.gap, taken.area, taken.thick], axis=-1)
    for offset in range(-reach, reach + 1):
        kept = (moment + offset >= 0) & (moment + offset < len(moments.along))
        there, which = moment[kept] + offset, pair[kept]
        gone = np.abs(moments.along[there, which] - moments.along[moment[kept], which])
        moments.floor[there, which] = np.fmax(moments.floor[there, which], taken.gap[kept] - gone)
        moments.hold[there, which] = np.fmax(moments.hold[there, which], HOLD_SHARE * taken.thick[kept] - gone)
    resting = np.take_along_axis(moments.found, moments.rest[..., None], axis=0)
    known = ~np.isnan(resting[..., 0])
    moments.found[known] = resting[known]
    moments.floor[known] = resting[known, 0]
    moments.hold[known] = HOLD_SHARE * resting[known, 2]


def _poses(samples: Samples[Measuring], moment: Ints, pair: Ints) -> Floats:
    poses, pairs = samples.track.poses, samples.pairs
    return np.concatenate([poses[moment, pairs.first[pair]], poses[moment, pairs.second[pair]]], axis=-1)


def _tell_rests(samples: Samples[Measuring], moments: Moments) -> None:
    """What stands still is as it was measured at every moment at which it does."""
    count = len(moments.rest)
    for pair in range(moments.rest.shape[1]):
        starts, sizes = np.unique(moments.rest[:, pair], return_counts=True)
        for start, size in zip(starts[sizes > 1].tolist(), sizes[sizes > 1].tolist(), strict=True):
            found = moments.found[start, pair]
            if not np.isnan(found[0]):
                rest = samples.track.times[start : min(start + size, count)]
                samples.put(pair, rest, _measures(found[None]), 0)


def _measures(found: Floats) -> Measure:
    return Measure(gap=found[..., 0], area=found[..., 1], thick=found[..., 2])
