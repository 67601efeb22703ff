"""One phase of a sequence: the time between two latch events, through which the same connections hold.

`following.follow` takes the plan through the phase once, on a grid of moments, and keeps what a branch is made of: the
sign of every closed form and the moments at which the smooth way changes it, the whole turns counted so far, the solved
knots. With that, `Phase.at` puts the mechanism together at any other moments, in any order, on the same branch.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.geometry.planar import Bools, Floats, at_all, near
from core.mechanism.constraints import rows_of
from core.mechanism.mechanism import Mechanism
from core.motion.assembly import Knot, Plan, Stage
from core.motion.inputs import Inputs
from core.motion.meetings import Side
from core.motion.newton import Tangle, newton
from core.motion.placing import NOWHERE_ELSE, Placing, Pose
from core.motion.steps import Found
from core.motion.walk import Walked, walk

TOUCH = 1e-8
"""Of the lengths that meet: nearer than this to a dead centre is in it, further beyond it than this is a jam."""
MOST_WALKED = 12
"""From how many moments of the grid other times in doubt are walked to at once."""
AGREE = 1e-3
"""Millimetres by which connections that are more than the motion needs may differ: a micron."""


@dataclass(frozen=True, slots=True)
class Bridge:
    """The course of a root through nought: a polynomial through what it is at nodes on either side."""

    time: float
    half: float
    """It is used up to so far from `time`, seconds."""
    nodes: Floats
    values: Floats

    def over(self, times: Floats) -> tuple[NDArray[np.intp], Floats]:
        """Which of the times it covers, and the roots there, by Lagrange's formula."""
        frames = np.flatnonzero(np.abs(times - self.time) <= self.half)
        places, nodes = (times[frames] - self.time) / self.half, (self.nodes - self.time) / self.half
        values = np.zeros(len(frames))
        for at, (node, value) in enumerate(zip(nodes, self.values, strict=True)):
            others = np.delete(nodes, at)
            values += value * np.prod((places[:, None] - others) / (node - others), axis=1)
        return frames, values


@dataclass(frozen=True, slots=True)
class Branch:
    """What a stage keeps of the way it came."""

    sign: float = 1.0
    flips: tuple[float, ...] = ()
    """When the smooth way through a dead centre changes the sign."""
    bridges: tuple[Bridge, ...] = ()
    turns: tuple[Floats, ...] = ()
    """Of each pose whose turn is counted on, (T,) over the phase's grid."""
    tangle: Tangle | None = None
    walked: Walked | None = None

    def side_at(self, times: Floats) -> Side:
        if not self.flips:
            return Side(self.sign)
        odd = np.searchsorted(np.array(self.flips), times, side="right") % 2 == 1
        return Side(self.sign * np.where(odd, -1.0, 1.0), tuple(bridge.over(times) for bridge in self.bridges))


@dataclass(frozen=True, slots=True)
class Outcome:
    """How a stage or a check went: a margin (T,) in millimetres, negative where it fails, and where it was asked."""

    margin: Floats
    size: Floats | float
    asked: Bools
    """(T,) whether all that it builds on held together."""
    root: Floats | None = None
    """(T,) of a closed form, with its sign."""

    @property
    def touch(self) -> Floats | float:
        return TOUCH * self.size

    @property
    def good(self) -> Bools:
        return np.asarray(self.margin >= -self.touch)


@dataclass(frozen=True, slots=True)
class Assembled:
    """The mechanism at T times."""

    placing: Placing
    stages: tuple[Outcome, ...]
    checks: tuple[Outcome, ...]
    turns: tuple[tuple[Floats, ...], ...]

    @property
    def outcomes(self) -> tuple[Outcome, ...]:
        return (*self.stages, *self.checks)


