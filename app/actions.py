"""The table of actions as what the window's menus, buttons and keys work with."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QAction, QKeySequence

from app.action_table import MENUS, TABLE, WHY_NOT, Needs, Row
from app.dialogs.keys import KeyGroup
from app.session import Session
from app.uses import Switches, Uses
from app.widgets.plain import plain
from core.document.looks import hidden_in


class Actions(QObject):
    """The table as QActions, with what they do bound to them."""

    asked = Signal()
    """One of them is asked for; what it does is done after that."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._actions = {row.id: _action(row, parent) for row in TABLE}
        for action in self._actions.values():
            action.triggered.connect(self.asked)

    def __getitem__(self, action_id: str) -> QAction:
        return self._actions[action_id]

    def bind(self, uses: Uses) -> None:
        """What each plain action does."""
        for action_id, use in uses.items():
            self._actions[action_id].triggered.connect(lambda _on=False, use=use: use())

    def bind_switches(self, uses: Switches) -> None:
        """What each checkable action does when it is put on or off."""
        for action_id, use in uses.items():
            self._actions[action_id].triggered.connect(lambda on, use=use: use(on))

    def refresh(self, session: Session) -> None:
        """Put each action on or off by what there is, and name what would be undone."""
        there = what_is_there(session)
        for row in TABLE:
            self._actions[row.id].setEnabled(row.needs in there)
            self._actions[row.id].setToolTip(tool_tip(row, on=row.needs in there))
        for action_id, words, label in (("undo", "&Undo", session.undo_label), ("redo", "&Redo", session.redo_label)):
            self._actions[action_id].setText(f"{words}: {plain(label[:1].lower() + label[1:])}" if label else words)


def what_is_there(session: Session) -> frozenset[Needs]:
    """The needs that are met."""
    study = session.sequence_study if session.study_current else None
    schedule = session.schedule
    met = {
        Needs.NOTHING: True,
        Needs.PROJECT: session.project is not None,
        Needs.UNSAVED: session.unsaved or (session.project is not None and session.folder is None),
        Needs.UNDO: session.undo_label is not None,
        Needs.REDO: session.redo_label is not None,
        Needs.TIME: schedule is not None and schedule.seconds > 0,
        Needs.FINDINGS: study is not None and any(one.time is not None for one in study.findings),
        Needs.FINDING: session.finding is not None,
        Needs.TRIAL: session.trial is not None,
        Needs.LOOK: session.finding is not None or session.trial is not None,
        Needs.BODIES: session.project is not None and bool(session.project.bodies),
        Needs.DRIVES: session.project is not None and bool(session.project.drives),
        Needs.PINS: session.project is not None and bool(session.sequence and session.sequence.pinned),
        Needs.PATHS: session.project is not None and bool(session.project.paths),
        Needs.CHOSEN: session.selection is not None,
        Needs.SEQUENCE: session.project is not None and bool(session.project.sequences),
        Needs.STEP: session.sequence is not None and any(one.id == session.selection for one in session.sequence.steps),
        Needs.HIDDEN: session.project is not None and bool(hidden_in(session.project)),
        Needs.VIEWS: session.project is not None and len(session.project.views) > 1,
    }
    return frozenset(need for need, is_met in met.items() if is_met)


def _action(row: Row, parent: QObject) -> QAction:
    action = QAction(row.words, parent)
    action.setObjectName(row.id)
    action.setCheckable(row.checkable)
    action.setShortcuts([QKeySequence(key) for key in row.keys])
    action.setToolTip(tool_tip(row, on=True))
    action.setStatusTip(row.tip)
    return action


def tool_tip(row: Row, *, on: bool) -> str:
    """What an action does, and its keys; while it is off, why."""
    if not on and row.needs in WHY_NOT:
        return f"{row.tip} – not now: {WHY_NOT[row.needs]}"
    keys = shown_keys(row)
    return f"{row.tip}  ({keys})" if keys else row.tip


def shown_keys(row: Row) -> str:
    """The keys as the desktop writes them."""
    return " or ".join(QKeySequence(key).toString(QKeySequence.SequenceFormat.NativeText) for key in row.keys)


def key_groups() -> tuple[KeyGroup, ...]:
    """The table's actions that have keys, by menu."""
    groups = []
    for menu in MENUS:
        rows = [(row.words.replace("&", ""), shown_keys(row)) for row in TABLE if row.menu == menu and row.keys]
        if menu == "Se&quence":
            rows.append(("Another sequence", "1 to 9"))
        if rows:
            groups.append(KeyGroup(menu.replace("&", ""), tuple(rows)))
    return tuple(groups)
