"""Edits of the steps of a sequence: made, removed, and asked for something else."""

from __future__ import annotations

import math
from dataclasses import dataclass

from msgspec.structs import replace

from core.document.changing import with_sequence, with_step
from core.document.names import by_id, name_of
from core.document.project import Move, Profile, Project, Sequence, Step
from core.document.sequence_edits import without_acceptances
from core.document.steps import (
    moments_after,
    place_of,
    waiting_as_before,
    waits_for_the_one_above,
    without_step,
)


@dataclass(frozen=True, slots=True)
class AddStep:
    """A new step at a place of the list; at its end without one. What stood there begins when it did.

    A project without the sequence gets it.
    """

    sequence: str
    step: Step
    place: int | None = None
    sequence_name: str = ""

    @property
    def label(self) -> str:
        return f"Add step {name_of(self.step)}"

    def apply(self, project: Project) -> Project:
        if not any(one.id == self.sequence for one in project.sequences):
            made = Sequence(id=self.sequence, name=self.sequence_name, steps=(self.step,))
            return replace(project, sequences=(*project.sequences, made))

        def add(sequence: Sequence) -> Sequence:
            place = len(sequence.steps) if self.place is None else self.place
            steps = [*sequence.steps[:place], self.step, *sequence.steps[place:]]
            if place + 1 < len(steps) and waits_for_the_one_above(steps[place + 1]):
                steps[place + 1] = waiting_as_before(sequence, steps, place + 1)
            return replace(sequence, steps=tuple(steps))

        return with_sequence(project, self.sequence, add)


@dataclass(frozen=True, slots=True)
class RemoveStep:
    """Without a step. What waited for it waits for what it waited for; moments after it are those after the step
    above it, or the start."""

    sequence: str
    step: str

    @property
    def label(self) -> str:
        return "Remove step"

    def apply(self, project: Project) -> Project:
        sequence = by_id(project.sequences, self.sequence)
        place = None if sequence is None else place_of(sequence, self.step)
        if sequence is None or place is None:
            return project
        gone = sequence.steps[place]
        named = gone.after is not None or gone.together_with is not None
        below = sequence.steps[place + 1 : place + 2] if named else ()
        waiting = [
            replace(step, after=gone.id) if step in below and waits_for_the_one_above(step) else step
            for step in sequence.steps
        ]
        steps = tuple(without_step(step, gone) for step in waiting if step.id != self.step)
        above = sequence.steps[place - 1].id if place else None
        changed = with_sequence(project, self.sequence, lambda one: replace(one, steps=steps))
        return moments_after(without_acceptances(changed, {self.step}), self.sequence, self.step, above)


@dataclass(frozen=True, slots=True)
class RemoveSteps:
    """Without several steps, one after the other."""

    sequence: str
    steps: tuple[str, ...]

    @property
    def label(self) -> str:
        return "Remove step" if len(self.steps) == 1 else f"Remove {len(self.steps)} steps"

    def apply(self, project: Project) -> Project:
        for step in self.steps:
            project = RemoveStep(self.sequence, step).apply(project)
        return project


@dataclass(frozen=True, slots=True)
class ReplaceStep:
    """Another value for the step of the same id; `words` say what is done to it."""

    sequence: str
    step: Step
    words: str = "Change step"

    @property
    def label(self) -> str:
        return self.words

    def apply(self, project: Project) -> Project:
        return with_step(project, self.sequence, self.step.id, lambda _: self.step)


@dataclass(frozen=True, slots=True)
class SetMove:
    """What a step asks of a drive, whether it moved that drive before or not; None takes the move out."""

    sequence: str
    step: str
    drive: str
    to: float | None
    profile: Profile | None = None

    @property
    def label(self) -> str:
        return "Take drive out of step" if self.to is None else "Change drive target"

    def apply(self, project: Project) -> Project:
        if self.to is not None and not math.isfinite(self.to):
            return project

        def change(step: Step) -> Step:
            old = next((move for move in step.moves if move.drive == self.drive), None)
            if self.to is None:
                return replace(step, moves=tuple(move for move in step.moves if move is not old)) if old else step
            if old is None:
                return replace(
                    step, moves=(*step.moves, Move(drive=self.drive, to=self.to, profile=self.profile or "steady"))
                )
            new = replace(old, to=self.to, profile=self.profile or old.profile)
            if new == old:
                return step
            return replace(step, moves=tuple(new if move is old else move for move in step.moves))

        return with_step(project, self.sequence, self.step, change)
