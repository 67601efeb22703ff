"""Edits of how well things are made."""

from __future__ import annotations

from dataclasses import dataclass

from msgspec.structs import replace

from core.document.project import Project, Workshop


@dataclass(frozen=True, slots=True)
class SetWorkshop:
    """How well things are made where nothing else is said; a workshop that is as usual in all is not written down."""

    workshop: Workshop

    @property
    def label(self) -> str:
        return "Change workshop"

    def apply(self, project: Project) -> Project:
        if (project.workshop or Workshop()) == self.workshop:
            return project
        return replace(project, workshop=None if self.workshop == Workshop() else self.workshop)
