"""Studies away from the window's thread: a request that carries all it needs, a pure call, a response by signal.

A newer request replaces an older one, whether that is running or still waiting.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, field

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal

from app.session import Session
from core.document.project import Project
from core.errors import BayfoldError
from core.study import Study, StudyCancelled, run

Work = Callable[..., Study]
PATIENCE_MS = 5000


@dataclass(frozen=True, slots=True, eq=False)
class _Request:
    project: Project
    previous: Study | None
    stop: threading.Event = field(default_factory=threading.Event)


class _Answers(QObject):
    """Carries responses across threads; Qt queues what another thread emits."""

    done = Signal(object, object)
    failed = Signal(object, str)
    stopped = Signal(object)


class _Job(QRunnable):
    def __init__(self, request: _Request, answers: _Answers, work: Work) -> None:
        super().__init__()
        self.setAutoDelete(False)
        self._request, self._answers, self._work = request, answers, work

    def run(self) -> None:
        request = self._request
        try:
            study = self._work(request.project, previous=request.previous, cancelled=request.stop.is_set)
        except StudyCancelled:
            self._answers.stopped.emit(request)
        except BayfoldError as error:
            self._answers.failed.emit(request, str(error))
        except Exception as error:  # noqa: BLE001 - a fault of the program must not take the window, or the thread, with it
            self._answers.failed.emit(request, one_line(error))
        else:
            self._answers.done.emit(request, study)


def one_line(error: BaseException) -> str:
    """An unforeseen error in one line: its kind, and what it says."""
    says = " ".join(str(error).split())
    return f"{type(error).__name__}: {says}" if says else type(error).__name__


class StudyRunner(QObject):
    """Keeps the session's study up with its project."""

    state_changed = Signal()
    """`working` changed."""

    def __init__(self, session: Session, *, work: Work = run, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session, self._work = session, work
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)
        self._answers = _Answers(self)
        self._answers.done.connect(self._on_done)
        self._answers.failed.connect(self._on_failed)
        self._answers.stopped.connect(self._on_stopped)
        self._running: _Request | None = None
        self._job: _Job | None = None
        self._waiting: Project | None = None
        self._closed = False
        session.project_changed.connect(self.request)

    @property
    def working(self) -> bool:
        return self._running is not None

    def request(self) -> None:
        """Study the session's project as it is now."""
        project = self._session.project
        if project is None or self._closed or (self._session.study_current and self._running is None):
            return
        self._waiting = project
        if self._running is not None:
            self._running.stop.set()
        else:
            self._start_waiting()
        self.state_changed.emit()

    def shut_down(self) -> bool:
        """Cancel and wait; True when nothing runs any more."""
        self._closed, self._waiting = True, None
        if self._running is not None:
            self._running.stop.set()
        return self._pool.waitForDone(PATIENCE_MS)

    def _start_waiting(self) -> None:
        project, self._waiting = self._waiting, None
        if project is None or self._closed:
            return
        self._running = _Request(project, self._session.study)
        self._job = _Job(self._running, self._answers, self._work)
        self._pool.start(self._job)

    def _on_done(self, request: _Request, study: Study) -> None:
        if self._ends(request) and request.project is self._session.project:
            self._session.put_study(study)
        self.state_changed.emit()

    def _on_failed(self, request: _Request, why: str) -> None:
        if self._ends(request) and request.project is self._session.project:
            self._session.put_failure(why)
        self.state_changed.emit()

    def _on_stopped(self, request: _Request) -> None:
        self._ends(request)
        self.state_changed.emit()

    def _ends(self, request: _Request) -> bool:
        """Put a finished request away and start the one that waits; False when it was not the one running."""
        if request is not self._running:
            return False
        self._running, self._job = None, None
        self._start_waiting()
        return not self._closed
