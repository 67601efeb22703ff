"""How much is left of the lengths of a knot until it stands at a dead centre, in millimetres as of two links.

Where the Jacobian J of the constraints f has the least singular value s, with w J = s v, a movement a along v leaves
w f = s a + k a² / 2, with k the second derivative along v. It is singular at a = -s / k, where w f = -s² / 2 k: so much
must what the connections ask for change along w, and what one of them asks for by that over its share in w. (On w, v
and k at a fold see e.g. E. L. Allgower, K. Georg, Numerical Continuation Methods.) Of two links near to being in line
it is what their lengths have over, to the second order.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.geometry.planar import Floats
from core.mechanism.constraints import row_count
from core.motion.newton import Tangle
from core.motion.phase import AGREE, Phase
from core.motion.placing import Placing
from core.motion.walk import Walked

STEP = 1e-4
"""Of the mechanism's size: the movement along which the second derivative is taken."""
WORTH = 0.2
"""Of the largest determinant on the way: more is far from any dead centre."""
LOOKS, ROUNDS = 17, 5


def _largest(tangle: Tangle, w: Floats) -> Floats:
    """(T,) the most that a connection has in w, its rows together, whichever way they lie."""
    links = tangle.mechanism.links
    owners = [number for number in tangle.links for _ in range(row_count(links[number], held=number in tangle.grips))]
    kept = np.array(owners)[np.array(tangle.kept, dtype=int)]
    return np.max([np.sqrt((w[:, kept == one] ** 2).sum(axis=1)) for one in np.unique(kept)], axis=0)


@dataclass(frozen=True, slots=True)
class Near:
    """A moment at which a knot comes nearest to a dead centre."""

    time: float
    margin: float
    """Millimetres."""
    branches: bool = False
    """Whether it goes through, so that two ways cross there."""


def room(tangle: Tangle, placing: Placing, unknowns: Floats) -> Floats:
    """(T,) millimetres by which one connection must be other to bring a knot to a dead centre; nought in one."""
    kept = np.array(tangle.kept, dtype=int)
    matrix = tangle.linearised(placing, unknowns)[1][:, kept]
    left, values, right = np.linalg.svd(matrix)
    last = values.shape[1] - 1
    w, least, v = left[:, :, last], values[:, last], right[:, last]
    size = tangle.mechanism.size
    along = v.reshape(unknowns.shape) * np.array([1.0, 1.0, 1.0 / size]) * STEP * size
    there, back = (tangle.linearised(placing, unknowns + way * along)[1][:, kept] for way in (1.0, -1.0))
    bend = np.abs(np.einsum("ti,tij,tj->t", w, there - back, v)) / (2.0 * STEP * size)
    return np.asarray(least**2 / np.maximum(2.0 * bend * _largest(tangle, w), 1e-300))


def nearest_of(phase: Phase, number: int) -> list[Near]:
    """Where, between two moments at which it holds together, a knot comes near a dead centre or goes through one."""
    branch = phase.branches[number]
    walked, tangle = branch.walked, branch.tangle
    if walked is None or tangle is None or tangle.slack or not walked.good.any():
        return []
    strength = np.where(walked.good, np.abs(walked.sense), np.inf)
    largest = max(float(np.abs(walked.sense[walked.good]).max()), 1e-300)
    through = _crossings(walked)
    found = [Near(time, 0.0, branches=True) for time in through]
    middle, before, after = strength[1:-1], strength[:-2], strength[2:]
    low = (middle < before) & (middle <= after) & np.isfinite(before) & np.isfinite(after)
    for frame in map(int, 1 + np.flatnonzero(low & (middle < WORTH * largest))):
        begin, end = float(walked.times[frame - 1]), float(walked.times[frame + 1])
        if not any(begin <= time <= end for time in through):
            found.append(_refined(phase, number, begin, end))
    return found


def least_of(phase: Phase, number: int) -> Near | None:
    """The nearest on the whole way, its ends and those of its jams included."""
    branch = phase.branches[number]
    walked, tangle = branch.walked, branch.tangle
    if walked is None or tangle is None or tangle.slack or not walked.good.any():
        return None
    frames = np.flatnonzero(walked.good)
    left = room(tangle, phase.at(walked.times[frames], upto=number).placing, walked.unknowns[frames])
    at = int(np.argmin(left))
    best = [Near(float(walked.times[frames[at]]), float(left[at])), *(Near(time, 0.0) for time in _crossings(walked))]
    if 0 < at < len(frames) - 1:
        best.append(_refined(phase, number, float(walked.times[frames[at - 1]]), float(walked.times[frames[at + 1]])))
    return min(best, key=lambda one: one.margin)


def _crossings(walked: Walked) -> list[float]:
    """When the determinant changes its sign, by Lagrange's formula for the time as it hangs on it."""
    good, sense = walked.good, walked.sense
    frames = np.flatnonzero((sense[1:] * sense[:-1] < 0.0) & good[1:] & good[:-1])
    found = [float(time) for time in walked.times[(sense == 0.0) & good]]
    for frame in map(int, frames):
        about = np.arange(max(frame - 1, 0), min(frame + 3, len(sense)))
        about = about[good[about]]
        values, times = sense[about], walked.times[about]
        if not (np.diff(values) > 0.0).all() and not (np.diff(values) < 0.0).all():
            values, times = sense[frame : frame + 2], walked.times[frame : frame + 2]
        shares = [np.prod(np.delete(values, at) / (np.delete(values, at) - values[at])) for at in range(len(values))]
        found.append(float(np.array(shares) @ times))
    return found


def _refined(phase: Phase, number: int, begin: float, end: float) -> Near:
    """The least room between two moments, and when; all moments of a round at once."""
    stage, branch = phase.plan.stages[number], phase.branches[number]
    assert branch.tangle is not None
    best = Near(begin, np.inf)
    for _ in range(ROUNDS):
        times = np.linspace(begin, end, LOOKS)
        placing = phase.at(times, upto=number).placing
        found = phase.walked_to(stage, branch, placing, np.ones(len(times), dtype=bool))
        left = np.where(
            found.good & (found.excess <= AGREE), room(branch.tangle, placing, found.unknowns), np.inf
        )  # fmt: skip
        at = int(np.argmin(left))
        if left[at] < best.margin:
            best = Near(float(times[at]), float(left[at]))
        begin, end = float(times[max(at - 1, 0)]), float(times[min(at + 1, LOOKS - 1)])
    return best
