"""The sweep of the chosen body: worked out away from the window's thread, shown on the sheet, and written to a file."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from app.aside import Newest
from app.dialogs.files import ask_for_sweep, where_to_write
from app.errands import Errand, Errands
from app.painting.strip_file import write_sheet
from app.panels.sweep_form import Span, SweepForm
from app.session import Session
from app.sheet.moment import ShownMoment
from core.drawing.sweep_sheet import Swept, lay_out_sweeps, sweeps_of
from core.exports.sweeps import sweep_table
from core.exports.table import write_table
from core.study import SequenceStudy, Study

WORKING = "…"
BEFORE_EDIT = "Dashed: what it passed over before the edit, until the check is done."
UNCHECKED = "Dashed: what it passed over before the edit. The aircraft as it is could not be checked."


@dataclass(frozen=True, slots=True, eq=False)
class _Request:
    """All that a sweep needs."""

    study: Study
    sequence: SequenceStudy
    body: str
    step: str | None

    def alike(self, sequence: str, body: str, step: str | None) -> bool:
        """Whether it asks for the same of another state of the project."""
        return (self.sequence.sequence.id, self.body, self.step) == (sequence, body, step)

    def answer(self) -> Swept:
        (found,) = sweeps_of(self.study, self.sequence, (self.body,), step=self.step)
        return found


class Sweeping(QObject):
    """Listens to what is chosen; a newer request replaces an older one."""

    def __init__(
        self, session: Session, shown: ShownMoment, form: SweepForm, errands: Errands, window: QWidget
    ) -> None:
        super().__init__(window)
        self._session, self._shown, self._form = session, shown, form
        self._errands, self._window = errands, window
        self._newest = Newest(self)
        self._newest.done.connect(self._on_done)
        self._newest.failed.connect(lambda _request, why: form.tell(why))
        self._asked: tuple[Study, str, str, str | None] | None = None
        self._found: tuple[_Request, Swept] | None = None
        form.wanted.connect(self._ask)
        form.export_wanted.connect(self.ask_where)
        for signal in (session.selection_changed, session.study_changed, session.sequence_changed):
            signal.connect(self._ask)
        session.moment_changed.connect(self._on_moment)
        self._ask()

    def shut_down(self) -> bool:
        """Wait; True when nothing is worked out any more."""
        return self._newest.shut_down()

    # ---- asking ----------------------------------------------------------------------------------------------------

    def _ask(self) -> None:
        session, study, sequence = self._session, self._session.study, self._session.sequence_study
        body = session.selection
        sweepable = study is not None and sequence is not None and body in study.parts.by_id
        self._form.offer(sweepable)
        if not sweepable or self._form.span is Span.NONE or study is None or sequence is None or body is None:
            self._forget()
            return
        if not session.study_current:
            self._age(BEFORE_EDIT if session.failure is None else UNCHECKED)
            return
        step = None
        if self._form.span is Span.STEP:
            step = self._step(sequence)
            if step is None:
                self._forget()
                self._form.tell("No step is under way at this moment.")
                return
        asked = (study, sequence.sequence.id, body, step)
        if asked == self._asked:
            return
        self._asked = asked
        if self._found is not None and self._found[0].alike(sequence.sequence.id, body, step):
            self._show_stale(self._found[1])
        else:
            self._shown.show_swept(())
        self._form.tell(WORKING)
        request = _Request(study, sequence, body, step)
        self._newest.ask(request, request.answer)

    def _step(self, sequence: SequenceStudy) -> str | None:
        """The step under way at the moment; of several the one that began last."""
        moment = self._session.moment
        under_way = [step for step in sequence.schedule.steps if step.begin <= moment <= step.end]
        return max(under_way, key=lambda step: step.begin).id if under_way else None

    def _on_moment(self, _moment: float) -> None:
        if self._form.span is Span.STEP:
            self._ask()

    def _age(self, why: str) -> None:
        """What is shown is of the aircraft as it was: it stays in sight as that until it is worked out anew."""
        self._asked = None
        self._newest.forget()
        body, sequence = self._session.selection, self._session.sequence
        if self._found is None or sequence is None or body is None:
            self._forget()
            return
        request, swept = self._found
        if not request.alike(sequence.id, body, request.step):
            self._forget()
            return
        self._show_stale(swept)
        self._form.tell(why)

    def _show_stale(self, swept: Swept) -> None:
        if not any(one.stale for one in self._shown.swept):
            self._shown.show_swept((replace(swept, stale=True),))

    def _forget(self) -> None:
        self._asked = self._found = None
        self._newest.forget()
        self._shown.show_swept(())
        self._form.tell("")

    # ---- answers ---------------------------------------------------------------------------------------------------

    def _on_done(self, request: _Request, swept: Swept) -> None:
        self._found = (request, swept)
        self._shown.show_swept((swept,))
        self._form.show_swept(request.study.project, swept)

    # ---- writing ---------------------------------------------------------------------------------------------------

    def ask_where(self) -> None:
        if self._found is None or not self._session.study_current:
            return
        request, swept = self._found
        ask_for_sweep(
            self._window,
            where_to_write(self._session.folder) / f"{request.sequence.sequence.id}-{request.body}-sweep.pdf",
            lambda file: self._errands.run(writing(request.study, request.sequence, swept, file)),
        )


def writing(study: Study, sequence: SequenceStudy, swept: Swept, file: Path) -> Errand:
    """Writes a sweep: its corners where the name ends in .csv, else a drawing."""

    def write() -> str:
        if file.suffix.lower() == ".csv":
            write_table(file, sweep_table(study.project, [swept.sweep]))
        else:
            write_sheet(lay_out_sweeps(study, sequence, [swept]), file)
        return f"The sweep is drawn: {file.name}, in {file.parent}"

    return write
