"""Which stages of a plan a body hangs on: what is asked of two parts need not put the whole mechanism together."""

from __future__ import annotations

from collections.abc import Collection

from core.motion.assembly import Plan, Stage


def stages_behind(plan: Plan, loops: Collection[frozenset[int]]) -> tuple[frozenset[int], ...]:
    """Of each body, the numbers of the stages from which its pose follows, and whether that holds together.

    `loops` are the bodies of each loop that a check closes: where one of them is needed, all are.
    """
    count = len(plan.moved_by)
    stages, bodies = [0] * count, [1 << body for body in range(count)]  # as bits, by body
    for number, stage in enumerate(plan.stages):
        needed = _built_on(stage)
        made = 1 << number | _together(stages, needed)
        of = _together(bodies, needed)
        for body in stage.placed:
            stages[body] |= made
            bodies[body] |= of
    changed = bool(loops)
    while changed:
        changed = False
        for loop in loops:
            made, of = _together(stages, loop), _together(bodies, loop)
            about = sum(1 << body for body in loop)
            for body in range(count):
                if bodies[body] & about and (stages[body] | made, bodies[body] | of) != (stages[body], bodies[body]):
                    stages[body], bodies[body], changed = stages[body] | made, bodies[body] | of, True
    return tuple(frozenset(at for at in range(len(plan.stages)) if one >> at & 1) for one in stages)


def _together(bits: list[int], bodies: Collection[int]) -> int:
    every = 0
    for body in bodies:
        every |= bits[body]
    return every


def _built_on(stage: Stage) -> set[int]:
    """What a stage takes as known, and the groups that it moves, which have to be made first."""
    moved = (group for at, group in enumerate(stage.groups) if not (stage.grounded and at == stage.base))
    return set(stage.step.bodies).union(*moved)
