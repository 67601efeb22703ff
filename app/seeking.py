"""From one finding to the next, and to the worst."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QObject

from app.panels.finding_groups import all_findings
from app.sequence.jumps import next_finding
from app.session import Session
from app.uses import Uses


class Seeking(QObject):
    """Only in a study of what is shown; while one is under way nothing is sought."""

    def __init__(self, session: Session, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session

    @property
    def uses(self) -> Uses:
        """What its actions do, by their ids in the table."""
        return {"finding-back": partial(self.jump, -1), "finding-on": partial(self.jump, 1), "worst": self.show_worst}

    def jump(self, way: int) -> None:
        """To the next finding in time, or the one before."""
        session, shown = self._session, self._session.sequence
        if session.study is None or not session.study_current or shown is None:
            return
        finding = next_finding(session.study, shown.id, session.moment, session.finding, way)
        if finding is not None:
            session.show_finding(finding)

    def show_worst(self) -> None:
        session = self._session
        findings = all_findings(session.study) if session.study is not None and session.study_current else ()
        if findings:
            session.show_finding(findings[0])
