"""Chosen bodies to the system's clipboard and back, also into another aircraft or another window.

What lies there is written as a small project file, and read back as strictly as one.
"""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QMimeData, QObject
from PySide6.QtGui import QGuiApplication

from app.session import Session
from app.sheet.sheet import Sheet
from app.uses import Uses
from core.document.names import name_of_all
from core.document.project import Project
from core.document.project_file import decode, encode
from core.errors import UnreadableProject
from core.sketch.body_edits import RemoveThings
from core.sketch.pasting import put_in, taken_out

PARTS = "application/vnd.bayfold.parts+json"


class Clipboard(QObject):
    def __init__(self, session: Session, sheet: Sheet, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session, self._sheet = session, sheet

    @property
    def uses(self) -> Uses:
        """What its actions do, by their ids in the table."""
        return {
            "cut": self.cut,
            "copy": self.copy,
            "paste": self.paste,
        }

    def copy(self) -> bool:
        """Put the chosen bodies on the clipboard, with what connects them with each other; False where none is."""
        project = self._session.project
        parts = None if project is None else taken_out(project, self._session.chosen)
        if parts is None:
            self._session.turn_down("Only bodies can be copied, with what connects them: choose one first")
            return False
        data = QMimeData()
        data.setData(PARTS, encode(parts))
        QGuiApplication.clipboard().setMimeData(data)
        return True

    def cut(self) -> None:
        """Copy the chosen bodies, and remove them with all that rests on them."""
        project = self._session.project
        if project is None or not self.copy():
            return
        bodies = tuple(one for one in project.bodies if one.id in self._session.chosen)
        words = f"Cut {name_of_all(bodies)}"
        self._session.push(RemoveThings(tuple(one.id for one in bodies), words))
        if self._session.project is not project:
            self._session.choose(None)

    def paste(self) -> None:
        """Put what was copied on the sheet, under new names and a little beside, and choose it."""
        project = self._session.project
        parts = self._copied()
        if project is None or parts is None:
            return
        edit = put_in(project, parts, self._sheet.looked_at)
        self._session.push(edit)
        if self._session.project is project:
            return  # refused, and said why
        if not {one.view for one in edit.bodies} & set(self._sheet.views):
            self._sheet.set_view(edit.bodies[0].view)
        self._session.choose_several(one.id for one in edit.bodies)

    def _copied(self) -> Project | None:
        """What lies on the clipboard, where that is bodies; else it is said."""
        data = QGuiApplication.clipboard().mimeData()
        if data is None or not data.hasFormat(PARTS):
            self._session.turn_down("There are no bodies on the clipboard: choose some and copy them first")
            return None
        try:
            parts = decode(bytes(data.data(PARTS).data()), Path("Clipboard"))
        except UnreadableProject as unreadable:
            self._session.turn_down(f"What was copied cannot be pasted: {unreadable}")
            return None
        if not parts.bodies:
            self._session.turn_down("There are no bodies in what was copied")
            return None
        return parts
