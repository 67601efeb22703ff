"""When each step of a sequence begins and ends, and what each drive is asked for at any time."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

import msgspec
import numpy as np
from numpy.typing import NDArray

from core.document.names import name_of
from core.document.project import Moment, Move, Sequence
from core.errors import SenselessRequest

FRAMES_PER_SECOND = 40


@dataclass(frozen=True, slots=True)
class ScheduledStep:
    id: str
    name: str
    begin: float
    end: float
    moves: tuple[Move, ...]
    engage: tuple[str, ...]
    """Latches that take hold at the step's end."""
    release: tuple[str, ...]
    """Latches that let go at the step's start."""

    @property
    def works(self) -> frozenset[str]:
        """The drives that it moves, and the latches that it engages or releases."""
        return frozenset((*(move.drive for move in self.moves), *self.engage, *self.release))


@dataclass(frozen=True, slots=True)
class Schedule:
    """A sequence laid out in time; steps keep the order they have in the file."""

    sequence: str
    steps: tuple[ScheduledStep, ...]
    seconds: float
    start: dict[str, float]

    def step(self, step_id: str) -> ScheduledStep:
        for step in self.steps:
            if step.id == step_id:
                return step
        raise SenselessRequest(f"sequence {self.sequence!r} has no step {step_id!r}")


def lay_out(sequence: Sequence) -> Schedule:
    """Begin and end of every step. The document's checks have already refused rings of steps.

    A step begins `delay` after the end of the step it follows (`after`; without one, the step above it in the
    list), or `delay` after the begin of the step it goes together with.
    """
    by_id = {step.id: step for step in sequence.steps}
    above = {step.id: sequence.steps[i - 1].id if i else None for i, step in enumerate(sequence.steps)}
    spans: dict[str, tuple[float, float]] = {}

    waiting = [step.id for step in sequence.steps]
    while waiting:
        left = []
        for step_id in waiting:
            step = by_id[step_id]
            partner = step.together_with or step.after or above[step_id]
            if partner is not None and partner not in spans:
                left.append(step_id)
                continue
            base = 0.0 if partner is None else spans[partner][0 if step.together_with else 1]
            spans[step_id] = (base + step.delay, base + step.delay + step.duration)
        if len(left) == len(waiting):
            raise SenselessRequest(f"steps {', '.join(left)} of sequence {sequence.id!r} wait for each other")
        waiting = left

    steps = tuple(
        ScheduledStep(step.id, name_of(step), *spans[step.id], step.moves, step.engage, step.release)
        for step in sequence.steps
    )
    return Schedule(sequence.id, steps, max((step.end for step in steps), default=0.0), dict(sequence.start))


def asking(schedule: Schedule, step_id: str, drive: str, to: float) -> Schedule:
    """The schedule with another target of one drive in one step."""
    step = schedule.step(step_id)
    moves = tuple(msgspec.structs.replace(move, to=to) if move.drive == drive else move for move in step.moves)
    return replace(schedule, steps=tuple(replace(one, moves=moves) if one is step else one for one in schedule.steps))


def default_frames(schedule: Schedule) -> int:
    """Frames when the user names no number: forty a second, and both ends."""
    return max(2, round(schedule.seconds * FRAMES_PER_SECOND) + 1)


def frame_times(schedule: Schedule, frames: int | None = None) -> NDArray[np.float64]:
    """(F,) evenly spread times from start to end, both included; a sequence that takes no time has one frame."""
    if schedule.seconds <= 0.0:
        return np.zeros(1)
    count = default_frames(schedule) if frames is None else frames
    return np.linspace(0.0, schedule.seconds, count)


def moment_seconds(schedule: Schedule, moment: Moment) -> float:
    """Seconds into the sequence of a named moment."""
    if moment.after is not None:
        return schedule.step(moment.after).end
    if moment.at == "start" or moment.at is None:
        return 0.0
    if moment.at == "end":
        return schedule.seconds
    return float(moment.at)


def active_step(schedule: Schedule, time: float, of: Collection[str | None] = ()) -> str | None:
    """The step under way at a time; between steps, none. Of several, one that works any `of` these drives and latches,
    else the one that began last."""
    under_way = [step for step in schedule.steps if step.begin <= time <= step.end]
    if not under_way:
        return None
    return max(under_way, key=lambda step: (not step.works.isdisjoint(of), step.begin, -step.end)).id
