"""Small pieces of slow work away from the window's thread, one after another, each answering with a line to say."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal

from app.study_runner import PATIENCE_MS, one_line
from core.errors import BayfoldError

Errand = Callable[[], str]
"""Does the work and answers what is said of it when it is done; shares nothing with the window."""


class _Answers(QObject):
    done = Signal(object, str)
    failed = Signal(object, str)


class _Job(QRunnable):
    def __init__(self, errand: Errand, answers: _Answers) -> None:
        super().__init__()
        self.setAutoDelete(False)
        self._errand, self._answers = errand, answers

    def run(self) -> None:
        try:
            said = self._errand()
        except (BayfoldError, OSError) as error:
            self._answers.failed.emit(self, " ".join(str(error).split()))
        except Exception as error:  # noqa: BLE001 - a fault of the program must not take the window with it
            self._answers.failed.emit(self, one_line(error))
        else:
            self._answers.done.emit(self, said)


class Errands(QObject):
    done = Signal(str)
    failed = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)
        self._answers = _Answers(self)
        self._answers.done.connect(self._on_done)
        self._answers.failed.connect(self._on_failed)
        self._jobs: set[_Job] = set()

    @property
    def busy(self) -> bool:
        return bool(self._jobs)

    def run(self, errand: Errand) -> None:
        job = _Job(errand, self._answers)
        self._jobs.add(job)
        self._pool.start(job)

    def shut_down(self) -> bool:
        """Wait for what is under way; True when nothing runs any more."""
        self._pool.clear()
        return self._pool.waitForDone(PATIENCE_MS)

    def _on_done(self, job: _Job, said: str) -> None:
        self._jobs.discard(job)
        self.done.emit(said)

    def _on_failed(self, job: _Job, why: str) -> None:
        self._jobs.discard(job)
        self.failed.emit(why)
