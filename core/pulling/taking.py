"""What a pulled pose can be kept as: the end of a step, a new step, the sequence's start. Each is one edit.

A pose is kept by its drives' values alone, to a thousandth of their unit; what no drive moves is not kept.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from core.document.edits import Edit
from core.document.fresh import fresh_id, fresh_name
from core.document.names import by_id, name_of
from core.document.pose_edits import AddStepBetween, SetMoves, SetStarts
from core.document.project import Move, Project, Sequence, Step
from core.document.step_edits import AddStep
from core.mechanism.mechanism import Mechanism
from core.motion.inputs import inputs_of
from core.motion.schedule import Schedule, asking

DIGITS = 3
"""Decimals of a value that is kept."""
SAME = 2e-3
"""Degrees or millimetres by which a drive that a pull did not move may differ."""
SECONDS = 2.0
"""What a new step takes."""
LEAST_SHARE = 0.02
"""Of a move that has to be done at a moment for its target to be told from there."""
AT = 1e-9

Values = Mapping[str, float]


class Kept(StrEnum):
    END = "end"
    NEW = "new"
    START = "start"


@dataclass(frozen=True, slots=True)
class Offer:
    kept: Kept
    words: str
    edit: Edit | None
    """None where it cannot be kept so."""
    why_not: str = ""
    moment: float | None = None
    """Where the pose will be in the sequence then, seconds; None where it stays as it was."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pose:
    """The drives' values of a pose, beside those that the sequence has at the same moment."""

    project: Project
    sequence: Sequence
    schedule: Schedule
    time: float
    values: Values
    before: Values
    chosen: str | None = None
    """The chosen step, where it is one of the sequence."""

    @property
    def changed(self) -> dict[str, float]:
        """The drives that the pull moved, with their values."""
        return {drive: round(to, DIGITS) for drive, to in self.values.items() if abs(to - self.before[drive]) > SAME}

    @property
    def step(self) -> Step | None:
        """The chosen step, or the one under the rule."""
        wanted = self.chosen or step_under(self.schedule, self.time)
        return by_id(self.sequence.steps, wanted)


def step_under(schedule: Schedule, time: float) -> str | None:
    """The step that is under way or just ends at a time; of several the one that began last."""
    under = [step for step in schedule.steps if step.begin + AT < time <= step.end + AT]
    return max(under, key=lambda step: (step.begin, -step.end)).id if under else None


def offers(pose: Pose, *, every: bool = False) -> tuple[Offer, ...]:
    """The ways to keep a pose, the likeliest first; `every` adds drives that the step does not move to it."""
    found = [_as_end(pose, every=every), _as_new(pose), _as_start(pose)]
    return tuple(sorted(found, key=lambda one: (one.edit is None, one.kept is Kept.NEW and bool(pose.sequence.steps))))


def _known(pose: Pose) -> bool:
    return any(one.id == pose.sequence.id for one in pose.project.sequences)


def _as_end(pose: Pose, *, every: bool) -> Offer:
    step = pose.step
    if step is None:
        return Offer(Kept.END, "End of a step", None, "no step is under the rule; choose one, or scrub into it")
    moved = {move.drive for move in step.moves}
    values = {drive: round(pose.values[drive], DIGITS) for drive in pose.values if drive in moved}
    if every:
        values |= pose.changed
    words = f"End of {name_of(step)}"
    if not values.keys() & pose.changed.keys():
        others = " and ".join(_names(pose.project, pose.changed)) or "no drive"
        return Offer(Kept.END, words, None, f"the pull moved {others}, which “{name_of(step)}” does not move")
    edit = SetMoves(pose.sequence.id, step.id, tuple(values.items()), f"Set the end of {name_of(step)} by hand")
    return Offer(Kept.END, words, edit, moment=pose.schedule.step(step.id).end)


def _as_new(pose: Pose) -> Offer:
    words = "New step"
    if not pose.changed:
        return Offer(Kept.NEW, words, None, "the pull moved no drive")
    project, known = pose.project, _known(pose)
    name = fresh_name({one.name for one in pose.sequence.steps}, "By hand")
    sequence = pose.sequence.id if known else fresh_id(project, "by-hand-sequence")
    after = step_under(pose.schedule, pose.time)
    place = next((at + 1 for at, one in enumerate(pose.sequence.steps) if one.id == after), 0) if after else None
    moves = tuple(Move(drive=drive, to=to, profile="eased") for drive, to in pose.changed.items())
    step = Step(id=fresh_id(project, name, {sequence}), name=name, after=after, duration=SECONDS, moves=moves)
    begin = pose.schedule.step(after).end if after else pose.schedule.seconds
    edit: Edit = AddStep(sequence, step, sequence_name="" if known else "Retract")
    if place is not None:
        edit = AddStepBetween(sequence, step, place)
    return Offer(Kept.NEW, words, edit, moment=begin + SECONDS)


def _as_start(pose: Pose) -> Offer:
    words = "Start"
    if not _known(pose):
        return Offer(Kept.START, words, None, "there is no sequence yet")
    if not pose.changed:
        return Offer(Kept.START, words, None, "the pull moved no drive")
    values = tuple((drive, round(value, DIGITS)) for drive, value in pose.values.items() if _starts_apart(pose, drive))
    edit = SetStarts(pose.sequence.id, values, "Set the start of the sequence by hand")
    return Offer(Kept.START, words, edit, moment=0.0)


def _starts_apart(pose: Pose, drive: str) -> bool:
    start = pose.sequence.start.get(drive)
    return (start is None and drive in pose.changed) or (start is not None and abs(pose.values[drive] - start) > SAME)


def _names(project: Project, drives: Values) -> list[str]:
    return [name_of(one) for one in project.drives if one.id in drives]


def targets_for(
    mechanism: Mechanism, schedule: Schedule, step_id: str, time: float, values: Values
) -> dict[str, float]:
    """What a step has to ask of its drives for them to have some values at a time within it or at its end.

    A drive whose move has hardly begun by then, or that another step has taken over, is left out.
    """
    found, times = {}, np.array([time])
    step = schedule.step(step_id)
    now = inputs_of(mechanism, schedule).at(times)[0]
    for move in step.moves:
        number = mechanism.drive_of[move.drive]
        share = inputs_of(mechanism, asking(schedule, step_id, move.drive, move.to + 1.0)).at(times)[0][number]
        share = float(share - now[number])
        if move.drive in values and share >= LEAST_SHARE:
            found[move.drive] = round(move.to + (values[move.drive] - float(now[number])) / share, DIGITS)
    return found
