"""What would help against the chosen finding: tried away from the window's thread, since each try solves it again."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from app.aside import Newest
from app.session import Session
from core.document.project import Project
from core.findings.finding import Finding, Kind
from core.findings.remedies import cures_for, remedy_sentence
from core.motion.motion import Motion

SETTLE_MS = 250
"""After the last check: while a part is dragged nothing is tried."""
TRYING = "Trying what would help…"
UNTRIED = "It could not be tried what would help."
NOTHING = "No one length, stroke, limit or asked value that was tried would help."


@dataclass(frozen=True, slots=True, eq=False)
class _Request:
    project: Project
    motion: Motion
    finding: Finding


def _said(one: _Request) -> str:
    return remedy_sentence(cures_for(one.motion, one.finding), one.motion, one.project) or NOTHING


class Remedy(QWidget):
    """Shown while the chosen finding is a jam or a passed limit of the project as it is."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._wanted: _Request | None = None
        heading = QLabel("What would help")
        heading.setObjectName("heading")
        self._said = QLabel()
        self._said.setWordWrap(True)
        self._said.setTextFormat(Qt.TextFormat.PlainText)
        self._said.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._said.setAccessibleName("What would help")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(7)
        column.addWidget(heading)
        column.addWidget(self._said)
        self._newest = Newest(self)
        self._newest.done.connect(lambda _request, said: self._said.setText(said))
        self._newest.failed.connect(lambda _request, _why: self._said.setText(UNTRIED))
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(SETTLE_MS)
        self._timer.timeout.connect(self._start)
        for signal in (session.finding_changed, session.study_changed, session.project_changed):
            signal.connect(self.refresh)
        self.hide()

    @property
    def text(self) -> str:
        return self._said.text()

    def refresh(self) -> None:
        finding, project = self._session.finding, self._session.project
        study = self._session.sequence_study if self._session.study_current else None
        if finding is None or project is None or study is None or finding.kind not in (Kind.JAMMED, Kind.TRAVEL):
            self._wanted = None
            self._newest.forget()
            self._timer.stop()
            self.hide()
            return
        wanted = self._wanted
        if wanted is not None and wanted.motion is study.motion and wanted.finding is finding:
            return
        self._wanted = _Request(project, study.motion, finding)
        self._newest.forget()
        self._said.setText(TRYING)
        self._timer.start()
        self.show()

    def shut_down(self) -> bool:
        """Wait; True when nothing is tried any more."""
        self._wanted = None
        self._timer.stop()
        return self._newest.shut_down()

    def _start(self) -> None:
        if self._wanted is not None:
            self._newest.ask(self._wanted, partial(_said, self._wanted))
