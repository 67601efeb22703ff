"""Models built away from the window's thread: how many would work, kept up with the aircraft while somebody looks."""

from __future__ import annotations

import threading
from dataclasses import dataclass, field
from functools import partial

from PySide6.QtCore import QObject, Signal

from app.aside import Newest
from app.session import Session
from core.document.project import Project
from core.study import SequenceStudy, Study
from core.tolerance.spread import MODELS, Spreads, spread


class _Stopped(Exception):
    """Nobody wants these models any more."""


@dataclass(frozen=True, slots=True, eq=False)
class _Request:
    study: Study
    sequence: SequenceStudy
    stop: threading.Event = field(default_factory=threading.Event)

    def is_of(self, other: _Request | None) -> bool:
        """Whether both are of the same sequence of the same study."""
        return other is not None and self.study is other.study and self.sequence is other.sequence


class Building(QObject):
    changed = Signal()
    """What was found, or how the work stands."""
    progressed = Signal(float)
    """How much is done, 0 to 1."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._newest = Newest(self)
        self._newest.done.connect(lambda request, found: self._end(request, found, ""))
        self._newest.failed.connect(lambda request, why: self._end(request, None, why))
        self._built: _Request | None = None
        """What the models that were built last are of, or could not be built of."""
        self._declined: _Request | None = None
        """What somebody stopped building."""
        self._kept: tuple[tuple[_Request, Spreads], ...] = ()
        """What was found of each sequence of one study, for whoever looks from one to another and back."""
        self._found: Spreads | None = None
        self._failure = ""
        self._watched = False
        session.study_changed.connect(self._keep_up)
        session.sequence_changed.connect(self._keep_up)
        session.project_opened.connect(self._forget)

    # ---- what there is -------------------------------------------------------------------------------------------

    @property
    def found(self) -> Spreads | None:
        """What became of the models that were built last; of another state of the aircraft where `outdated`."""
        return self._found

    @property
    def project(self) -> Project | None:
        """The aircraft that they were built of."""
        return None if self._built is None else self._built.study.project

    @property
    def failure(self) -> str:
        """Why none could be built, in one line; empty where they could."""
        return self._failure

    @property
    def working(self) -> bool:
        return self._newest.working

    @property
    def outdated(self) -> bool:
        """Whether what was found is of another sequence, or of the aircraft as it was."""
        now = self._now()
        return self._found is not None and (now is None or not now.is_of(self._built))

    @property
    def possible(self) -> bool:
        """Whether there is a sequence that has been checked, of which models can be built."""
        return self._now() is not None

    @property
    def _running(self) -> _Request | None:
        asked = self._newest.asked
        return asked if isinstance(asked, _Request) else None

    def _now(self) -> _Request | None:
        """What models would be built of now; None while that is being checked, or the hand is at it."""
        study, sequence = self._session.sound, self._session.sequence
        if study is None or sequence is None or self._session.drafting:
            return None
        found = study.sequence(sequence.id)
        return None if found is None else _Request(study, found)

    # ---- the work ------------------------------------------------------------------------------------------------

    def watch(self, on: bool) -> None:
        """Keep models built from now on, or no longer."""
        self._watched = on
        if on:
            self._keep_up()
        else:
            self._give_up()

    def build(self) -> None:
        """Build models of the sequence that is looked at; what is under way is given up."""
        now = self._now()
        if now is not None:
            self._give_up()
            self._newest.ask(now, partial(self._work, now))
            self.changed.emit()

    def stop(self) -> None:
        """Give up what is under way, until something changes or it is asked for."""
        if self._running is not None:
            self._declined = self._running
            self._give_up()
            self.changed.emit()

    def shut_down(self) -> bool:
        """Cancel and wait; True when nothing runs any more."""
        self._watched = False
        self._give_up()
        return self._newest.shut_down()

    def _give_up(self) -> None:
        if self._running is not None:
            self._running.stop.set()
            self._newest.forget()

    def _keep_up(self) -> None:
        now = self._now()
        if self._running is not None and not self._session.drafting and not self._running.is_of(now):
            self._give_up()
        if now is not None and self._running is None:
            self._take_kept(now)
        known = now is None or any(now.is_of(one) for one in (self._running, self._built, self._declined))
        if self._watched and not known:
            self.build()
        else:
            self.changed.emit()

    def _take_kept(self, now: _Request) -> None:
        for request, found in self._kept:
            if now.is_of(request):
                self._built, self._found, self._failure = request, found, ""

    def _work(self, request: _Request) -> Spreads | None:
        """Away from the window's thread; None where it was stopped."""

        def tell(share: float) -> None:
            if request.stop.is_set():
                raise _Stopped
            self.progressed.emit(share)

        try:
            return spread(request.study, request.sequence, models=MODELS, progress=tell)
        except _Stopped:
            return None

    def _end(self, request: _Request, found: Spreads | None, why: str) -> None:
        self._built = request
        self._found, self._failure = found, why
        self._kept = tuple(one for one in self._kept if one[0].study is request.study)
        if found is not None:
            self._kept = (*self._kept, (request, found))
        self.changed.emit()

    def _forget(self) -> None:
        self._give_up()
        self._built, self._declined, self._kept = None, None, ()
        self._found, self._failure = None, ""
        self.changed.emit()
