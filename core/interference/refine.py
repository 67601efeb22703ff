"""Narrows down extreme moments between the ones that were measured: nearest, and largest common area."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from core.interference.probe import Measure
from core.interference.samples import Measuring, Samples

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

PIECES = 12
MOST_ROUNDS = 8


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
