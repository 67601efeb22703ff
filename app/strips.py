"""Drawing the looked-at sequence as a frame strip: how many frames, into which file, and then away from the window."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from app.dialogs.files import ask_for_strip, where_to_write
from app.dialogs.strip import StripFrames
from app.errands import Errand, Errands
from app.painting.strip_file import write_strip
from app.session import Session
from core.document.names import name_of
from core.study import SequenceStudy, Study


class Strips(QObject):
    def __init__(self, session: Session, errands: Errands, window: QWidget) -> None:
        super().__init__(window)
        self._session, self._errands, self._window = session, errands, window

    def ask(self) -> None:
        """Only of a check that is of the aircraft as it is now: a strip says what clashes."""
        session = self._session
        study, sequence = session.study, session.sequence_study
        if study is None or sequence is None or not session.study_current:
            session.turn_down("The strip can be drawn when the check is done: it shows what clashes")
            return
        name = name_of(sequence.sequence)
        question = StripFrames(name, sequence.schedule.seconds, self._window)
        question.chosen.connect(lambda frames: self._ask_where(study, sequence, frames))
        question.open()

    def _ask_where(self, study: Study, sequence: SequenceStudy, frames: int) -> None:
        suggested = where_to_write(self._session.folder) / f"{sequence.sequence.id}.pdf"
        ask_for_strip(self._window, suggested, lambda file: self.draw(study, sequence, frames, file))

    def draw(self, study: Study, sequence: SequenceStudy, frames: int, file: Path) -> None:
        self._errands.run(_drawing(study, sequence, frames, file))


def _drawing(study: Study, sequence: SequenceStudy, frames: int, file: Path) -> Errand:
    def draw() -> str:
        write_strip(study, sequence, file=file, frames=frames)
        return f"The strip is drawn: {file.name}, in {file.parent}"

    return draw
