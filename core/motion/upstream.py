"""Which stages of a plan some bodies hang on: what is asked of two parts need not put the whole mechanism together."""

from __future__ import annotations

from collections.abc import Collection

from core.motion.assembly import Plan, Stage


def stages_behind(plan: Plan, loops: Collection[frozenset[int]], bodies: Collection[int]) -> frozenset[int]:
    """The numbers of the stages from which the poses of bodies follow, and whether these hold together.

    `loops` are the bodies of each loop that a check closes: where one of them is needed, all are.
    """
    needed, wanted = set(bodies), set[int]()
    while True:
        before = len(needed)
        for number in range(len(plan.stages) - 1, -1, -1):
            stage = plan.stages[number]
            if number not in wanted and not needed.isdisjoint(stage.placed):
                wanted.add(number)
                needed |= _built_on(stage)
        for loop in loops:
            if not needed.isdisjoint(loop):
                needed |= loop
        if len(needed) == before:
            return frozenset(wanted)


def _built_on(stage: Stage) -> set[int]:
    """What a stage takes as known, and the groups that it moves, which have to be made first."""
    moved = (group for at, group in enumerate(stage.groups) if not (stage.grounded and at == stage.base))
    return set(stage.step.bodies).union(*moved)
