"""Groups that have to be found together: Newton on all frames at once, walked along from where they stand.

A residual does not show that a frame jumped to another branch. So a frame is taken only where it is near what its
neighbours foretell, and where the determinant of its Jacobian has the neighbours' sign; in doubt the way there is
walked in smaller steps (continuation, e.g. E. L. Allgower, K. Georg, Numerical Continuation Methods).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import qr

from core.geometry.planar import Floats
from core.mechanism.constraints import Grip, Row, jacobian, row_count, rows_of
from core.mechanism.mechanism import Mechanism
from core.motion.placing import Bools, Placing, Pose, turned

CONVERGED = 1e-12
"""Of the mechanism's size."""
ITERATIONS = 14
FINEST = 14
"""How often a step of the walk may be halved."""
NEAR = 0.35
"""By how much of the way between its neighbours a frame may be off what they foretell."""
COARSE = 8
"""Every how many frames are walked to before the others are filled in."""

Entry = TypeVar("Entry", bound=np.generic)
PlacingAt = Callable[[Floats], Placing]


@dataclass(frozen=True, slots=True)
class Tangle:
    """The equations of K groups in the world's frame; unknowns are (T, K, 3) places and turns."""

    mechanism: Mechanism
    links: tuple[int, ...]
    groups: tuple[tuple[int, ...], ...]
    grips: Mapping[int, Grip]
    columns: tuple[int, ...]
    """(B,) the group of each body, -1 for the world."""
    kept: tuple[int, ...] = ()
    """The independent rows, as many as there are unknowns; the others are only looked at afterwards."""

    def row_count(self) -> int:
        links = self.mechanism.links
        return sum(row_count(links[number], held=number in self.grips) for number in self.links)

    def rows(self, placing: Placing, unknowns: Floats) -> list[Row]:
        standing = self.standing(placing, unknowns)
        return [row for link in self.links for row in rows_of(self.mechanism, link, standing, self.grips)]

    def standing(self, placing: Placing, unknowns: Floats) -> Placing:
        """The bodies in the world's frame."""
        moved = Placing(placing.times, placing.drives, list(placing.bodies), list(placing.good))
        for group, pose in zip(self.groups, poses_of(unknowns), strict=True):
            moved.carry(group, pose)
        return moved

    def linearised(self, placing: Placing, unknowns: Floats) -> tuple[Floats, Floats]:
        """(T, R) residuals and (T, R, 3 K) Jacobian."""
        rows = self.rows(placing, unknowns)
        frames = len(unknowns)
        residual = np.empty((frames, len(rows)))
        for number, row in enumerate(rows):
            residual[:, number] = row.residual
        origins = [unknowns[:, at, 0] + 1j * unknowns[:, at, 1] for at in range(len(self.groups))]
        matrix = jacobian(rows, self.columns, origins, self.mechanism.size)
        return residual, np.broadcast_to(matrix, (frames, *matrix.shape[1:]))


def poses_of(unknowns: Floats) -> list[Pose]:
    return [
        Pose(unknowns[:, at, 0] + 1j * unknowns[:, at, 1], turned(unknowns[:, at, 2]), unknowns[:, at, 2])
        for at in range(unknowns.shape[1])
    ]


def tangle_of(
    mechanism: Mechanism,
    links: tuple[int, ...],
    groups: tuple[tuple[int, ...], ...],
    grips: Mapping[int, Grip],
    placing: Placing,
    unknowns: Floats,
) -> Tangle:
    """The equations of a knot; which rows are kept is seen at one frame, by a QR with pivoting."""
    columns = [-1] * len(mechanism.bodies)
    for at, group in enumerate(groups):
        for body in group:
            columns[body] = at
    whole = Tangle(mechanism, links, groups, grips, tuple(columns))
    _, matrix = whole.linearised(placing, unknowns)
    count = 3 * len(groups)
    if matrix.shape[1] <= count:
        kept: Sequence[int] = range(matrix.shape[1])
    else:
        kept = sorted(qr(matrix[0].T, mode="r", pivoting=True)[1][:count])
    return Tangle(mechanism, links, groups, grips, tuple(columns), tuple(int(row) for row in kept))


