"""The window of built models, which stays open beside the sheet and keeps up with the aircraft."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QWidget

from app.building import Building
from app.dialogs.frame import Dialog
from app.panels.built_models import CHECKING, OUTDATED, BuiltModelsPanel
from app.panels.built_rows import things_of
from app.session import Session
from core.tolerance.spread import MODELS, Spread

SIZE = (1080, 620)


class BuiltModelsWindow(Dialog):
    def __init__(self, session: Session, building: Building, parent: QWidget) -> None:
        super().__init__("Built models", parent)
        self.setWindowModality(Qt.WindowModality.NonModal)
        self._session, self._building = session, building
        self.panel = BuiltModelsPanel(session)
        self.page.addWidget(self.panel, 1)
        self.add_button("Close").clicked.connect(self.close)
        self.panel.build_wanted.connect(building.build)
        self.panel.stop_wanted.connect(building.stop)
        building.progressed.connect(self.panel.show_progress)
        building.changed.connect(self.refresh)
        standard = QKeySequence.StandardKey
        for keys, does in ((standard.Undo, session.undo), (standard.Redo, session.redo)):
            QShortcut(QKeySequence(keys), self).activated.connect(does)
        self.open_to(*SIZE)
        self.refresh()

    def refresh(self) -> None:
        building = self._building
        self.panel.show_found(building.project, building.found, outdated=building.outdated)
        self.panel.show_state(self._state(), working=building.working, possible=building.possible)
        if not building.working:
            self.panel.show_progress(0.0)

    def _state(self) -> str:
        building = self._building
        if building.working:
            return f"Building {MODELS} models…" + (f" {OUTDATED}" if building.outdated else "")
        if not building.possible:
            return f"{CHECKING} {OUTDATED}" if building.found is not None else CHECKING
        return building.failure or (OUTDATED if building.outdated else "")


class BuiltModels(QObject):
    """Opens it once, and has models built while it is open."""

    looked = Signal()
    """A row was chosen, and its moment is looked at."""

    def __init__(self, session: Session, window: QWidget) -> None:
        super().__init__(window)
        self._session, self._window = session, window
        self.building = Building(session, self)
        self.shown: BuiltModelsWindow | None = None

    def show(self) -> None:
        if self.shown is None:
            self.shown = BuiltModelsWindow(self._session, self.building, self._window)
            self.shown.panel.row_chosen.connect(self._look_at)
            self.shown.finished.connect(self._forget)
            self.shown.destroyed.connect(self._forget)
        self.shown.show()
        self.shown.activateWindow()
        self.building.watch(True)

    def shut_down(self) -> bool:
        return self.building.shut_down()

    def _look_at(self, one: Spread) -> None:
        """Scrub to its moment and choose what it is about."""
        session, found = self._session, self.building.found
        project = session.project
        if project is None or found is None:
            return
        if session.sequence is None or session.sequence.id != found.sequence:
            session.choose_sequence(found.sequence)
        there = {thing.id for thing in (*project.bodies, *project.connections)}
        session.choose_several(thing for thing in things_of(one) if thing in there)
        self.looked.emit()
        session.set_moment(one.time)

    def _forget(self) -> None:
        if self.shown is not None:
            self.shown = None
            self.building.watch(False)
