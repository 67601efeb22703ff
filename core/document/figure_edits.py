"""Edits of published figures."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import msgspec
from msgspec.structs import replace

from core.document.changing import those
from core.document.project import Figure, FigurePoint, Moment, Project


def as_written(ends: Iterable[Moment | FigurePoint]) -> list[Any]:
    """Points or moments as they stand in the file, which keeps them open to more ways than these."""
    return msgspec.json.decode(msgspec.json.encode(list(ends)))


@dataclass(frozen=True, slots=True)
class SetFigure:
    """A figure, in place of the one of the same id where there is one."""

    figure: Figure
    label: str = "Change figure"

    def apply(self, project: Project) -> Project:
        if self.figure in project.figures:
            return project
        if all(one.id != self.figure.id for one in project.figures):
            return replace(project, figures=(*project.figures, self.figure))
        figures = tuple(self.figure if one.id == self.figure.id else one for one in project.figures)
        return replace(project, figures=figures)


@dataclass(frozen=True, slots=True)
class RemoveFigure:
    figure: str

    @property
    def label(self) -> str:
        return "Remove figure"

    def apply(self, project: Project) -> Project:
        kept = those(project.figures, lambda one: one.id != self.figure)
        return project if kept is project.figures else replace(project, figures=kept)
