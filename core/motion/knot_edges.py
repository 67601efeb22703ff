"""The moment at which a knot ceases to hold together.

A knot jams at a fold: two of its branches meet, and the determinant of its Jacobian falls as the square root of the
time that is left (e.g. E. L. Allgower, K. Georg, Numerical Continuation Methods, on turning points). Its square is then
a straight line of time, and all unknowns are smooth functions of the determinant; so the fold is foretold by two
moments, and moments ever nearer to it, all at once, show how far that is true. Where it is not, it is walked to.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.geometry.planar import Floats
from core.motion.newton import Tangle, newton
from core.motion.phase import AGREE, Phase
from core.motion.placing import Placing
from core.motion.walk import NEAR, SMALL, Stand, Walked, farthest, length

ROUNDS = 30
NEARER = 10.0 ** -np.arange(1.0, 8.0)
"""Of the way to where a fold is foretold, what is left at each moment that is tried; beyond it the same."""
FELL = 0.1
"""Of the determinant at the last good moment of the grid: where it has fallen by less, what ended is no fold."""
EVENLY = np.arange(1.0, 16.0) / 16.0


@dataclass(frozen=True, slots=True)
class _Seen:
    stand: Stand
    strength: float

    @property
    def time(self) -> float:
        return self.stand.time


def knot_edge(phase: Phase, number: int, good: float, bad: float, narrow: float) -> Stand | None:
    """The last moment from `good` towards `bad`, two neighbours on the grid, at which a knot holds together, and how it
    stands there; None where it ends because connections that are more than enough disagree."""
    tangle = phase.branches[number].tangle
    assert tangle is not None
    fold = _fold(phase, number, good, bad, narrow)
    if fold is not None or len(tangle.kept) < tangle.row_count():
        return fold
    walked = phase.branches[number].walked
    assert walked is not None
    stand = walked.stand(int(np.searchsorted(walked.times, good)))
    return farthest(tangle, lambda times: phase.at(times, upto=number).placing, stand, bad, narrow)


def _fold(phase: Phase, number: int, good: float, bad: float, narrow: float) -> Stand | None:
    walked = phase.branches[number].walked
    assert walked is not None
    frame, way = int(np.searchsorted(walked.times, good)), 1 if bad > good else -1
    seen = [_seen(phase, number, walked.stand(at)) for at in (frame - way, frame) if _stands(walked, at)]
    begun = seen[-1].strength
    for _ in range(ROUNDS):
        if abs(bad - seen[-1].time) <= narrow:
            break
        fold = _foretold(seen, bad)
        times = seen[-1].time + (bad - seen[-1].time) * EVENLY if fold is None else _about(seen[-1].time, fold, bad)
        found, bad = _try(phase, number, times, seen, fold, bad)
        seen = (seen + found)[-2:]
    ended = abs(bad - seen[-1].time) <= narrow and abs(seen[-1].strength) <= FELL * abs(begun)
    return seen[-1].stand if ended else None


def _stands(walked: Walked, frame: int) -> bool:
    return 0 <= frame < len(walked.times) and bool(walked.good[frame])


def _seen(phase: Phase, number: int, stand: Stand) -> _Seen:
    tangle = phase.branches[number].tangle
    assert tangle is not None
    placing = phase.at(np.array([stand.time]), upto=number).placing
    return _Seen(stand, float(_strength(tangle, placing, stand.unknowns[None], np.array([stand.sense]))[0]))


def _strength(tangle: Tangle, placing: Placing, unknowns: Floats, sense: Floats) -> Floats:
    """(T,) the determinant of the Jacobian J, or, with fewer rows than unknowns, the root of that of J Jᵀ."""
    if not tangle.slack:
        return sense
    matrix = tangle.linearised(placing, unknowns)[1][:, np.array(tangle.kept, dtype=int)]
    return np.asarray(np.sqrt(np.maximum(np.linalg.det(matrix @ matrix.swapaxes(1, 2)), 0.0)))


def _foretold(seen: list[_Seen], bad: float) -> float | None:
    """Where the square of the determinant comes to nought, if that is before what is known to fail."""
    if len(seen) < 2:
        return None
    (first, last), fell = seen, seen[0].strength ** 2 - seen[1].strength ** 2
    if fell <= 0.0 or first.strength * last.strength <= 0.0:
        return None
    fold = last.time + (last.time - first.time) * last.strength**2 / fell
    return fold if abs(fold - last.time) < abs(bad - last.time) else None


def _about(last: float, fold: float, bad: float) -> Floats:
    """Moments that close in on a fold from both sides, in the order in which they are come to."""
    before, after = fold - (fold - last) * NEARER, fold + (bad - fold) * NEARER[::-1]
    return np.concatenate([before, after])


def _try(
    phase: Phase, number: int, times: Floats, seen: list[_Seen], fold: float | None, bad: float
) -> tuple[list[_Seen], float]:
    """The moments that hold together, the last two of them, and the first that does not."""
    tangle, last = phase.branches[number].tangle, seen[-1].stand
    assert tangle is not None
    guess, placing = _guessed(times, seen, fold), phase.at(times, upto=number).placing
    solution = newton(tangle, placing, guess)
    went = length(solution.unknowns - last.unknowns, tangle)
    sure = length(solution.unknowns - guess, tangle) <= NEAR * went
    sure |= went <= SMALL * tangle.mechanism.size
    holds = solution.good & (solution.excess <= AGREE) & (solution.sense * last.sense > 0.0) & sure
    count = len(times) if holds.all() else int(np.argmin(holds))
    strength = _strength(tangle, placing, solution.unknowns, solution.sense)
    found = [
        _Seen(
            Stand(float(times[at]), solution.unknowns[at], float(solution.sense[at]), float(solution.excess[at])),
            float(strength[at]),
        )
        for at in range(count)[-2:]
    ]
    return found, bad if count == len(times) else float(times[count])


def _guessed(times: Floats, seen: list[_Seen], fold: float | None) -> Floats:
    """Along the last two moments: by the determinant, as it falls towards a fold, or as the last one stands."""
    last = seen[-1]
    guess = np.repeat(last.stand.unknowns[None], len(times), axis=0)
    if fold is not None:
        first = seen[0]
        left = np.sqrt(np.maximum((fold - times) / (fold - last.time), 0.0)) * last.strength
        share = (left - last.strength) / (last.strength - first.strength)
        guess += share[:, None, None] * (last.stand.unknowns - first.stand.unknowns)
    return guess
