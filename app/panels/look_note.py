"""Whether what is chosen is locked or hidden, and a button that frees or shows it."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app.session import Session
from app.widgets.button import Button
from core.document.edits import Edit
from core.document.look_edits import SetHidden, SetLocked, words_for


class LookNote(QWidget):
    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        self._lines: dict[str, tuple[QWidget, QLabel]] = {}
        self.buttons: dict[str, Button] = {}
        for look, words in (("locked", "Free it"), ("hidden", "Show it")):
            line, said, button = QWidget(), QLabel(), Button(words, look="segment")
            said.setObjectName("soft")
            said.setWordWrap(True)
            button.clicked.connect(lambda _on=False, look=look: self._undo(look))
            row = QHBoxLayout(line)
            row.setContentsMargins(0, 0, 0, 0)
            row.addWidget(said, 1)
            row.addWidget(button)
            column.addWidget(line)
            self._lines[look], self.buttons[look] = (line, said), button
        self.refresh()

    @property
    def text(self) -> str:
        return "\n".join(said.text() for line, said in self._lines.values() if not line.isHidden())

    @property
    def locked(self) -> bool:
        """Whether the thing chosen last is locked."""
        return self._session.selection in self._those("locked")

    def refresh(self) -> None:
        locked, hidden = self._those("locked"), self._those("hidden")
        self._say("locked", locked, "Locked: it stays as it is", f"{len(locked)} are locked and stay as they are")
        self._say("hidden", hidden, "Hidden, still checked", f"{len(hidden)} are hidden, still checked")
        self.setVisible(bool(locked or hidden))

    def _say(self, look: str, things: tuple[str, ...], one: str, several: str) -> None:
        line, said = self._lines[look]
        said.setText(one if len(self._session.chosen) == 1 else several)
        line.setVisible(bool(things))

    def _those(self, look: str) -> tuple[str, ...]:
        """The chosen things that are locked or hidden."""
        project, chosen = self._session.project, self._session.chosen
        things = () if project is None else (*project.bodies, *project.connections)
        return tuple(one.id for one in things if one.id in chosen and getattr(one, look))

    def _undo(self, look: str) -> None:
        project, things = self._session.project, self._those(look)
        if project is not None:
            words = words_for(project, things)
            edit: Edit = SetLocked(things, False, f"Free {words}")
            self._session.push(edit if look == "locked" else SetHidden(things, False, f"Show {words}"))
