"""Edits that make a pose's drive values the end of a step, or the start of a sequence: all of them at once."""

from __future__ import annotations

from dataclasses import dataclass

from core.document.names import by_id, name_of
from core.document.project import Project, Step
from core.document.sequence_edits import SetDriveStart
from core.document.step_edits import AddStep, SetMove
from core.document.step_time_edits import ChainStep
from core.document.steps import waits_for_the_one_above

Values = tuple[tuple[str, float], ...]
"""Drives and what they are brought to, in their terms."""


@dataclass(frozen=True, slots=True)
class SetMoves:
    """What a step asks of several drives; those that it did not move before are added."""

    sequence: str
    step: str
    values: Values
    words: str = "Change drive targets"

    @property
    def label(self) -> str:
        return self.words

    def apply(self, project: Project) -> Project:
        for drive, to in self.values:
            project = SetMove(self.sequence, self.step, drive, to).apply(project)
        return project


@dataclass(frozen=True, slots=True)
class AddStepBetween:
    """A new step after the one that it names, at its place of the list: what waited for that one waits for the new."""

    sequence: str
    step: Step
    place: int

    @property
    def label(self) -> str:
        return f"Add step {name_of(self.step)}"

    def apply(self, project: Project) -> Project:
        before = by_id(project.sequences, self.sequence)
        if before is None:
            return project
        project = AddStep(self.sequence, self.step, self.place).apply(project)
        for place, one in enumerate(before.steps):
            above = place == self.place and waits_for_the_one_above(one)
            if above or (one.after is not None and one.after == self.step.after):
                project = ChainStep(self.sequence, one.id, after=self.step.id, delay=one.delay).apply(project)
        return project


@dataclass(frozen=True, slots=True)
class SetStarts:
    """The values that several drives have when the sequence starts."""

    sequence: str
    values: Values
    words: str = "Change drive starts"

    @property
    def label(self) -> str:
        return self.words

    def apply(self, project: Project) -> Project:
        for drive, value in self.values:
            project = SetDriveStart(self.sequence, drive, value).apply(project)
        return project
