"""The phases of a sequence one after the other, with what fails held where it last held together."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass

import numpy as np

from core.geometry.planar import Bools, Floats
from core.mechanism.mechanism import Mechanism
from core.motion.inputs import Inputs
from core.motion.phase import Assembled, Phase
from core.motion.settle import Settled
from core.motion.trouble import LatchMiss

STILL = 1e-9
"""Of the mechanism's size: the most that rounding moves a body that nothing moves."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A settled phase with its poses on the grid."""

    settled: Settled
    poses: Floats
    """(T, B, 3) as assembled, right where `good`."""
    good: Bools
    """(T, B)"""

    @classmethod
    def of(cls, settled: Settled) -> Stretch:
        poses, good = assembled_poses(settled.phase, settled.result)
        return cls(settled, poses, good)

    @property
    def phase(self) -> Phase:
        return self.settled.phase

    def at(self, times: Floats, bodies: Collection[int] | None = None) -> tuple[Floats, Bools]:
        """(T, B, 3) poses, held where they cannot be had, and (T, B) whether they can; right for some `bodies` alone
        where those are named."""
        phase = self.phase
        if self._are_on_grid(times):
            return self.at_frames(times)
        only = None if bodies is None else frozenset().union(*(phase.behind[body] for body in bodies))
        poses, good = assembled_poses(phase, phase.at(times, only=only))
        self._hold(times, poses, good)
        return poses, good

    def _are_on_grid(self, times: Floats) -> bool:
        grid = self.phase.grid
        return bool((grid[np.searchsorted(grid, times).clip(0, len(grid) - 1)] == times).all())

    def at_frames(self, times: Floats) -> tuple[Floats, Bools]:
        """As `at`, of times that are moments of the grid."""
        frames = np.searchsorted(self.phase.grid, times)
        poses, good = self.poses[frames], self.good[frames]
        self._hold(times, poses, good)
        return poses, good

    def on_grid(self) -> tuple[Floats, Bools]:
        poses = self.poses.copy()
        self._hold(self.phase.grid, poses, self.good)
        return poses, self.good

    def poses_at_end(self) -> Floats:
        return self.on_grid()[0][-1]

    def _hold(self, times: Floats, poses: Floats, good: Bools) -> None:
        """Put what fails at where it last held together, or else where the phase found it."""
        grid = self.phase.grid
        for body in np.flatnonzero(~good.all(axis=0)):
            bad = np.flatnonzero(~good[:, body])
            known = np.flatnonzero(self.good[:, body])
            last = np.searchsorted(grid[known], times[bad], side="right") - 1
            held = self.poses[known[last], body] if len(known) else np.zeros((len(bad), 3))
            poses[bad, body] = np.where((last >= 0)[:, None], held, self.phase.start[body])


def assembled_poses(phase: Phase, result: Assembled) -> tuple[Floats, Bools]:
    """(T, B, 3) poses and (T, B) whether all that places a body, and every loop it is part of, holds together."""
    poses, good = result.placing.poses(), result.placing.solved()
    _stay(phase, poses)
    for number, outcome in enumerate(result.checks):
        fails = outcome.asked & ~outcome.good
        if fails.any():
            loop, standing = phase.loops[number], standing_on(phase)
            hit = [body for body, below in enumerate(standing) if body in loop or below & loop]
            good[:, hit] &= ~fails[:, None]
    return poses, good


def _stay(phase: Phase, poses: Floats) -> None:
    """Put what no moving drive moves exactly where it stood: rounding is no movement."""
    unmoved, size = list(phase.unmoved), phase.mechanism.size
    if unmoved:
        there, start = poses[:, unmoved], phase.start[unmoved]
        strayed = (np.abs(there - start) * (1.0, 1.0, size)).max(axis=2)
        poses[:, unmoved] = np.where((strayed <= STILL * size)[..., None], start, there)


def standing_on(phase: Phase) -> list[frozenset[int]]:
    """Of each body, the bodies that its place follows from."""
    standing: list[frozenset[int]] = [frozenset()] * len(phase.mechanism.bodies)
    for stage in phase.plan.stages:
        needed = frozenset(stage.step.bodies).union(*(standing[body] for body in stage.step.bodies))
        for body in stage.placed:
            standing[body] |= needed
    return standing


@dataclass(frozen=True, slots=True)
class Course:
    """The whole sequence."""

    mechanism: Mechanism
    inputs: Inputs
    stretches: tuple[Stretch, ...]
    misses: tuple[LatchMiss, ...]
    end: float

    def at(self, times: Floats) -> tuple[Floats, Bools]:
        """(T, B, 3) poses and (T, B) whether they hold together, at any times of the sequence."""
        return self._each(np.clip(np.asarray(times, dtype=float), 0.0, self.end), Stretch.at)

    def at_frames(self, times: Floats) -> tuple[Floats, Bools]:
        """As `at`, of the times that the sequence was followed through."""
        return self._each(times, Stretch.at_frames)

    def _each(self, times: Floats, of: Callable[[Stretch, Floats], tuple[Floats, Bools]]) -> tuple[Floats, Bools]:
        if len(self.stretches) == 1:
            return of(self.stretches[0], times)
        poses = np.zeros((len(times), len(self.mechanism.bodies), 3))
        good = np.ones(poses.shape[:2], dtype=bool)
        begins = np.array([stretch.phase.begin for stretch in self.stretches])
        which = np.searchsorted(begins, times, side="right") - 1
        for number in np.unique(which):
            here = which == number
            poses[here], good[here] = of(self.stretches[number], times[here])
        return poses, good

    def poses_at(self, times: Floats) -> Floats:
        return self.at(times)[0]

    def poses_of(self, bodies: Collection[int], times: Floats) -> Floats:
        """As `poses_at`, right for some bodies alone, by number; the others stand anywhere."""
        inside = np.clip(np.asarray(times, dtype=float), 0.0, self.end)
        return self._each(inside, lambda stretch, here: stretch.at(here, bodies))[0]

    def assembled_at(self, times: Floats) -> Bools:
        return self.at(times)[1]
