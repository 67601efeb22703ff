"""Narrows down extreme moments between the ones that were measured: nearest, and largest common area."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from core.geometry.planar import Bools, Floats, Ints
from core.interference.probe import Measure
from core.interference.samples import Measuring, Samples

DOUBT = 2.0
"""What lies half-way to a top's neighbours may be off the parabola by so many times what is enough."""
PIECES = 12
MOST_ROUNDS = 8
PARABOLAS = 4
"""So often the top of a parabola is tried before the span is searched piece by piece."""


def neighbours(pair: Ints, times: Floats, wanted_pair: Ints, wanted_time: Floats) -> tuple[Ints, Ints, Ints]:
    """Where the measured moment before, at and after (M,) moments stands among all samples of the same pairs.

    `pair` and `times` are of all samples, in order. At either end of a pair's samples there is nothing before or after:
    the moment itself stands for it.
    """
    starts = np.searchsorted(pair, wanted_pair, side="left")
    ends = np.searchsorted(pair, wanted_pair, side="right")
    each = zip(starts, ends, wanted_time, strict=True)
    at = np.array([start + np.searchsorted(times[start:end], time) for start, end, time in each], dtype=np.intp)
    return np.maximum(at - 1, starts), at, np.minimum(at + 1, ends - 1)


def inwards(three: tuple[Ints, Ints, Ints], pair: Ints) -> tuple[Ints, Ints, Ints]:
    """`neighbours`, of a first or last moment the two next to it on its one side, if there are two."""
    before, here, after = three
    next_but_one, last_but_one = np.minimum(here + 2, len(pair) - 1), np.maximum(here - 2, 0)
    first = (before == here) & (after < next_but_one) & (pair[next_but_one] == pair[here])
    last = (after == here) & (before > last_but_one) & (pair[last_but_one] == pair[here])
    return (
        np.where(last, last_but_one, before),
        np.where(first, after, np.where(last, before, here)),
        np.where(first, next_but_one, after),
    )


def climb(
    samples: Samples[Measuring],
    pair: Ints,
    low: Floats,
    here: Floats,
    high: Floats,
    merits: tuple[Floats, Floats, Floats],
    merit: Callable[[Measure], Floats],
    enough: Floats,
) -> None:
    """Measure about the moment of greatest merit of pairs (M,), of which three moments and their merits are known.

    A smooth merit is a parabola close to its greatest: its top is measured, and one is done when it is as high as was
    foretold, to within `enough` (M,). What does not come to that, as where the merit has an edge, is narrowed down.
    """
    times, values = np.stack([low, here, high]), np.stack(merits)
    alone = np.flatnonzero((low == here) != (here == high))  # a motion's first or last moment has one neighbour
    going = np.setdiff1d(np.flatnonzero((high > low) & np.isfinite(values).all(axis=0)), alone)
    settled = high <= low
    for _ in range(PARABOLAS):
        top, foretold, there = _top(times[:, going], values[:, going])
        settled[going[~there]] = True  # level, or highest at an end of the motion
        going, top, foretold = going[there], top[there], foretold[there]
        if not len(going) and not len(alone):
            break
        half = 0.5 * (times[0, alone] + times[2, alone])
        _, found = samples.take_between(np.concatenate([pair[alone], pair[going]]), np.concatenate([half, top]))
        shown = np.nan_to_num(merit(found), nan=-np.inf)
        times[1, alone], values[1, alone] = half, shown[: len(alone)]
        value = shown[len(alone) :]
        settled[going] = np.abs(value - foretold) <= enough[going]
        _bracket(times, values, going, top, value)
        halved = alone[np.isfinite(values[:, alone]).all(axis=0)]
        going, alone = np.concatenate([going[~settled[going]], halved]), alone[:0]
    _doubt(samples, pair, times, values, settled, merit, enough)
    left = np.flatnonzero(~settled)
    narrow(samples, pair[left], times[0, left], times[2, left], merit, enough[left])