@dataclass(frozen=True, slots=True)
class Solution:
    unknowns: Floats
    """(T, K, 3)"""
    good: Bools
    """(T,) whether Newton came to rest where every kept row is met."""
    sense: Floats
    """(T,) determinant of the Jacobian, scaled by the size."""
    excess: Floats
    """(T,) the most by which a row that was not kept is off, mm."""


def newton(tangle: Tangle, placing: Placing, guess: Floats) -> Solution:
    """All frames at once from a guess (T, K, 3)."""
    unknowns, size = guess.copy(), tangle.mechanism.size
    kept = np.array(tangle.kept, dtype=int)
    scale = np.array([1.0, 1.0, 1.0 / size])
    moved = np.full(len(unknowns), np.inf)
    for _ in range(ITERATIONS):
        residual, matrix = tangle.linearised(placing, unknowns)
        step = _solved(matrix[:, kept], residual[:, kept]).reshape(unknowns.shape) * scale
        unknowns = unknowns - step
        moved = np.abs(step / scale).max(axis=(1, 2))
        if (moved <= 1e-9 * size).all():
            break
    residual, matrix = tangle.linearised(placing, unknowns)
    off = np.abs(residual)
    kept_off = off[:, kept].max(axis=1, initial=0.0)
    good = (kept_off <= 1e-10 * size) & (moved <= 1e-6 * size) & np.isfinite(unknowns).all(axis=(1, 2))
    rest = np.setdiff1d(np.arange(off.shape[1]), kept)
    return Solution(
        np.where(np.isfinite(unknowns), unknowns, guess),
        good,
        _determinant(matrix[:, kept]),
        off[:, rest].max(axis=1, initial=0.0),
    )


def _solved(matrix: Floats, residual: Floats) -> Floats:
    """Steps for all frames; where one frame's matrix is singular the shortest step that does most."""
    if matrix.shape[1] == matrix.shape[2]:
        try:
            steps = np.linalg.solve(matrix, residual[..., None])[..., 0]
        except np.linalg.LinAlgError:
            steps = np.full(residual.shape, np.nan)
        wild = ~np.isfinite(steps).all(axis=1)
        if not wild.any():
            return np.asarray(steps)
    else:
        steps, wild = np.empty((len(matrix), matrix.shape[2])), np.ones(len(matrix), dtype=bool)
    finite = wild & np.isfinite(matrix).all(axis=(1, 2)) & np.isfinite(residual).all(axis=1)
    steps[wild] = 0.0
    inverse = np.linalg.pinv(matrix[finite], rcond=1e-10)
    steps[finite] = np.einsum("tij,tj->ti", inverse, residual[finite])
    return np.asarray(steps)


def _determinant(matrix: Floats) -> Floats:
    if matrix.shape[1] != matrix.shape[2]:
        return np.ones(len(matrix))
    return np.asarray(np.linalg.det(matrix))


@dataclass(frozen=True, slots=True)
class Walked:
    """A knot over T times; where it cannot be put together it stands as it last could."""

    times: Floats
    unknowns: Floats
    good: Bools
    sense: Floats
    excess: Floats

    def seeds(self, times: Floats) -> Floats:
        """(T, K, 3) what the solved times foretell of others: a cubic through them."""
        known = np.flatnonzero(self.good)
        if len(known) == 0:
            return np.repeat(self.unknowns[:1], len(times), axis=0)
        return foretold(self.times[known], self.unknowns[known], times)


def foretold(known: Floats, values: Floats, times: Floats) -> Floats:
    """Cubic Hermite through values (N, K, 3) at known times; beyond them the nearest value."""
    if len(known) < 2:
        return np.repeat(values[:1], len(times), axis=0)
    inside = np.clip(times, known[0], known[-1])
    at = np.clip(np.searchsorted(known, inside) - 1, 0, len(known) - 2)
    slope = _slopes(known, values)
    span = (known[at + 1] - known[at])[:, None, None]
    share = (inside - known[at])[:, None, None] / span
    a, b, c, d = values[at], values[at + 1], slope[at] * span, slope[at + 1] * span
    square, cube = share**2, share**3
    return np.asarray(
        a * (2 * cube - 3 * square + 1)
        + b * (3 * square - 2 * cube)
        + c * (cube - 2 * square + share)
        + d * (cube - square)
    )


