"""The menu of what lies under the pointer: which of it is meant, and what can be done with it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import QObject, QPoint
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QWidget

from app.session import Session
from core.document.names import DRIVEN
from core.document.project import Project

WITH_BODY = ("tool-reshape", "tool-move", "tool-turn", "tool-mirror", "tool-copy", "tool-path")
WITH_NOTHING = ("tool-outline", "tool-box", "tool-circle", "tool-wheel")
AT_MOST = 9
"""Things that are offered by name; where more lie on each other, one comes nearer first."""


class ThingsMenu(QObject):
    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        self._session, self._parent = session, parent
        self._command: Callable[[str], QAction] | None = None
        self.menu: QMenu | None = None

    def use(self, command: Callable[[str], QAction]) -> None:
        """Where the window's actions are had from, by their ids."""
        self._command = command

    def offer(self, found: Sequence[str], at: QPoint) -> None:
        """Choose what is in front, unless something there is chosen, and offer what can be done with that."""
        project, chosen = self._session.project, self._session.chosen
        if project is None:
            return
        if found and not set(found) & set(chosen):
            self._session.choose(found[0])
        elif not found:
            self._session.choose(None)
        if self.menu is not None:
            self.menu.deleteLater()
        self.menu = QMenu(self._parent)
        if len(found) > 1:
            self._name(self.menu, project, found)
        self._fill(self.menu, self._commands_for(project))
        self.menu.popup(at)

    def _name(self, menu: QMenu, project: Project, found: Sequence[str]) -> None:
        names = {one.id: one.name or one.id for one in (*project.bodies, *project.connections)}
        for one in found[:AT_MOST]:
            action = menu.addAction(names.get(one, one).replace("&", "&&"), partial(self._session.choose, one))
            action.setCheckable(True)
            action.setChecked(one in self._session.chosen)
        menu.addSeparator()

    def _commands_for(self, project: Project) -> tuple[tuple[str, ...], ...]:
        chosen = self._session.selection
        if chosen is None:
            return (WITH_NOTHING, ("fit", "names", "tracing"), ("undo", "redo"))
        connection = next((one for one in project.connections if one.id == chosen), None)
        if connection is None:
            return (WITH_BODY, ("remove",))
        return (("drive", "tool-reshape") if isinstance(connection, DRIVEN) else ("tool-reshape",), ("remove",))

    def _fill(self, menu: QMenu, groups: Sequence[Sequence[str]]) -> None:
        if self._command is None:
            return
        for number, group in enumerate(groups):
            if number:
                menu.addSeparator()
            for one in group:
                menu.addAction(self._command(one))