@dataclass(frozen=True, slots=True, kw_only=True)
class Phase:
    mechanism: Mechanism
    inputs: Inputs
    plan: Plan
    begin: float
    end: float
    start: Floats
    """(B, 3) poses at the begin."""
    grid: Floats
    """(T,) the moments it was followed through."""
    branches: tuple[Branch, ...] = ()
    loops: tuple[frozenset[int], ...] = ()
    """Of each check, the bodies of the loop that it closes."""
    behind: tuple[frozenset[int], ...] = ()
    """Of each body, the stages that its pose follows from."""
    unmoved: tuple[int, ...] = ()
    """The bodies that no drive moves in it."""

    def at(self, times: Floats, *, upto: int | None = None, only: Collection[int] | None = None) -> Assembled:
        """Put the mechanism together at any times, by all stages or by the first few, or `only` by some of them, by
        number: what hangs on others stands anywhere then."""
        placing = Placing.drawn(len(self.mechanism.bodies), times, self.inputs.at(times, self._drives_of(only)))
        nearest = nearest_of(self.grid, times)
        outcomes: list[Outcome] = []
        turns: list[tuple[Floats, ...]] = []
        for number, stage in enumerate(self.plan.stages[:upto]):
            if only is not None and number not in only:
                continue
            branch = self.branches[number]
            counted: tuple[Floats, ...] = ()
            if isinstance(stage.step, Knot):
                outcome = self._knot_again(stage, branch, placing)
            else:
                found = stage.step.place(placing, branch.side_at(times))
                outcome, counted = place(stage, placing, found, [track[nearest] for track in branch.turns])
            outcomes.append(outcome)
            turns.append(counted)
        checks = () if upto is not None else tuple(self.check(number, placing) for number in range(len(self.loops)))
        return Assembled(placing, tuple(outcomes), checks, tuple(turns))

    def _drives_of(self, only: Collection[int] | None) -> set[int] | None:
        """The drives that some stages ask for; None for all, as where a check may ask for any."""
        if only is None or self.loops:
            return None
        return {drive for number in only for drive in self.plan.stages[number].step.drives}

    def _knot_again(self, stage: Stage, branch: Branch, placing: Placing) -> Outcome:
        asked = np.broadcast_to(placing.all_good(stage.step.bodies), placing.times.shape)
        found = self.walked_to(stage, branch, placing, asked)
        return settle_knot(stage, placing, found.unknowns, found.good & (found.excess <= AGREE), asked)

    def walked_to(self, stage: Stage, branch: Branch, placing: Placing, asked: Bools) -> Walked:
        """The knot at other times than the grid's, from what the grid foretells."""
        walked, tangle, times = branch.walked, branch.tangle, placing.times
        assert walked is not None
        assert tangle is not None
        guess, origin = walked.seeds(times)
        solution = newton(tangle, placing, guess)
        good = solution.good & (solution.sense * walked.sense[origin] > 0.0) & walked.good[origin]
        unknowns, sense, excess = solution.unknowns, solution.sense, solution.excess
        unknowns[~good] = walked.unknowns[origin][~good]
        for some in self._in_doubt(asked & walked.good[origin] & ~good, origin, walked.times, times):
            found = self._walk_from(stage, branch, int(origin[some[0]]), times[some])
            here = some[found.good]
            unknowns[here], excess[here], good[here] = found.unknowns[found.good], found.excess[found.good], True
            sense[here] = found.sense[found.good]
        return Walked(times, unknowns, good, sense, excess)

    def _in_doubt(
        self, doubt: Bools, origin: NDArray[np.intp], grid: Floats, times: Floats
    ) -> Iterator[NDArray[np.intp]]:
        """The times in doubt, by the moment of the grid that they are walked to from, nearest first."""
        frames = np.flatnonzero(doubt)
        ahead = times[frames] - grid[origin[frames]]
        for start in np.unique(origin[frames])[:MOST_WALKED]:
            for side in (ahead > 0.0, ahead < 0.0):
                some = np.flatnonzero(side & (origin[frames] == start))
                if len(some):
                    yield frames[some[np.argsort(np.abs(ahead[some]))]]

    def _walk_from(self, stage: Stage, branch: Branch, origin: int, times: Floats) -> Walked:
        """From a moment of the grid on to other times to one side of it, in small steps, as far as it goes."""
        assert branch.walked is not None
        assert branch.tangle is not None
        path = np.concatenate([branch.walked.times[[origin]], times])
        way = walk(
            branch.tangle, self._before(stage, path), lambda some: self._before(stage, some),
            branch.walked.unknowns[origin], allowed=np.asarray(True), resume=False,
        )  # fmt: skip
        return way.after(1)

    def _before(self, stage: Stage, times: Floats) -> Placing:
        """The world as a stage finds it."""
        return self.at(times, upto=self.plan.stages.index(stage)).placing

    def check(self, number: int, placing: Placing) -> Outcome:
        """Whether a connection that places nothing is met all the same."""
        link = self.plan.checks[number]
        rows = rows_of(self.mechanism, link, placing, self.plan.grips)
        gap = np.zeros(len(placing.times))
        for row in rows:
            gap = np.hypot(gap, row.residual)
        asked = placing.all_good(self.loops[number])
        allowed = min(AGREE, 1e-4 * self.mechanism.size)
        return Outcome(allowed - gap, 0.0, np.broadcast_to(asked, gap.shape))


def nearest_of(grid: Floats, times: Floats) -> np.ndarray:
    after = np.clip(np.searchsorted(grid, times), 1, max(len(grid) - 1, 1))
    if len(grid) == 1:
        return np.zeros(len(times), dtype=int)
    return np.where(times - grid[after - 1] <= grid[after] - times, after - 1, after)


def place(
    stage: Stage, placing: Placing, found: Found, counted: Sequence[Floats]
) -> tuple[Outcome, tuple[Floats, ...]]:
    """Carry what a step has found. `counted` are turns known nearby, from which whole turns are counted on."""
    asked = placing.all_good(stage.step.bodies)
    poses, turns = [NOWHERE_ELSE], list[Floats]()
    for shift, rotor, turn in found.poses:
        if turn is None:
            turn = near(np.angle(rotor), counted[len(turns)])
            turns.append(turn)
        poses.append(Pose(shift, rotor, turn))
    back = poses[stage.base].inverse()
    for at, group in enumerate(stage.groups):
        if at != stage.base:
            placing.carry(group, poses[at] if stage.base == 0 else back.after(poses[at]))
    frames = len(placing.times)
    near_by, asked = found.near, at_all(asked, frames)
    if near_by is None:
        outcome = Outcome(np.full(frames, np.inf), 1.0, asked)
    else:
        outcome = Outcome(at_all(near_by.margin, frames), near_by.size, asked, at_all(near_by.root, frames))
    if near_by is not None or not asked.all():
        placing.allow(stage.placed, outcome.good & asked)
    return outcome, tuple(at_all(turn, frames) for turn in turns)


def settle_knot(stage: Stage, placing: Placing, unknowns: Floats, good: Bools, asked: Bools) -> Outcome:
    for at, group in enumerate(stage.groups[1:]):
        pose = unknowns[:, at]
        placing.carry(group, Pose(pose[:, 0] + 1j * pose[:, 1], np.exp(1j * pose[:, 2]), pose[:, 2]))
    placing.allow(stage.carried, good & asked)
    return Outcome(np.where(good, np.inf, -1.0), 0.0, asked)
