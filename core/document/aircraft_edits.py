"""Edits of the aircraft itself and of what holds for all of it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from msgspec.structs import replace

from core.document.figure_sizes import in_another_unit
from core.document.project import Aircraft, InchFraction, Project


@dataclass(frozen=True, slots=True)
class SetAircraft:
    """Another name, scale or note."""

    aircraft: Aircraft
    words: str = "Change aircraft"

    @property
    def label(self) -> str:
        return self.words

    def apply(self, project: Project) -> Project:
        return project if project.aircraft == self.aircraft else replace(project, aircraft=self.aircraft)


@dataclass(frozen=True, slots=True)
class SetLengthUnit:
    """The unit that lengths are shown and typed in; nothing changes its size."""

    unit: str

    @property
    def label(self) -> str:
        return "Change unit"

    def apply(self, project: Project) -> Project:
        if project.length_unit == self.unit:
            return project
        return replace(project, length_unit=self.unit, figures=in_another_unit(project, self.unit))


@dataclass(frozen=True, slots=True)
class SetInchFraction:
    """How fine the fractions are that inches are shown in; None for decimals alone."""

    parts: InchFraction | None

    @property
    def label(self) -> str:
        return "Change fractions"

    def apply(self, project: Project) -> Project:
        return project if project.inch_fraction == self.parts else replace(project, inch_fraction=self.parts)


@dataclass(frozen=True, slots=True)
class SetLeastClearance:
    """How much room any two bodies want between them, in mm."""

    millimetres: float

    @property
    def label(self) -> str:
        return "Change least clearance"

    def apply(self, project: Project) -> Project:
        if project.least_clearance == self.millimetres or not math.isfinite(self.millimetres):
            return project
        return replace(project, least_clearance=self.millimetres)


@dataclass(frozen=True, slots=True)
class TakeState:
    """Another state of the aircraft altogether, such as another program has left it in."""

    project: Project
    words: str

    @property
    def label(self) -> str:
        return self.words

    def apply(self, project: Project) -> Project:
        return project if project == self.project else self.project
