"""Groups that have to be found together: Newton on all frames at once.

Residuals and Jacobian are those of the constraints, in the unknown places and turns of the groups. Where rows are more
than unknowns the independent ones are kept, and the others are only looked at. Which branch a frame lies on is not seen
here, but where the knot is walked along.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from core.geometry.planar import Bools, Floats
from core.mechanism.constraints import Grip, Row, jacobian, row_count, rows_of
from core.mechanism.mechanism import Mechanism
from core.motion.pivoting import pivoted
from core.motion.placing import Placing, Pose, turned

CONVERGED = 1e-14
"""Of the mechanism's size: residuals below this are rounding, and what a weak matrix makes of them is noise."""
INDEPENDENT = 1e-8
"""Of the most independent row of a knot: a weaker one follows from the others."""
ITERATIONS = 10
LONGEST = 0.4
"""Of the mechanism's size: no step of Newton's is longer, since near a dead centre they go astray."""
Entry = TypeVar("Entry", bound=np.generic)


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

    @property
    def slack(self) -> bool:
        """Whether freedoms are left, so that each frame is the nearest to where it was begun from."""
        return len(self.kept) < 3 * len(self.groups)

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
    upper, order = pivoted(matrix[0].T)
    strength = np.abs(np.diag(upper))
    rank = int((strength > INDEPENDENT * strength.max(initial=0.0)).sum())
    kept = tuple(sorted(int(row) for row in order[: min(rank, count)]))
    return Tangle(mechanism, links, groups, grips, tuple(columns), kept)


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

    def taken(self, frames: NDArray[np.intp]) -> Solution:
        """Some of the frames."""
        return Solution(self.unknowns[frames], self.good[frames], self.sense[frames], self.excess[frames])


def newton(tangle: Tangle, placing: Placing, guess: Floats) -> Solution:
    """All frames at once from a guess (T, K, 3); each rests where it would if it were alone, since near a dead centre
    further steps would be noise."""
    unknowns, size = guess.copy(), tangle.mechanism.size
    kept = np.array(tangle.kept, dtype=int)
    scale = np.array([1.0, 1.0, 1.0 / size])
    moved, rests = np.full(len(unknowns), np.inf), np.zeros(len(unknowns), dtype=bool)
    for _ in range(ITERATIONS):
        residual, matrix = tangle.linearised(placing, unknowns)
        step = _solved(matrix[:, kept], residual[:, kept]).reshape(unknowns.shape) * scale
        step[np.abs(residual[:, kept]).max(axis=1, initial=0.0) <= CONVERGED * size] = 0.0
        step[rests] = 0.0
        moved = np.where(rests, moved, np.abs(step / scale).max(axis=(1, 2)))
        unknowns = unknowns - step * np.minimum(1.0, LONGEST * size / np.maximum(moved, 1e-300))[:, None, None]
        rests = moved <= 1e-9 * size
        if rests.all():
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


def take(placing: Placing, frames: np.ndarray) -> Placing:
    """Some of the times."""
    count = len(placing.times)

    def some(values: NDArray[Entry]) -> NDArray[Entry]:
        return values[frames] if np.ndim(values) and len(values) == count else values

    bodies = [Pose(some(pose.u), some(pose.w), some(pose.turn)) for pose in placing.bodies]
    good = [some(one) for one in placing.good]
    return Placing(placing.times[frames], placing.drives[frames], bodies, good)


def shortfall(tangle: Tangle, placing: Placing, guess: Floats) -> float:
    """The largest gap, mm, that is left at one time when all rows are met as well as may be."""
    return float(np.abs(tangle.linearised(placing, relaxed(tangle, placing, guess)[None])[0]).max())


def relaxed(tangle: Tangle, placing: Placing, guess: Floats) -> Floats:
    """(K, 3) where at one time all rows together are met best, by Gauss and Newton, damped as Levenberg did."""
    unknowns, size = guess[None].copy(), tangle.mechanism.size
    scale = np.array([1.0, 1.0, 1.0 / size])
    damping = 1e-3
    residual, matrix = tangle.linearised(placing, unknowns)
    for _ in range(60):
        normal, pull = matrix[0].T @ matrix[0], matrix[0].T @ residual[0]
        step = np.linalg.solve(normal + damping * np.eye(len(normal)), pull).reshape(unknowns.shape) * scale
        trial = unknowns - step
        new_residual, new_matrix = tangle.linearised(placing, trial)
        if (new_residual**2).sum() < (residual**2).sum():
            unknowns, residual, matrix, damping = trial, new_residual, new_matrix, max(damping / 5.0, 1e-12)
            if np.abs(step / scale).max() < 1e-10 * size:
                break
        else:
            damping = min(damping * 5.0, 1e6)
    return np.asarray(unknowns[0])
