"""Where an aircraft stands, and the way there and on."""

from __future__ import annotations

from dataclasses import dataclass

from core.document.project import Project


@dataclass(frozen=True, slots=True, kw_only=True)
class Past:
    """A state of the project, and the edit that led away from it."""

    label: str
    project: Project


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """Where an aircraft stands, and the way there and on."""

    project: Project
    undo: tuple[Past, ...] = ()
    """The oldest first; the label is of the edit that was made in that state."""
    redo: tuple[Past, ...] = ()
    """The one to be made again next is the last."""

    def pushed(self, label: str, project: Project) -> History:
        return History(project=project, undo=(*self.undo, Past(label=label, project=self.project)))

    def undone(self) -> History:
        if not self.undo:
            return self
        last = self.undo[-1]
        redo = (*self.redo, Past(label=last.label, project=self.project))
        return History(project=last.project, undo=self.undo[:-1], redo=redo)

    def redone(self) -> History:
        if not self.redo:
            return self
        following = self.redo[-1]
        undo = (*self.undo, Past(label=following.label, project=self.project))
        return History(project=following.project, undo=undo, redo=self.redo[:-1])
