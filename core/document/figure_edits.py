"""Edits of published figures."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import msgspec

from core.document.changing import put, those, with_parts
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
        return with_parts(project, figures=put(project.figures, self.figure))


@dataclass(frozen=True, slots=True)
class RemoveFigure:
    figure: str

    @property
    def label(self) -> str:
        return "Remove figure"

    def apply(self, project: Project) -> Project:
        return with_parts(project, figures=those(project.figures, lambda one: one.id != self.figure))
