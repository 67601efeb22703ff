"""The values of curves, away from the window's thread where they take longer than a repaint may.

A newer request replaces one that waits; the one that runs is short, and its answer is passed over.
"""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QObject, Signal

from app.aside import Newest
from core.curves.quantities import Quantity, Sort, all_series, series_of
from core.curves.series import Series
from core.curves.shown import shown
from core.study import SequenceStudy, Study

AT_ONCE = 400
"""Gaps at frames that are measured without a thread: some 15 ms (tests/benchmarks/benchmark_curves.py)."""
Shown = tuple[tuple[Quantity, Series], ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CurveRequest:
    study: Study
    sequence: SequenceStudy
    wanted: tuple[Quantity, ...]
    over: Quantity | None

    @property
    def is_short(self) -> bool:
        gaps = sum(one.sort is Sort.GAP for one in self.wanted)
        return gaps * len(self.sequence.motion.times) <= AT_ONCE

    def answer(self) -> tuple[Shown, Series | None]:
        """The curves that have values, and what they are drawn over, in the aircraft's unit."""
        project = self.study.project
        along = None if self.over is None else series_of(self.study, self.sequence, self.over)
        curves = all_series(self.study, self.sequence, self.wanted)
        return (
            tuple((quantity, shown(project, series)) for quantity, series in curves),
            None if along is None else shown(project, along),
        )


class CurveWork(QObject):
    done = Signal(object, object)
    """Curves, and what they are drawn over, of the newest request."""
    trouble = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._newest = Newest(self)
        self._newest.done.connect(lambda _request, answer: self.done.emit(*answer))
        self._newest.failed.connect(lambda _request, why: self.trouble.emit(why))

    @property
    def working(self) -> bool:
        return self._newest.working

    def ask(self, request: CurveRequest) -> None:
        if request.is_short:
            self._newest.forget()
            self.done.emit(*request.answer())
        else:
            self._newest.ask(request, request.answer)

    def forget(self) -> None:
        """Want no answer any more."""
        self._newest.forget()

    def shut_down(self) -> bool:
        """Wait; True when nothing is measured any more."""
        return self._newest.shut_down()