def _slopes(known: Floats, values: Floats) -> Floats:
    steps = np.diff(values, axis=0) / np.diff(known)[:, None, None]
    if len(steps) == 1:
        return np.repeat(steps, 2, axis=0)
    weight = np.diff(known)
    inner = (steps[1:] * weight[:-1, None, None] + steps[:-1] * weight[1:, None, None]) / (
        (weight[1:] + weight[:-1])[:, None, None]
    )
    return np.concatenate([steps[:1], inner, steps[-1:]])


def walk(tangle: Tangle, placing: Placing, placing_at: PlacingAt, start: Floats, *, allowed: Bools) -> Walked:
    """From `start` (K, 3) at the first time through all of them; where not `allowed` nothing is asked.

    `placing_at` says where the world's bodies are at any times, for steps between those of `placing`.
    """
    walker = _Walker(tangle, placing, placing_at, start, allowed)
    walker.coarse()
    walker.fill()
    return walker.result()


class _Walker:
    def __init__(self, tangle: Tangle, placing: Placing, placing_at: PlacingAt, start: Floats, allowed: Bools) -> None:
        self._tangle, self._placing, self._placing_at = tangle, placing, placing_at
        self._allowed = np.broadcast_to(allowed, placing.times.shape)
        frames = len(placing.times)
        self._unknowns = np.repeat(start[None], frames, axis=0)
        self._good = np.zeros(frames, dtype=bool)
        self._sense, self._excess = np.zeros(frames), np.zeros(frames)
        self._start, self._tried = start, np.zeros(frames, dtype=bool)

    def result(self) -> Walked:
        return Walked(self._placing.times, self._unknowns, self._good, self._sense, self._excess)

    def coarse(self) -> None:
        """Walk to every few frames; where that fails, to each."""
        frames = len(self._placing.times)
        stops = sorted({*range(0, frames, COARSE), frames - 1})
        last: int | None = None
        for stop in stops:
            if not self._advance(last, stop):
                for frame in range(0 if last is None else last + 1, stop):
                    if self._advance(last, frame):
                        last = frame
                self._advance(last, stop)
            if self._good[stop]:
                last = stop

    def fill(self) -> None:
        """The frames between, all at once; those in doubt are walked to from the frame before."""
        known = np.flatnonzero(self._good)
        left = np.flatnonzero(~self._tried & self._allowed)
        if len(known) >= 2 and len(left):
            times = self._placing.times
            guess = foretold(times[known], self._unknowns[known], times[left])
            solution = newton(self._tangle, take(self._placing, left), guess)
            after = np.clip(np.searchsorted(known, left), 1, len(known) - 1)
            low, high = known[after - 1], known[after]
            way = _length(self._unknowns[high] - self._unknowns[low], self._tangle)
            off = _length(solution.unknowns - guess, self._tangle)
            sure = solution.good & (off <= NEAR * way + 1e-9 * self._tangle.mechanism.size)
            sure &= (solution.sense * self._sense[low] > 0) & (solution.sense * self._sense[high] > 0)
            self._put(left[sure], solution, sure)
        for frame in np.flatnonzero(~self._tried):
            before = np.flatnonzero(self._good[:frame])
            self._advance(int(before[-1]) if len(before) else None, int(frame))

    def _put(self, frames: np.ndarray, solution: Solution, which: np.ndarray) -> None:
        self._unknowns[frames] = solution.unknowns[which]
        self._sense[frames], self._excess[frames] = solution.sense[which], solution.excess[which]
        self._good[frames] = self._tried[frames] = True

    def _advance(self, origin: int | None, frame: int) -> bool:
        """Walk from a solved frame (or from the start) to another; False where it cannot be reached."""
        self._tried[frame] = True
        held = self._start if origin is None else self._unknowns[origin]
        if not self._allowed[frame]:
            self._unknowns[frame] = held
            return False
        here = take(self._placing, np.array([frame]))
        solution = newton(self._tangle, here, held[None]) if origin is None else self._step(origin, frame, here)
        if not solution.good[0]:
            self._unknowns[frame] = held
            return False
        self._put(np.array([frame]), solution, np.array([0]))
        return True

    def _step(self, origin: int, frame: int, target: Placing) -> Solution:
        """Steps as long as they are beyond doubt, halved where they are not."""
        begin, end = self._placing.times[origin], self._placing.times[frame]
        at, place, sense = float(begin), self._unknowns[origin], float(self._sense[origin])
        rate = self._rate(origin, place)
        step = end - at
        finest = abs(step) / 2**FINEST
        while True:
            goal = min(at + step, end)
            last = goal >= end
            there = target if last else self._placing_at(np.array([goal]))
            guess = place + rate * (goal - at)
            solution = newton(self._tangle, there, guess[None])
            if self._sure(solution, guess, place, sense) or (step <= finest and solution.good[0]):
                if last:
                    return solution
                rate = (solution.unknowns[0] - place) / (goal - at)
                at, place, sense = goal, solution.unknowns[0], float(solution.sense[0])
                step = min(2.0 * step, end - at)
            elif step <= finest:
                return solution
            else:
                step /= 2.0

    def _rate(self, origin: int, place: Floats) -> Floats:
        """How the unknowns moved lately, per second."""
        before = np.flatnonzero(self._good[:origin])
        if not len(before):
            return np.zeros_like(place)
        gap = self._placing.times[origin] - self._placing.times[before[-1]]
        return np.asarray((place - self._unknowns[before[-1]]) / gap) if gap > 0 else np.zeros_like(place)

    def _sure(self, solution: Solution, guess: Floats, place: Floats, sense: float) -> bool:
        if not solution.good[0] or solution.sense[0] * sense <= 0.0:
            return False
        way = _length(solution.unknowns - place, self._tangle)[0]
        off = _length(solution.unknowns - guess, self._tangle)[0]
        small = 0.02 * self._tangle.mechanism.size
        return bool(off <= NEAR * way or way <= small)


