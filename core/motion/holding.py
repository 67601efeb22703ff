"""Which latches a schedule has hold at a moment."""

from __future__ import annotations

from core.motion.schedule import Schedule, ScheduledStep


def held_at(schedule: Schedule, time: float, *, before: str | None = None) -> frozenset[str]:
    """The latches that are to hold: each from the end of a step that engages it to the start of one that releases it.

    One that is released before anything engaged it held from the start. What the step `before` works at that very
    moment is still to come.
    """
    changes: dict[str, list[tuple[float, int, bool]]] = {}
    held, past = set(), set()
    for step in schedule.steps:
        for latch, change in _changes(step):
            changes.setdefault(latch, []).append(change)
            if change[0] < time or (change[0] == time and step.id != before):
                past.add((latch, change))
    for latch, events in changes.items():
        events.sort()
        done = [holds for at, order, holds in events if (latch, (at, order, holds)) in past]
        if done[-1] if done else not events[0][2]:
            held.add(latch)
    return frozenset(held)


def _changes(step: ScheduledStep) -> list[tuple[str, tuple[float, int, bool]]]:
    """Each latch that a step works, when, and whether it holds from then on. At one moment what ends comes before what
    begins, as the solver has it."""
    engages = (step.end, 0 if step.end > step.begin else 2, True)
    return [*((latch, engages) for latch in step.engage), *((latch, (step.begin, 1, False)) for latch in step.release)]
