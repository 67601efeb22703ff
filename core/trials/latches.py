"""One latch that does not take hold, or does not let go, or not in time."""

from __future__ import annotations

from collections.abc import Callable, Collection
from functools import partial

from msgspec.structs import replace

from core.document.fresh import fresh_id
from core.document.project import Project, Sequence, Step
from core.motion.schedule import lay_out
from core.trials.fault import LatchFault, NotEngaging


def unlatched(project: Project, sequence: Sequence, fault: LatchFault) -> Sequence:
    """The sequence with a latch that fails; its steps begin and end when they did."""
    if isinstance(fault, NotEngaging):
        return _never_takes_hold(sequence, fault.latch)
    return _never_lets_go(project, sequence, fault.latch)


def held_from_start(sequence: Sequence, latch: str) -> bool:
    """Whether a latch holds when the sequence starts: it is first heard of when it is released."""
    schedule = lay_out(sequence)
    engages = [step.end for step in schedule.steps if latch in step.engage]
    releases = [step.begin for step in schedule.steps if latch in step.release]
    return bool(releases) and min(releases) < min(engages, default=float("inf"))


def not_held_before(meant: Sequence, made: Sequence) -> Sequence:
    """What takes hold later than it is meant to, and has not when it is told to let go, does not let go: it would
    otherwise be first heard of when it is released, and count as held from the start."""
    schedule = lay_out(made)
    for latch in dict.fromkeys(one for step in made.steps for one in step.release):
        if held_from_start(made, latch) and not held_from_start(meant, latch):
            first = min((step.end for step in schedule.steps if latch in step.engage), default=float("inf"))
            early = {step.id for step in schedule.steps if step.begin < first}
            made = _each(made, partial(_unless, early, latch))
    return made


def _unless(early: Collection[str], latch: str, step: Step) -> Step:
    return replace(step, release=_without(step.release, latch)) if step.id in early else step


def _never_takes_hold(sequence: Sequence, latch: str) -> Sequence:
    """What held from the start lets go once; nothing is left to let go after that."""
    schedule = lay_out(sequence)
    begins = {step.id: step.begin for step in schedule.steps if latch in step.release}
    first = min(begins, key=begins.__getitem__) if held_from_start(sequence, latch) else None

    def change(step: Step) -> Step:
        release = step.release if step.id == first else _without(step.release, latch)
        return replace(step, engage=_without(step.engage, latch), release=release)

    return _each(sequence, change)


def _never_lets_go(project: Project, sequence: Sequence, latch: str) -> Sequence:
    """What held from the start has to be told to, since nothing tells of it any more when nothing releases it."""
    held = held_from_start(sequence, latch)
    kept = _each(sequence, lambda step: replace(step, release=_without(step.release, latch)))
    if not held:
        return kept
    hold = Step(id=fresh_id(project, f"{latch}-holds"), name="Held from the start", duration=0.0, engage=(latch,))
    return replace(kept, steps=(hold, *kept.steps))


def _each(sequence: Sequence, change: Callable[[Step], Step]) -> Sequence:
    return replace(sequence, steps=tuple(change(step) for step in sequence.steps))


def _without(latches: tuple[str, ...], latch: str) -> tuple[str, ...]:
    return tuple(one for one in latches if one != latch)
