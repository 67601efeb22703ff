"""The menu of a step: what it waits for, which drives it moves, and what else can be done with it."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QMenu, QWidget

from app.sequence.step_commands import StepCommands
from app.sequence.transport import FindAction
from app.session import Session
from app.widgets.plain import plain
from core.document.names import by_id, name_of
from core.document.project import Project, Sequence, Step

GROUPS = (
    ("step-rename", "step-split", "step-join", "step-copy"),
    ("step-up", "step-down"),
    ("try-fault",),
    ("remove",),
)
WITHOUT_STEP = ("add-step", "undo", "redo")


class StepMenu:
    def __init__(self, session: Session, commands: StepCommands, actions: FindAction, parent: QWidget) -> None:
        self._session, self._commands, self._actions, self._parent = session, commands, actions, parent
        self.menu: QMenu | None = None

    def offer(self, at: QPoint) -> None:
        """Open it at a place of the screen, for the chosen step, or for the lanes where none is."""
        project, sequence = self._session.project, self._session.sequence
        if project is None or sequence is None:
            return
        if self.menu is not None:
            self.menu.deleteLater()
        self.menu = QMenu(self._parent)
        step = by_id(sequence.steps, self._session.selection)
        if step is None:
            for action in WITHOUT_STEP:
                self.menu.addAction(self._actions[action])
        else:
            self._of_step(self.menu, project, sequence, step)
        self.menu.popup(at)

    def _of_step(self, menu: QMenu, project: Project, sequence: Sequence, step: Step) -> None:
        self._waits(menu.addMenu("Begin &after"), sequence, step, "after")
        self._waits(menu.addMenu("Begin &with"), sequence, step, "along")
        self._drives(menu.addMenu("Move d&rives"), project, step)
        for group in GROUPS:
            menu.addSeparator()
            for action in group:
                menu.addAction(self._actions[action])

    def _waits(self, menu: QMenu, sequence: Sequence, step: Step, how: str) -> None:
        """The other steps by name; the one that it waits for now is marked."""
        now = step.after if how == "after" else step.together_with
        if how == "after":
            action = menu.addAction("The step above it", partial(self._commands.chain))
            action.setCheckable(True)
            action.setChecked(step.after is None and step.together_with is None)
            menu.addSeparator()
        for other in sequence.steps:
            if other.id != step.id:
                words = plain(name_of(other))
                action = menu.addAction(words, partial(self._commands.chain, **{how: other.id}))
                action.setCheckable(True)
                action.setChecked(other.id == now)
        menu.setEnabled(not menu.isEmpty())

    def _drives(self, menu: QMenu, project: Project, step: Step) -> None:
        moved = {move.drive for move in step.moves}
        for drive in project.drives:
            action = menu.addAction(plain(name_of(drive)))
            action.setCheckable(True)
            action.setChecked(drive.id in moved)
            action.triggered.connect(lambda on, drive=drive.id: self._commands.move_drive(drive, on))
        menu.setEnabled(bool(project.drives))
