"""Which stages of a phase go just as they went before an edit, so that they need not be followed again.

Stages that place bodies of one part of the mechanism hang together, and parts meet only in what is fixed. A part goes
as before where every stage of it is the same, of the same connections, from the same start, driven alike. It is taken
from the moments of the earlier phase that are moments of this one; a knot, which is walked from moment to moment, only
where they are all the same.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from core.mechanism.mechanism import Mechanism
from core.motion.assembly import Stage
from core.motion.phase import Assembled, Branch, Outcome, Phase
from core.motion.placing import Placing, Pose

Entry = TypeVar("Entry", bound=np.generic)


@dataclass(frozen=True, slots=True)
class Before:
    """A phase as it was followed before an edit."""

    phase: Phase
    result: Assembled


@dataclass(frozen=True, slots=True)
class Taken:
    """What of an earlier phase is taken over."""

    before: Before
    stages: Mapping[int, int]
    """By the numbers of stages that go as before: which of the earlier ones each is."""
    frames: NDArray[np.intp]
    """(T,) where the moments of this phase's grid are in the earlier one's."""

    def branch(self, number: int) -> Branch:
        branch = self.before.phase.branches[self.stages[number]]
        return replace(branch, turns=tuple(track[self.frames] for track in branch.turns))

    def outcome(self, number: int) -> Outcome:
        one = self.before.result.stages[self.stages[number]]
        margin, asked, size = one.margin[self.frames], one.asked[self.frames], one.size
        return Outcome(
            margin,
            size[self.frames] if isinstance(size, np.ndarray) and size.ndim else size,
            asked,
            None if one.root is None else one.root[self.frames],
        )

    def stand(self, placing: Placing, stages: Sequence[Stage]) -> None:
        """Put the bodies of these stages where they stood in the end; none of the others asks for them."""
        there = self.before.result.placing
        for body in {body for number in self.stages for body in stages[number].placed}:
            pose = there.bodies[body]
            placing.bodies[body] = Pose(self._here(pose.u), self._here(pose.w), self._here(pose.turn))
            placing.good[body] = self._here(there.good[body])

    def _here(self, values: NDArray[Entry]) -> NDArray[Entry]:
        return values[self.frames] if values.ndim else values


def taken_over(phase: Phase, before: Before | None, branches: Mapping[int, Branch]) -> Taken | None:
    """What of an earlier phase is taken over; `branches` are those on which the closed forms of this one begin."""
    if before is None or not before.result.placing.bodies or not _comparable(phase, before.phase):
        return None
    if phase.mechanism.size != before.phase.mechanism.size:  # by which it is said what is nought
        return None
    frames = np.searchsorted(before.phase.grid, phase.grid).clip(0, len(before.phase.grid) - 1)
    if not np.array_equal(before.phase.grid[frames], phase.grid):
        return None
    whole = len(phase.grid) == len(before.phase.grid)
    earlier = {stage: number for number, stage in enumerate(before.phase.plan.stages)}
    links = _changed_links(phase.mechanism, before.phase.mechanism)
    moved = (phase.start != before.phase.start).any(axis=1)
    found: dict[int, int] = {}
    changed: list[frozenset[int]] = []
    parts = [frozenset(body for body in _bodies(one) if not phase.mechanism.fixed[body]) for one in phase.plan.stages]
    for number, stage in enumerate(phase.plan.stages):
        old = earlier.get(stage)
        if old is None or links & set(stage.step.links) or moved[list(_bodies(stage))].any():
            changed.append(parts[number])
        elif _same_way(branches[number], before.phase.branches[old]) if number in branches else whole:
            found[number] = old
        else:
            changed.append(parts[number])
    spoilt = _spread(changed, parts)
    stages = {number: old for number, old in found.items() if spoilt.isdisjoint(parts[number])}
    return Taken(before, stages, frames) if stages else None


def branch_before(phase: Phase, before: Before | None, stage: Stage) -> Branch | None:
    """On which branch a stage of the same form went in an earlier phase that was driven alike, whatever it is made of
    now; None where there was none."""
    if before is None or not _comparable(phase, before.phase):
        return None
    stages = before.phase.plan.stages
    return next((branch for one, branch in zip(stages, before.phase.branches, strict=True) if one == stage), None)


def _same_way(here: Branch, there: Branch) -> bool:
    """Whether a closed form goes on the same branch all through."""
    return not (here.bridges or there.bridges) and (here.sign, here.flips) == (there.sign, there.flips)


def _comparable(phase: Phase, before: Phase) -> bool:
    """Whether both are of the same things, driven alike."""
    here, there = phase.mechanism, before.mechanism
    return (
        (phase.begin, phase.end) == (before.begin, before.end)
        and (here.bodies, here.fixed, here.drives) == (there.bodies, there.fixed, there.drives)
        and [link.id for link in here.links] == [link.id for link in there.links]
        and phase.inputs == before.inputs
        and phase.plan.grips == before.plan.grips
    )


def _changed_links(here: Mechanism, there: Mechanism) -> set[int]:
    changed = {at for at, (one, other) in enumerate(zip(here.links, there.links, strict=True)) if one != other}
    return changed | {at for at, link in enumerate(here.links) if changed & set(link.pivots)}


def _bodies(stage: Stage) -> set[int]:
    """What a stage builds on and what it places; the world that it is put into is not among them."""
    return {*stage.step.bodies, *stage.placed}


def _spread(changed: list[frozenset[int]], parts: list[frozenset[int]]) -> set[int]:
    """The bodies of all stages that hang together with changed ones."""
    spoilt = set[int]().union(*changed)
    while True:
        more = set[int]().union(*(part for part in parts if not spoilt.isdisjoint(part))) - spoilt
        if not more:
            return spoilt
        spoilt |= more
