"""Pure calls away from the window's thread, one after another: each answers to what asked for it.

What is asked carries all that the call needs, and shares nothing with the window. Who asks anew may forget what still
waits; whether an answer is still wanted is for who asked to say.
"""

from __future__ import annotations

import threading
from collections.abc import Callable

from PySide6.QtCore import QObject, QThreadPool, Signal

from core.errors import BayfoldError

PATIENCE_MS = 5000


def unforeseen(error: BaseException) -> str:
    """An error that nobody thought of in one line: its kind, and what it says."""
    says = " ".join(str(error).split())
    return f"{type(error).__name__}: {says}" if says else type(error).__name__


class _Answers(QObject):
    """Carries answers across threads; Qt queues what another thread emits."""

    done = Signal(object, object)
    failed = Signal(object, str)


class _Job:
    """One call. Nothing holds it once it is answered, nor what it was asked for."""

    def __init__(self, asked: object, work: Callable[[], object], answers: _Answers) -> None:
        self.asked = asked
        self._work, self._answers = work, answers
        self._taken = threading.Lock()
        """Whoever takes it first, who runs the call or who forgets it, has it for good."""

    def forget(self) -> bool:
        """Have it not begun; False where it is."""
        return self._taken.acquire(blocking=False)

    def run(self) -> None:
        if not self._taken.acquire(blocking=False):
            return
        try:
            answer = self._work()
        except (BayfoldError, OSError) as error:
            self._answers.failed.emit(self, " ".join(str(error).split()))
        except Exception as error:  # noqa: BLE001 - a fault of the program must not take the window, or the thread, with it
            self._answers.failed.emit(self, unforeseen(error))
        else:
            self._answers.done.emit(self, answer)


class Aside(QObject):
    done = Signal(object, object)
    """What was asked, and the answer."""
    failed = Signal(object, str)
    """What was asked, and why there is no answer, in one line."""

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

    def ask(self, asked: object, work: Callable[[], object]) -> None:
        job = _Job(asked, work, self._answers)
        self._jobs.add(job)
        self._pool.start(job.run)  # a QRunnable would be held by the pool for ever

    def forget_waiting(self) -> None:
        """Begin nothing that has not begun."""
        self._jobs = {job for job in self._jobs if not job.forget()}

    def shut_down(self) -> bool:
        """Begin nothing more and wait for what is under way; True when nothing runs any more."""
        self.forget_waiting()
        return self.finish()

    def finish(self) -> bool:
        """Wait for all that was asked; True when it is done. What takes longer is done before the program ends."""
        return self._pool.waitForDone(PATIENCE_MS)

    def _on_done(self, job: _Job, answer: object) -> None:
        self._jobs.discard(job)
        self.done.emit(job.asked, answer)

    def _on_failed(self, job: _Job, why: str) -> None:
        self._jobs.discard(job)
        self.failed.emit(job.asked, why)


class Newest(QObject):
    """Work of which only what was asked last counts: what was asked before that is not begun, or not answered."""

    done = Signal(object, object)
    """What was asked, and the answer."""
    failed = Signal(object, str)
    """What was asked, and why there is no answer, in one line."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._asked: object = None
        self._aside = Aside(self)
        self._aside.done.connect(self._on_done)
        self._aside.failed.connect(self._on_failed)

    @property
    def asked(self) -> object:
        """What an answer is still to come to; None where to nothing."""
        return self._asked

    @property
    def working(self) -> bool:
        return self._asked is not None

    def ask(self, asked: object, work: Callable[[], object]) -> None:
        self._aside.forget_waiting()
        self._asked = asked
        self._aside.ask(asked, work)

    def forget(self) -> None:
        """Want no answer any more."""
        self._asked = None
        self._aside.forget_waiting()

    def shut_down(self) -> bool:
        """Wait; True when nothing runs any more."""
        self.forget()
        return self._aside.shut_down()

    def _on_done(self, asked: object, answer: object) -> None:
        if asked is self._asked:
            self._asked = None
            self.done.emit(asked, answer)

    def _on_failed(self, asked: object, why: str) -> None:
        if asked is self._asked:
            self._asked = None
            self.failed.emit(asked, why)
