"""Edits of paths: points of bodies whose way over a sequence is drawn."""

from __future__ import annotations

import math
from dataclasses import dataclass

from msgspec.structs import replace

from core.document.changing import each, with_parts
from core.document.names import name_of
from core.document.project import PointPath, Project


@dataclass(frozen=True, slots=True)
class AddPath:
    path: PointPath

    @property
    def label(self) -> str:
        return f"Show {name_of(self.path)}"

    def apply(self, project: Project) -> Project:
        return replace(project, paths=(*project.paths, self.path))


@dataclass(frozen=True, slots=True)
class ReplacePath:
    """Another value for the path of the same id; `words` say what is done to it."""

    path: PointPath
    words: str = "Change path"

    @property
    def label(self) -> str:
        return self.words

    def apply(self, project: Project) -> Project:
        if not all(math.isfinite(one) for one in self.path.point):
            return project
        paths = each(project.paths, lambda one: self.path if one.id == self.path.id else one)
        return with_parts(project, paths=paths)