def _length(change: Floats, tangle: Tangle) -> Floats:
    """(T,) the largest movement of any unknown, a turn counted as an arc."""
    return np.asarray(np.abs(change * np.array([1.0, 1.0, tangle.mechanism.size])).max(axis=(1, 2)))


def take(placing: Placing, frames: np.ndarray) -> Placing:
    """Some of the times."""
    count = len(placing.times)

    def some(values: NDArray[Entry]) -> NDArray[Entry]:
        return values[frames] if np.ndim(values) and len(values) == count else values

    bodies = [Pose(some(pose.u), some(pose.w), some(pose.turn)) for pose in placing.bodies]
    good = [some(one) for one in placing.good]
    return Placing(placing.times[frames], placing.drives[frames], bodies, good)


def shortfall(tangle: Tangle, placing: Placing, guess: Floats) -> float:
    """The largest gap, mm, that is left at one time when all rows are met as well as may be: damped Gauss-Newton."""
    unknowns, size = guess[None].copy(), tangle.mechanism.size
    scale = np.array([1.0, 1.0, 1.0 / size])
    damping = 1e-3
    residual, matrix = tangle.linearised(placing, unknowns)
    for _ in range(60):
        normal = matrix[0].T @ matrix[0]
        pull = matrix[0].T @ residual[0]
        step = np.linalg.solve(normal + damping * np.eye(len(normal)), pull).reshape(unknowns.shape) * scale
        trial = unknowns - step
        new_residual, new_matrix = tangle.linearised(placing, trial)
        if (new_residual**2).sum() < (residual**2).sum():
            unknowns, residual, matrix, damping = trial, new_residual, new_matrix, max(damping / 5.0, 1e-12)
            if np.abs(step / scale).max() < 1e-10 * size:
                break
        else:
            damping = min(damping * 5.0, 1e6)
    return float(np.abs(residual).max())
