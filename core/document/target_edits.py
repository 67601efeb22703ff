"""Edits of targets: where a body ought to be at a moment."""

from __future__ import annotations

from dataclasses import dataclass

from msgspec.structs import replace

from core.document.project import Project, Target


@dataclass(frozen=True, slots=True)
class SetTarget:
    """A target, in place of the one of the same id where there is one."""

    target: Target

    @property
    def label(self) -> str:
        return "Set target"

    def apply(self, project: Project) -> Project:
        if self.target in project.targets:
            return project
        if all(one.id != self.target.id for one in project.targets):
            return replace(project, targets=(*project.targets, self.target))
        targets = tuple(self.target if one.id == self.target.id else one for one in project.targets)
        return replace(project, targets=targets)


@dataclass(frozen=True, slots=True)
class RemoveTarget:
    """Without a target, and without what was accepted of it."""

    target: str

    @property
    def label(self) -> str:
        return "Remove target"

    def apply(self, project: Project) -> Project:
        kept = tuple(one for one in project.targets if one.id != self.target)
        if len(kept) == len(project.targets):
            return project
        accepted = tuple(one for one in project.accepted if one.target != self.target)
        return replace(project, targets=kept, accepted=accepted)
