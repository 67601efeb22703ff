"""Studies away from the window's thread: a request that carries all it needs, a pure call, a response by signal.

A newer request replaces an older one, whether that is running or still waiting. While the hand drags something, what
is running goes on to its end: were it stopped at every move, no verdict would come before the hand rests. Whoever makes
studies elsewhere may begin the next one before this one is shown. Of several sequences only the one that is looked at
follows the hand; the others are studied when it rests.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from typing import Protocol

from PySide6.QtCore import QObject, Signal

from app.aside import Aside
from app.session import Session
from core.document.project import Project
from core.errors import CheckCancelled
from core.study import Asked, Study, run


class Work(Protocol):
    def __call__(
        self,
        asked: Asked,
        /,
        *,
        previous: Study | None,
        cancelled: Callable[[], bool],
        newer: Callable[[], Asked | None],
    ) -> Study: ...


def run_here(
    asked: Asked,
    /,
    *,
    previous: Study | None,
    cancelled: Callable[[], bool],
    newer: Callable[[], Asked | None],  # noqa: ARG001
) -> Study:
    """By the thread that asks, which begins nothing else meanwhile."""
    return run(asked.project, looked_at=asked.looked_at, previous=previous, cancelled=cancelled)


@dataclass(slots=True, eq=False)
class _Request:
    asked: Asked
    """What is studied: a project, or a draft..."""
    of: Project | None
    """...of this one."""
    previous: Study | None
    stop: threading.Event = field(default_factory=threading.Event)
    ahead: Asked | None = None
    """What is begun already, to be studied next; noted by the thread that waits for this one."""

    @property
    def project(self) -> Project:
        return self.asked.project


class StudyRunner(QObject):
    """Keeps the session's study up with what is shown: the project, or what the hand would make of it."""

    state_changed = Signal()
    """`working` changed."""

    def __init__(self, session: Session, *, work: Work = run_here, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session, self._work = session, work
        self._aside = Aside(self)
        self._aside.done.connect(self._on_done)
        self._aside.failed.connect(self._on_failed)
        self._running: _Request | None = None
        self._waiting: Asked | None = None
        self._newest: Study | None = None
        """From which the next one takes over what stayed the same; it may never have been shown."""
        self._closed = False
        session.shown_changed.connect(self.request)
        session.rested.connect(self.request)

    @property
    def working(self) -> bool:
        return self._running is not None

    def request(self) -> None:
        """Study what is shown as it is now; nothing where that is studied already, whatever was under way."""
        project = self._session.shown
        if project is None or self._closed:
            return
        asked, running = Asked(project, self._looked_at()), self._running
        if running is not None and not running.stop.is_set() and _answers(running.asked, asked):
            self._waiting = None
            return
        self._waiting = None if self._is_known(asked) else asked
        if running is None:
            self._start_waiting()
        elif running.project is not project and not self._follows(running):
            running.stop.set()
        self.state_changed.emit()

    def _looked_at(self) -> str | None:
        """The sequence that cannot wait while the hand moves."""
        project, sequence = self._session.shown, self._session.sequence
        others = project is not None and len(project.sequences) > 1
        return sequence.id if others and sequence is not None and self._session.moving else None

    def _is_known(self, asked: Asked) -> bool:
        study = self._session.study
        if study is None or study.project is not asked.project:
            return False
        return not study.behind or (asked.looked_at is not None and asked.looked_at not in study.behind)

    def _follows(self, request: _Request) -> bool:
        """Whether it is of what the hand has in mind, or had a moment ago, and no longer than it has to be."""
        brief = request.asked.looked_at is not None or len(request.project.sequences) < 2
        sensible = self._session.drafting and not self._session.senseless
        return brief and sensible and request.of is self._session.project

    def shut_down(self) -> bool:
        """Cancel and wait; True when nothing runs any more."""
        self._closed, self._waiting = True, None
        if self._running is not None:
            self._running.stop.set()
        return self._aside.shut_down()

    def _start_waiting(self) -> None:
        asked, self._waiting = self._waiting, None
        if asked is not None:
            self._start(_Request(asked, self._session.project, self._newest))

    def _start_begun(self, asked: Asked, of: Project | None) -> None:
        """Go on with what is begun already, or end it where it is not wanted any more."""
        if self._waiting is asked:
            self._waiting = None
        request = _Request(asked, of, self._newest)
        if not self._is_wanted(request):
            request.stop.set()
        self._start(request)

    def _start(self, request: _Request) -> None:
        if not self._closed:
            self._running = request
            self._aside.ask(request, partial(self._run, request))

    def _run(self, request: _Request) -> Study | None:
        """None where it was stopped."""
        try:
            return self._work(
                request.asked,
                previous=request.previous,
                cancelled=request.stop.is_set,
                newer=partial(self._newer, request),
            )
        except CheckCancelled:
            return None

    def _newer(self, request: _Request) -> Asked | None:
        """What is to be begun after a request at once; asked by the thread that waits for it."""
        request.ahead = None if request.stop.is_set() or self._closed else self._waiting
        return request.ahead

    def _on_done(self, request: _Request, study: Study | None) -> None:
        self._newest = study or self._newest
        if self._ends(request) and study is not None and self._is_wanted(request):
            self._session.put_study(study)
            if study.behind and not self._session.moving:
                self.request()
        self.state_changed.emit()

    def _is_wanted(self, request: _Request) -> bool:
        return request.project is self._session.shown or self._follows(request)

    def _on_failed(self, request: _Request, why: str) -> None:
        if self._ends(request) and request.project is self._session.shown:
            self._session.put_failure(why)
        self.state_changed.emit()

    def _ends(self, request: _Request) -> bool:
        """Put a finished request away and start the one that waits; False when it was not the one running."""
        if request is not self._running:
            return False
        self._running = None
        if request.ahead is not None:
            self._start_begun(request.ahead, request.of)
        else:
            self._start_waiting()
        return not self._closed


def _answers(one: Asked, asked: Asked) -> bool:
    """Whether a study that is asked for is enough for what is asked now."""
    return one.project is asked.project and one.looked_at in (None, asked.looked_at)
