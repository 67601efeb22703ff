"""Edits: small values, each with a label for people and `apply(project) -> project`."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from msgspec.structs import replace

from core.document.project import Project, Sequence, Step


class Edit(Protocol):
    """A change of the project. `apply` keeps what it does not touch as the same objects."""

    @property
    def label(self) -> str: ...

    def apply(self, project: Project) -> Project: ...


@dataclass(frozen=True, slots=True)
class SetStepDuration:
    sequence: str
    step: str
    seconds: float

    @property
    def label(self) -> str:
        return "Change step duration"

    def apply(self, project: Project) -> Project:
        return _with_step(project, self.sequence, self.step, lambda step: replace(step, duration=max(0.0, self.seconds)))


@dataclass(frozen=True, slots=True)
class SetStepDelay:
    sequence: str
    step: str
    seconds: float

    @property
    def label(self) -> str:
        return "Change step delay"

    def apply(self, project: Project) -> Project:
        return _with_step(project, self.sequence, self.step, lambda step: replace(step, delay=self.seconds))


@dataclass(frozen=True, slots=True)
class SetMoveTarget:
    """Where a step brings a drive, in the drive's terms."""

    sequence: str
    step: str
    drive: str
    to: float

    @property
    def label(self) -> str:
        return "Change drive target"

    def apply(self, project: Project) -> Project:
        def retarget(step: Step) -> Step:
            return replace(step, moves=tuple(replace(m, to=self.to) if m.drive == self.drive else m for m in step.moves))

        return _with_step(project, self.sequence, self.step, retarget)


@dataclass(frozen=True, slots=True)
class SetDriveStart:
    """The value a drive has when the sequence starts, in the drive's terms."""

    sequence: str
    drive: str
    value: float

    @property
    def label(self) -> str:
        return "Change drive start"

    def apply(self, project: Project) -> Project:
        return _with_sequence(
            project, self.sequence, lambda sequence: replace(sequence, start={**sequence.start, self.drive: self.value})
        )


def _with_sequence(project: Project, sequence_id: str, change) -> Project:
    return replace(project, sequences=tuple(change(s) if s.id == sequence_id else s for s in project.sequences))


def _with_step(project: Project, sequence_id: str, step_id: str, change) -> Project:
    def change_in(sequence: Sequence) -> Sequence:
        return replace(sequence, steps=tuple(change(step) if step.id == step_id else step for step in sequence.steps))

    return _with_sequence(project, sequence_id, change_in)
