"""A project that is edited: where it stands, the way there and on, and what is saved of it."""

from __future__ import annotations

from core.document.journal import History, Past
from core.document.project import Project


class Edited:
    """Only what it is told is an edit changes it; whether that may be is for the session to say."""

    def __init__(self) -> None:
        self.project: Project | None = None
        self._saved: Project | None = None
        self._undo: list[Past] = []
        self._redo: list[Past] = []

    def open(self, project: Project, history: History | None) -> Project:
        """Take up another one, and answer where it stands: with a history, `project` is what is saved of it."""
        self.project = self._saved = project
        self._undo, self._redo = [], []
        if history is not None:
            self._undo, self._redo = list(history.undo), list(history.redo)
            if history.project != project:
                self.project = history.project
        return self.project

    @property
    def history(self) -> History | None:
        if self.project is None:
            return None
        return History(project=self.project, undo=tuple(self._undo), redo=tuple(self._redo))

    @property
    def unsaved(self) -> bool:
        return self.project is not self._saved

    def mark_saved(self) -> None:
        self._saved = self.project

    def go_on(self, label: str, changed: Project) -> None:
        """The project is another by an edit; what was undone before can not be made again."""
        if self.project is not None:
            self._undo.append(Past(label=label, project=self.project))
        self._redo.clear()
        self.project = changed

    def undo(self) -> bool:
        """Whether there was something to take back."""
        return self._step(self._undo, self._redo)

    def redo(self) -> bool:
        """Whether there was something to make again."""
        return self._step(self._redo, self._undo)

    def _step(self, from_row: list[Past], onto: list[Past]) -> bool:
        if not from_row or self.project is None:
            return False
        past = from_row.pop()
        onto.append(Past(label=past.label, project=self.project))
        self.project = past.project
        return True

    @property
    def undo_label(self) -> str | None:
        return self._undo[-1].label if self._undo else None

    @property
    def redo_label(self) -> str | None:
        return self._redo[-1].label if self._redo else None
