"""Which stages of a phase go just as they went before an edit, so that they need not be followed again.

Stages that place bodies of one part of the mechanism hang together, and parts meet only in what is fixed. A part goes
as before where every stage of it is the same, of the same connections, from the same start, driven alike.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from core.mechanism.mechanism import Mechanism
from core.motion.assembly import Stage
from core.motion.phase import Assembled, Phase


@dataclass(frozen=True, slots=True)
class Before:
    """A phase as it was followed before an edit."""

    phase: Phase
    result: Assembled


def stages_as_before(phase: Phase, before: Before | None, signs: Mapping[int, float]) -> dict[int, int]:
    """By the numbers of stages that go as before: which of the earlier ones each is.

    `signs` are those on which the closed forms of this phase begin.
    """
    if before is None or not _comparable(phase, before.phase):
        return {}
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
            continue
        branch = before.phase.branches[old]
        if branch.flips or branch.sign != signs.get(number, branch.sign):
            changed.append(parts[number])
            continue
        found[number] = old
    spoilt = _spread(changed, parts)
    return {number: old for number, old in found.items() if spoilt.isdisjoint(parts[number])}


def _comparable(phase: Phase, before: Phase) -> bool:
    here, there = phase.mechanism, before.mechanism
    return (
        (phase.begin, phase.end) == (before.begin, before.end)
        and (here.bodies, here.fixed, here.drives, here.size) == (there.bodies, there.fixed, there.drives, there.size)
        and [link.id for link in here.links] == [link.id for link in there.links]
        and phase.inputs == before.inputs
        and phase.plan.grips == before.plan.grips
        and np.array_equal(phase.grid, before.grid)
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