def _doubt(
    samples: Samples[Measuring],
    pair: Ints,
    times: Floats,
    values: Floats,
    settled: Bools,
    merit: Callable[[Measure], Floats],
    enough: Floats,
) -> None:
    """Look half-way to either neighbour of what is settled: an edge of the merit may hide there from the parabola. What
    is not as the parabola has it is no longer settled; in place."""
    doubted = np.flatnonzero(settled & (times[2] > times[0]))
    if not len(doubted):
        return
    halves = 0.5 * (times[:2, doubted] + times[1:, doubted])
    _, found = samples.take_between(np.tile(pair[doubted], 2), halves.ravel())
    value = np.nan_to_num(merit(found), nan=-np.inf).reshape(2, -1)
    foretold = np.stack([_at(times[:, doubted], values[:, doubted], half) for half in halves])
    high, scale = values[:, doubted].max(axis=0), DOUBT * enough[doubted]
    settled[doubted] = (np.abs(value - foretold) <= np.maximum(scale, 0.25 * (high - foretold))).all(axis=0)


def _at(times: Floats, values: Floats, when: Floats) -> Floats:
    """The parabola through (3, M) moments and merits at (M,) moments; where two of them are one, the line."""
    back, forth = times[1] - times[0], times[2] - times[1]
    rising = np.divide(values[1] - values[0], back, out=np.zeros_like(back), where=back > 0.0)
    falling = np.divide(values[2] - values[1], forth, out=np.zeros_like(back), where=forth > 0.0)
    bend = np.divide(falling - rising, back + forth, out=np.zeros_like(back), where=(back > 0.0) & (forth > 0.0))
    slope = np.where(back > 0.0, rising, falling)
    return np.asarray(values[1] + (when - times[1]) * (slope + bend * (when - times[0])))


def _top(times: Floats, values: Floats) -> tuple[Floats, Floats, Bools]:
    """Of (3, M) moments and merits: when the parabola through them is highest, how high it is, and whether it has a top
    between the outer ones that is not the middle one."""
    back, forth = times[1] - times[0], times[2] - times[1]
    well = (back > 0.0) & (forth > 0.0)
    rising = np.divide(values[1] - values[0], back, out=np.zeros_like(back), where=well)
    falling = np.divide(values[2] - values[1], forth, out=np.zeros_like(back), where=well)
    bend = np.divide(falling - rising, back + forth, out=np.zeros_like(back), where=well)
    slope = np.divide(rising * forth + falling * back, back + forth, out=np.zeros_like(back), where=well)
    step = np.divide(-slope, 2.0 * bend, out=np.zeros_like(back), where=bend < 0.0)
    inside = well & (bend < 0.0) & (step > -back) & (step < forth) & (step != 0.0)
    return times[1] + step, values[1] + 0.5 * slope * step, inside


def _bracket(times: Floats, values: Floats, which: Ints, top: Floats, value: Floats) -> None:
    """Keep of four moments, in order of time, the greatest and its neighbours, in place."""
    t = np.concatenate([times[:, which], top[None]])
    v = np.concatenate([values[:, which], value[None]])
    order = np.argsort(t, axis=0, kind="stable")
    t, v = np.take_along_axis(t, order, axis=0), np.take_along_axis(v, order, axis=0)
    first = np.clip(v.argmax(axis=0) - 1, 0, 1) + np.arange(3)[:, None]
    times[:, which], values[:, which] = np.take_along_axis(t, first, axis=0), np.take_along_axis(v, first, axis=0)


def narrow(
    samples: Samples[Measuring],
    pair: Ints,
    low: Floats,
    high: Floats,
    merit: Callable[[Measure], Floats],
    enough: Floats,
) -> None:
    """Measure ever closer about the moment of greatest merit of pairs (M,) between times `low` and `high` (M,).

    Each round leaves a sixth of the span; one is done when the merit differs by no more than `enough` (M,) over what
    is left. What is found is in the samples. Of several equally good moments one is followed.
    """
    low, high, going = low.copy(), high.copy(), np.flatnonzero(high > low)
    share = np.arange(PIECES + 1) / PIECES
    for _ in range(MOST_ROUNDS):
        if not len(going):
            return
        times = low[going, None] + (high - low)[going, None] * share
        _, found = samples.take_between(np.repeat(pair[going], PIECES + 1), times.ravel())
        merits = np.nan_to_num(merit(found), nan=-np.inf).reshape(times.shape)
        row, best = np.arange(len(going)), merits.argmax(axis=1)
        before, after = np.maximum(best - 1, 0), np.minimum(best + 1, PIECES)
        low[going], high[going] = times[row, before], times[row, after]
        worst = np.minimum(merits[row, before], merits[row, after])
        going = going[merits[row, best] - worst > enough[going]]
