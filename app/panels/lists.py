"""Bodies, connections, drives and steps as one list that can be searched, with a note of what is hidden."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from app.painting.theme import Theme
from app.panels.thing_list import ThingList
from app.panels.thing_model import ThingModel
from app.panels.things import things
from app.session import Session
from app.widgets.button import Button
from core.document.looks import hidden_in, hidden_words
from core.findings.finding import Kind

SIDE = 14


class ListsPanel(QWidget):
    show_all_wanted = Signal()

    def __init__(self, session: Session, theme: Theme) -> None:
        super().__init__()
        self.setObjectName("page")
        self._session = session
        self.search = QLineEdit()
        self.search.setPlaceholderText("Search bodies and connections")
        self.search.setAccessibleName("Search bodies and connections")
        self.search.setClearButtonEnabled(True)
        self.search.setStatusTip(
            "Finds names, ids, roles, kinds, hidden and locked things; several words narrow it down"
        )
        self.model = ThingModel()
        self.view = ThingList(self.model, theme)
        self._nothing = QLabel("Nothing has these words.")
        self._nothing.setObjectName("soft")
        self._nothing.setContentsMargins(SIDE, 8, SIDE, 8)
        self._nothing.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 10, 0, 0)
        column.setSpacing(6)
        row = QVBoxLayout()
        row.setContentsMargins(SIDE, 0, SIDE, 0)
        row.addWidget(self.search)
        column.addLayout(row)
        column.addWidget(self._nothing)
        column.addWidget(self.view, 1)
        column.addWidget(self._make_note())
        self.search.textChanged.connect(self._on_search)
        self.view.chosen.connect(session.choose_several)
        session.project_changed.connect(self._refill)
        session.sequence_changed.connect(self._refill)
        session.selection_changed.connect(self._follow)
        for signal in (session.study_changed, session.sequence_changed):
            signal.connect(self._mark_loose)
        self._refill()

    def set_theme(self, theme: Theme) -> None:
        self.view.look.theme = theme
        self.view.viewport().update()

    @property
    def note(self) -> str:
        """What is said of hidden things; empty where there are none."""
        return "" if self._note.isHidden() else self._hidden.text()

    def _make_note(self) -> QWidget:
        self._note = QWidget()
        self._hidden = QLabel()
        self._hidden.setObjectName("soft")
        self._hidden.setWordWrap(True)
        self.show_all = Button("Show everything", "Draw again what is hidden", look="quiet")
        self.show_all.clicked.connect(self.show_all_wanted)
        row = QHBoxLayout(self._note)
        row.setContentsMargins(SIDE, 0, SIDE - 6, 6)
        row.addWidget(self._hidden, 1)
        row.addWidget(self.show_all)
        return self._note

    def _refill(self) -> None:
        project = self._session.project
        bar = self.view.verticalScrollBar()
        stood = bar.value()
        self.model.show(things(project, self._session.sequence) if project is not None else ())
        self._follow()
        bar.setValue(stood)
        hidden = hidden_words(len(hidden_in(project))) if project is not None else ""
        self._hidden.setText(hidden)
        self._note.setVisible(bool(hidden))

    def _follow(self) -> None:
        self.view.follow(self._session.chosen)

    def _mark_loose(self) -> None:
        study = self._session.sequence_study if self._session.study_current else None
        findings = study.findings if study is not None else ()
        self.model.mark_loose(frozenset(b for one in findings if one.kind == Kind.LOOSE for b in one.bodies))

    def _on_search(self, text: str) -> None:
        self.model.search(text)
        self._nothing.setVisible(self.model.rowCount() == 0 and self._session.project is not None)
        self._follow()
