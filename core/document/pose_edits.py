"""Edits that make a pose's drive values the end of a step, or the start of a sequence: all of them at once."""

from __future__ import annotations

from dataclasses import dataclass

from core.document.edits import SetDriveStart
from core.document.project import Project
from core.document.step_edits import SetMove

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
