"""Where between its moments a margin is least, and where something begins and ends to hold together.

Sample, then refine the bracket: every bracket of every stage is narrowed at once, sixteen moments at a time.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.geometry.planar import Floats
from core.motion.assembly import Knot
from core.motion.knot_edges import knot_edge
from core.motion.phase import Assembled, Outcome, Phase
from core.motion.walk import Stand

PIECES = 16
NARROW = 1e-10
"""Of a phase: a bracket narrower than this is a moment."""
NARROW_OF_KNOTS = 1e-7
"""The same where a knot fails, which is walked to in ever smaller steps."""
ROUNDS = 14


@dataclass(frozen=True, slots=True)
class Least:
    """A local minimum of the margin of a stage or check, numbered with the stages first."""

    which: int
    time: float
    margin: float
    size: float
    before: float
    after: float
    """The grid's moments about it."""


def candidates(result: Assembled, below: Callable[[int, Outcome], float]) -> list[tuple[int, int]]:
    """(outcome, frame) where a margin has a local minimum on the grid and may, between frames, fall below a bound."""
    found = []
    for which, outcome in enumerate(result.outcomes):
        margin = outcome.margin
        if len(margin) < 3 or not np.isfinite(margin).all():
            continue
        middle, left, right = margin[1:-1], margin[:-2], margin[2:]
        drop = np.maximum(np.abs(middle - left), np.abs(right - middle))
        low = (middle < left) & (middle <= right) & (middle - drop <= below(which, outcome)) & outcome.asked[1:-1]
        found += [(which, int(frame) + 1) for frame in np.flatnonzero(low)]
    return found


def least_margins(phase: Phase, result: Assembled, places: Sequence[tuple[int, int]]) -> list[Least]:
    """The minima refined."""
    if not places:
        return []
    grid = phase.grid
    which = np.array([one for one, _ in places])
    low = grid[[frame - 1 for _, frame in places]]
    high = grid[[frame + 1 for _, frame in places]]
    best, value = (
        grid[[frame for _, frame in places]],
        np.array([result.outcomes[one].margin[at] for one, at in places]),
    )
    span = max(phase.end - phase.begin, 1e-300)
    share = np.arange(1, PIECES) / PIECES
    begin, end = low.copy(), high.copy()
    for _ in range(ROUNDS):
        if ((end - begin) <= NARROW * span).all():
            break
        times = begin[:, None] + (end - begin)[:, None] * share
        margins = _margins(phase, which, times)
        at = np.argmin(margins, axis=1)
        rows = np.arange(len(which))
        better = margins[rows, at] < value
        best = np.where(better, times[rows, at], best)
        value = np.where(better, margins[rows, at], value)
        gap = (end - begin) / PIECES
        begin, end = np.maximum(begin, best - gap), np.minimum(end, best + gap)
    sizes = [float(np.max(result.outcomes[one].size)) for one, _ in places]
    return [
        Least(int(one), float(when), float(least), size, float(before), float(after))
        for one, when, least, size, before, after in zip(which, best, value, sizes, low, high, strict=True)
    ]


def _margins(phase: Phase, which: np.ndarray, times: Floats) -> Floats:
    """(K, N) margins of K outcomes at times (K, N), each its own."""
    result = phase.at(times.ravel())
    every = np.stack([outcome.margin for outcome in result.outcomes])
    return every[which[:, None], np.arange(times.size).reshape(times.shape)]


Edges = tuple[Floats, dict[int, list[Stand]]]
"""Moments, and how knots stand at theirs."""


def edges(phase: Phase, which: Sequence[int], good: Floats, bad: Floats) -> Edges:
    """The last moments, from `good` towards `bad`, at which outcomes still hold together."""
    span, found, stands = max(phase.end - phase.begin, 1e-300), good.copy(), dict[int, list[Stand]]()
    left = list[int]()
    for at, number in enumerate(which):
        if not _is_knot(phase, number):
            left.append(at)
            continue
        stand = knot_edge(phase, number, float(good[at]), float(bad[at]), NARROW_OF_KNOTS * span)
        if stand is None:
            left.append(at)
        else:
            found[at] = stand.time
            stands.setdefault(number, []).append(stand)
    found[left] = _edges(phase, np.array(which)[left], good[left], bad[left], span)
    return found, stands


def _is_knot(phase: Phase, number: int) -> bool:
    return number < len(phase.plan.stages) and isinstance(phase.plan.stages[number].step, Knot)


def _edges(phase: Phase, numbers: NDArray[np.intp], good: Floats, bad: Floats, span: float) -> Floats:
    """Of what ends at no fold, all at once."""
    share = np.arange(1, PIECES) / PIECES
    narrow = NARROW_OF_KNOTS if any(_is_knot(phase, one) for one in numbers) else NARROW
    for _ in range(ROUNDS):
        if (np.abs(bad - good) <= narrow * span).all():
            break
        times = good[:, None] + (bad - good)[:, None] * share
        result = phase.at(times.ravel())
        holds = np.stack([outcome.good | ~outcome.asked for outcome in result.outcomes])
        fine = holds[numbers[:, None], np.arange(times.size).reshape(times.shape)]
        count = np.argmin(np.concatenate([fine, np.zeros((len(fine), 1), dtype=bool)], axis=1), axis=1)
        edge = np.concatenate([good[:, None], times, bad[:, None]], axis=1)
        rows = np.arange(len(fine))
        good, bad = edge[rows, count], edge[rows, count + 1]
    return good
