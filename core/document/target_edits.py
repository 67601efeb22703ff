"""Edits of targets: where a body ought to be at a moment."""

from __future__ import annotations

from dataclasses import dataclass

from msgspec.structs import replace

from core.document.changing import put, those, with_parts
from core.document.project import Project, Target


@dataclass(frozen=True, slots=True)
class SetTarget:
    """A target, in place of the one of the same id where there is one."""

    target: Target

    @property
    def label(self) -> str:
        return "Set target"

    def apply(self, project: Project) -> Project:
        return with_parts(project, targets=put(project.targets, self.target))


@dataclass(frozen=True, slots=True)
class RemoveTarget:
    """Without a target, and without what was accepted of it."""

    target: str

    @property
    def label(self) -> str:
        return "Remove target"

    def apply(self, project: Project) -> Project:
        kept = those(project.targets, lambda one: one.id != self.target)
        if kept is project.targets:
            return project
        accepted = those(project.accepted, lambda one: one.target != self.target)
        return replace(project, targets=kept, accepted=accepted)
