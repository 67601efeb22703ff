"""A quiet word on what was accepted and is found no longer, with a button that lets go of it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from app.panels.finding_model import TITLES
from app.session import Session
from app.widgets.button import Button
from core.document.finding_edits import TakeBack
from core.document.project import Acceptance
from core.findings.acceptance import unused
from core.findings.finding import Kind
from core.findings.sentences import Names


class VainNote(QWidget):
    def __init__(self, session: Session) -> None:
        super().__init__()
        self.setObjectName("page")
        self._session = session
        self._vain: tuple[Acceptance, ...] = ()
        self.said = QLabel()
        self.said.setObjectName("soft")
        self.said.setWordWrap(True)
        self.said.setTextFormat(Qt.TextFormat.PlainText)
        self.said.setAccessibleName("Accepted, and found no longer")
        self.let_go = Button("Let go of it", "It is told again if it is ever found again", look="segment")
        self.let_go.clicked.connect(self._let_go)
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 10, 14, 12)
        column.setSpacing(8)
        column.addWidget(self.said)
        column.addWidget(self.let_go, alignment=Qt.AlignmentFlag.AlignLeft)
        for signal in (session.study_changed, session.project_changed):
            signal.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Known only where the check is of the project as it is, and not of a trial."""
        current = self._session.study_current and self._session.trial is None
        study = self._session.study if current else None
        found = () if study is None else (each for one in study.sequences for each in (*one.findings, *one.accepted))
        self._vain = () if study is None else unused(study.project, found)
        if study is not None and self._vain:
            names = Names(study.project)
            lines = [f"{_who(one, names)} ({one.why})" for one in self._vain]
            self.said.setText("\n".join(["Accepted, and found no longer:", *lines]))
        self.setVisible(bool(self._vain))

    def _let_go(self) -> None:
        self._session.push(TakeBack(self._vain))


def _who(one: Acceptance, names: Names) -> str:
    title = next((TITLES[kind] for kind in Kind if kind == one.kind), one.kind)
    things = (*one.bodies, *one.connections, *(thing for thing in (one.drive, one.target) if thing is not None))
    return f"{title}: {names.listed(things)}"
