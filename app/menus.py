"""The menu bar: the table's actions, and the menus whose rows come and go."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import QMainWindow, QMenu

from app.action_table import MENUS, TABLE
from app.actions import Actions
from app.recent_rows import short
from app.samples import SAMPLE_ROWS
from app.session import Session
from app.settings import Settings
from app.widgets.plain import plain
from core.document.names import name_of

MOST_NUMBERED = 9
WIDEST = 640
"""Pixels of an aircraft's name and folder; the whole of a longer one is told below while it is pointed at."""
SequenceRows = tuple[tuple[str, str], ...]


class Menus(QObject):
    recent_wanted = Signal(Path)
    sample_wanted = Signal(str)
    """The sample's id."""
    recent_changed = Signal()
    """The list of aircraft opened lately is another."""

    def __init__(self, window: QMainWindow, actions: Actions, session: Session, settings: Settings) -> None:
        super().__init__(window)
        self._session, self._settings = session, settings
        menus = {title: window.menuBar().addMenu(title) for title in MENUS}
        _fill(window, menus, actions)
        self._recent = QMenu("Opened &lately", window)
        self._samples = QMenu("Open a sa&mple", window)
        self._fill_samples()
        _insert_after(menus["&Aircraft"], actions["open"], (self._recent, self._samples))
        self._sequences = QMenu("&Choose", window)
        menus["Se&quence"].insertMenu(actions["play"], self._sequences)
        menus["Se&quence"].insertSeparator(actions["play"])
        self._filled: tuple[SequenceRows, str | None] | None = None

    def _fill_samples(self) -> None:
        """A row for each aircraft that comes with the program, the flawed twins apart."""
        for number, row in enumerate(SAMPLE_ROWS):
            if number and row.tip != SAMPLE_ROWS[number - 1].tip:
                self._samples.addSeparator()
            action = self._samples.addAction(row.words)
            action.setStatusTip(row.tip)
            action.triggered.connect(lambda _on=False, one=row.id: self.sample_wanted.emit(one))

    def fill_sequences(self) -> None:
        """A row for each sequence, the first ones with a digit for a key."""
        project, shown = self._session.project, self._session.sequence
        rows = tuple((one.id, name_of(one)) for one in project.sequences) if project is not None else ()
        filled = (rows, shown.id if shown is not None else None)
        if filled == self._filled:
            return
        self._filled = filled
        self._sequences.clear()
        self._sequences.setEnabled(bool(rows))
        for number, (sequence_id, name) in enumerate(rows, 1):
            action = self._sequences.addAction(plain(name))
            action.setCheckable(True)
            action.setChecked(sequence_id == filled[1])
            if number <= MOST_NUMBERED:
                action.setShortcut(str(number))
            action.triggered.connect(lambda _on=False, one=sequence_id: self._session.choose_sequence(one))

    def fill_recent(self) -> None:
        """A row for each aircraft opened lately."""
        folders = self._settings.recent
        self._recent.clear()
        self._recent.setEnabled(bool(folders))
        for folder in folders:
            words = self._recent.fontMetrics().elidedText(
                f"{folder.name}   {short(folder.parent)}", Qt.TextElideMode.ElideMiddle, WIDEST
            )
            action = self._recent.addAction(plain(words))
            action.setStatusTip(str(folder))
            action.triggered.connect(lambda _on=False, folder=folder: self.recent_wanted.emit(folder))
        if folders:
            self._recent.addSeparator()
            self._recent.addAction("Forget these").triggered.connect(self._forget_recent)
        self.recent_changed.emit()

    def _forget_recent(self) -> None:
        self._settings.forget_recent()
        self.fill_recent()


def _fill(window: QMainWindow, menus: dict[str, QMenu], actions: Actions) -> None:
    groups: dict[str, QActionGroup] = {}
    inner: dict[str, QMenu] = {}
    for row in TABLE:
        action, menu = actions[row.id], menus[row.menu]
        if row.new_group:
            menu.addSeparator()
        if row.submenu:
            if row.submenu not in inner:
                inner[row.submenu] = menu.addMenu(row.submenu)
            menu = inner[row.submenu]
        menu.addAction(action)
        window.addAction(action)
        if row.choice:
            groups.setdefault(row.choice, QActionGroup(window)).addAction(action)


def _insert_after(menu: QMenu, action: QAction, submenus: Sequence[QMenu]) -> None:
    rows = menu.actions()
    before = rows[rows.index(action) + 1]
    for submenu in submenus:
        menu.insertMenu(before, submenu)
