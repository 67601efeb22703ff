"""Edits: small values, each with a label for people and `apply(project) -> project`."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Protocol

from msgspec.structs import replace

from core.document.changing import with_sequence, with_step
from core.document.project import Project, Sequence, Step


class Edit(Protocol):
    """A change of the project. `apply` keeps what it does not touch as the same objects.

    An edit that changes nothing (what it names is not there, has that value already, or the number is none) gives back
    the same project. Whether what it makes has sense is for `checks.problems` to say.
    """

    @property
    def label(self) -> str: ...

    def apply(self, project: Project) -> Project: ...


@dataclass(frozen=True, slots=True)
class SetStepDuration:
    """How long a step takes; less than nothing is nothing."""

    sequence: str
    step: str
    seconds: float

    @property
    def label(self) -> str:
        return "Change step duration"

    def apply(self, project: Project) -> Project:
        seconds = self.seconds if self.seconds > 0.0 or math.isnan(self.seconds) else 0.0

        def stretch(step: Step) -> Step:
            return step if _stays(step.duration, seconds) else replace(step, duration=seconds)

        return with_step(project, self.sequence, self.step, stretch)


@dataclass(frozen=True, slots=True)
class SetStepDelay:
    """How long a step waits after what it follows; less than nothing begins it earlier."""

    sequence: str
    step: str
    seconds: float

    @property
    def label(self) -> str:
        return "Change step delay"

    def apply(self, project: Project) -> Project:
        def shift(step: Step) -> Step:
            return step if _stays(step.delay, self.seconds) else replace(step, delay=self.seconds)

        return with_step(project, self.sequence, self.step, shift)


@dataclass(frozen=True, slots=True)
class SetDriveStart:
    """The value a drive has when the sequence starts, in the drive's terms; None for that of the drawn position."""

    sequence: str
    drive: str
    value: float | None

    @property
    def label(self) -> str:
        return "Change drive start"

    def apply(self, project: Project) -> Project:
        def change(sequence: Sequence) -> Sequence:
            if self.value is None:
                left = {drive: value for drive, value in sequence.start.items() if drive != self.drive}
                return sequence if left == sequence.start else replace(sequence, start=left)
            if _stays(sequence.start.get(self.drive), self.value):
                return sequence
            return replace(sequence, start={**sequence.start, self.drive: self.value})

        return with_sequence(project, self.sequence, change)


def _stays(held: float | None, wanted: float) -> bool:
    """Whether a number stays as it is: it is already that, or what is wanted is no number that a file can hold."""
    return held == wanted or not math.isfinite(wanted)
