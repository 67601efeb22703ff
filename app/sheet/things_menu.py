"""The menu of what lies under the pointer, or of what is chosen in the lists, and what can be done with it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import QObject, QPoint, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QWidget

from app.session import Session
from app.widgets.plain import plain
from core.document.names import DRIVEN, name_of
from core.document.project import Body, Latch, Project

Groups = tuple[tuple[str, ...], ...]
CLIPBOARD = ("cut", "copy", "paste")
TINTS = "Tint &of it"
ORDER = "&Lay it"
INNER: dict[str, str] = {
    **dict.fromkeys(("tint-role", "tint-sky", "tint-moss", "tint-straw", "tint-heather", "tint-copper"), TINTS),
    **dict.fromkeys(("lay-higher", "lay-lower", "lay-top", "lay-bottom"), ORDER),
}
"""What stands in a menu of its own, and that menu's words."""
WITH_BODY: Groups = (
    ("tool-reshape", "tool-move", "tool-turn", "tool-scale", "tool-mirror", "tool-copy"),
    (*CLIPBOARD, "remove", "rename"),
    ("hide", "show-only", "lock", *INNER),
)
WITH_BODIES: Groups = (("join-bodies", "cut-away"), *WITH_BODY)
WITH_NOTHING: Groups = (
    ("tool-outline", "tool-box", "tool-circle", "tool-wheel"),
    ("paste", "choose-all"),
    ("fit", "show-all", "names", "tracing"),
    ("undo", "redo"),
)
WITH_LOCKED: Groups = (("copy", "paste"), WITH_BODY[-1])
AT_MOST = 9
"""Things that are offered by name; where more lie on each other, one comes nearer first."""


class ThingsMenu(QObject):
    path_wanted = Signal(str, QPoint)
    """The path of a body's point is to be shown: its id, and where the point is on the screen."""

    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        self._session, self._parent = session, parent
        self._command: Callable[[str], QAction] | None = None
        self.menu: QMenu | None = None

    def use(self, command: Callable[[str], QAction]) -> None:
        """Where the window's actions are had from, by their ids."""
        self._command = command

    def offer(self, found: Sequence[str], at: QPoint) -> None:
        """Choose what is in front, unless something there is chosen, and offer what can be done with that. What is
        locked is only chosen by its name."""
        project = self._session.project
        if project is None:
            return
        locked = {one.id for one in (*project.bodies, *project.connections) if one.locked}
        if not set(found) & set(self._session.chosen):
            self._session.choose(next((one for one in found if one not in locked), None))
        menu = self._begin()
        if len(found) > 1 or set(found) & locked:
            self._name(menu, project, found)
        self._fill(menu, self._commands_for(project))
        self._offer_path(menu, project, found, at)
        menu.popup(at)

    def offer_for_chosen(self, at: QPoint) -> None:
        """Offer what can be done with what is chosen."""
        if self._session.project is not None:
            menu = self._begin()
            self._fill(menu, self._commands_for(self._session.project))
            menu.popup(at)

    def _begin(self) -> QMenu:
        if self.menu is not None:
            self.menu.deleteLater()
        self.menu = QMenu(self._parent)
        return self.menu

    def _offer_path(self, menu: QMenu, project: Project, found: Sequence[str], at: QPoint) -> None:
        """Of the chosen body, where it can move and lies under the pointer."""
        body = next((one for one in project.bodies if one.id == self._session.selection and one.id in found), None)
        if body is not None and not body.fixed:
            menu.addSeparator()
            menu.addAction("Show the path of this point", partial(self.path_wanted.emit, body.id, at))

    def _name(self, menu: QMenu, project: Project, found: Sequence[str]) -> None:
        locked = {one.id for one in (*project.bodies, *project.connections) if one.locked}
        names = {one.id: name_of(one) for one in (*project.bodies, *project.connections, *project.paths)}
        for one in found[:AT_MOST]:
            words = plain(names.get(one, one)) + (" (locked)" if one in locked else "")
            action = menu.addAction(words, partial(self._session.choose, one))
            action.setCheckable(True)
            action.setChecked(one in self._session.chosen)
        menu.addSeparator()

    def _commands_for(self, project: Project) -> Groups:
        chosen = self._session.chosen
        things = {one.id: one for one in (*project.bodies, *project.connections)}
        bodies = [one for one in chosen if isinstance(things.get(one), Body)]
        if not chosen:
            return WITH_NOTHING
        if bodies and all(things[one].locked for one in bodies):
            return WITH_LOCKED
        if len(bodies) > 1:
            return WITH_BODIES
        last = things.get(chosen[-1])
        if isinstance(last, Body):
            return WITH_BODY
        if any(one.id == chosen[-1] for one in project.paths):
            return (("write-paths",), ("remove", "rename"))
        if last is None:  # a drive or a step
            return (("try-fault",), ("remove", "rename"))
        if last.locked:
            return (("hide", "show-only", "lock"),)
        shape = ("drive", "tool-reshape") if isinstance(last, DRIVEN) else ("tool-reshape",)
        fails = (("try-fault",),) if isinstance(last, (*DRIVEN, Latch)) else ()
        return (shape, *fails, ("remove", "rename"), ("hide", "show-only", "lock"))

    def _fill(self, menu: QMenu, groups: Groups) -> None:
        if self._command is None:
            return
        inner: dict[str, QMenu] = {}
        for number, group in enumerate(groups):
            if number:
                menu.addSeparator()
            for one in group:
                where, words = menu, INNER.get(one)
                if words is not None:
                    where = inner[words] = inner.get(words) or menu.addMenu(words)
                where.addAction(self._command(one))
