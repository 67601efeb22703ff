"""A project that is edited: where it stands, the way there and on, and what is saved of it."""

from __future__ import annotations

from dataclasses import replace

from core.document.history import History
from core.document.project import Project


class Edited:
    """Only what it is told is an edit changes it; whether that may be is for the session to say."""

    def __init__(self) -> None:
        self.history: History | None = None
        """None where nothing is open."""
        self._saved: Project | None = None

    def open(self, project: Project, history: History | None) -> Project:
        """Take up another one, and answer where it stands: with a history, `project` is what is saved of it."""
        self._saved = project
        if history is None:
            self.history = History(project=project)
        elif history.project == project:
            self.history = replace(history, project=project)  # the very one that is saved
        else:
            self.history = history
        return self.history.project

    @property
    def project(self) -> Project | None:
        return None if self.history is None else self.history.project

    @property
    def unsaved(self) -> bool:
        return self.project is not self._saved

    def mark_saved(self) -> None:
        self._saved = self.project

    def go_on(self, label: str, changed: Project) -> None:
        """The project is another by an edit; what was undone before can not be made again."""
        if self.history is not None:
            self.history = self.history.pushed(label, changed)

    def undo(self) -> bool:
        """Whether there was something to take back."""
        before, self.history = self.history, None if self.history is None else self.history.undone()
        return self.history is not before

    def redo(self) -> bool:
        """Whether there was something to make again."""
        before, self.history = self.history, None if self.history is None else self.history.redone()
        return self.history is not before

    @property
    def undo_label(self) -> str | None:
        return self.history.undo[-1].label if self.history is not None and self.history.undo else None

    @property
    def redo_label(self) -> str | None:
        return self.history.redo[-1].label if self.history is not None and self.history.redo else None
