"""The values of curves, away from the window's thread where they take longer than a repaint may.

A newer request replaces one that waits; the one that runs is short, and its answer is passed over.
"""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal

from app.study_runner import one_line
from core.curves.quantities import Quantity, Sort, all_series, series_of
from core.curves.series import Series
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
        """The curves that have values, and what they are drawn over."""
        along = None if self.over is None else series_of(self.study, self.sequence, self.over)
        return all_series(self.study, self.sequence, self.wanted), along


class _Answers(QObject):
    """Carries answers across threads; it outlives what asked for them."""

    answered = Signal(object, object, object)
    failed = Signal(object, str)


class _Job(QRunnable):
    def __init__(self, request: CurveRequest, answers: _Answers) -> None:
        super().__init__()
        self.setAutoDelete(False)
        self._request, self._answers = request, answers

    def run(self) -> None:
        try:
            answer = self._request.answer()
        except Exception as error:  # noqa: BLE001 - a fault of the program must not take the thread with it
            self._answers.failed.emit(self._request, one_line(error))
        else:
            self._answers.answered.emit(self._request, *answer)


class CurveWork(QObject):
    done = Signal(object, object)
    """Curves, and what they are drawn over, of the newest request."""
    trouble = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)
        self._newest: CurveRequest | None = None
        self._job: _Job | None = None
        self._answers = _Answers()
        self._answers.answered.connect(self._on_answered)
        self._answers.failed.connect(self._on_failed)

    @property
    def working(self) -> bool:
        return self._newest is not None

    def ask(self, request: CurveRequest) -> None:
        if request.is_short:
            self._newest = None
            self.done.emit(*request.answer())
            return
        self._newest = request
        if self._job is None:
            self._start(request)

    def forget(self) -> None:
        """Want no answer any more."""
        self._newest = None

    def _start(self, request: CurveRequest) -> None:
        self._job = _Job(request, self._answers)
        self._pool.start(self._job)

    def _on_answered(self, request: CurveRequest, shown: Shown, along: Series | None) -> None:
        if self._ends(request):
            self.done.emit(shown, along)

    def _on_failed(self, request: CurveRequest, why: str) -> None:
        if self._ends(request):
            self.trouble.emit(why)

    def _ends(self, request: CurveRequest) -> bool:
        """Whether it is the newest; if not, that one is begun."""
        self._job = None
        if self._newest is request:
            self._newest = None
            return True
        if self._newest is not None:
            self._start(self._newest)
        return False
