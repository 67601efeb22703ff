"""A hand that drags something in a real window, and puts down when the window has followed it.

A repaint ends when the window has put all that it paints with the dragged thing on the screen. A verdict is there when
the window has painted what it says; where it says what stands there already, when that is known. A turn is whatever the
window does between two looks at what the hand did: a move waits for the turn it falls into.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial

import numpy as np
from PySide6.QtCore import QEvent, QEventLoop, QObject, QPointF, Qt, QTimer, Signal
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication, QWidget

from app.main_window import MainWindow
from app.session import Session
from core.document.project import Project
from core.study import Study, run

MOVES_A_SECOND = 60.0
MOVES = 60
PLAYED_FROM = (0.0, 5.0, 10.0)
"""Seconds."""
SETTLED_IN = 0.3
"""Seconds in which whatever follows at its leisure has followed."""


class Window(MainWindow):
    """Tells when it has painted what was to be painted."""

    updated = Signal()

    def event(self, event: QEvent) -> bool:
        done = super().event(event)
        if event.type() == QEvent.Type.UpdateRequest:
            self.updated.emit()
        return done


class Painted(QObject):
    """Notes of what project each thing that it watches was painted last."""

    def __init__(self, session: Session, *watched: QWidget) -> None:
        super().__init__()
        self.session = session
        self.shown: dict[QObject, Project | None] = {}
        for one in watched:
            one.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Paint:
            self.shown[watched] = self.session.shown
        return False


class _Taken(QEvent):
    """Comes once what was to be painted for a study of a project has been: after that nothing waits but timers."""

    KIND = QEvent.Type(QEvent.registerEventType())
    LAST = Qt.EventPriority.LowEventPriority.value - 1

    def __init__(self, project: Project) -> None:
        super().__init__(self.KIND)
        self.project = project


class Verdicts(QObject):
    """Notes of which project the last study was that is on the screen."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session, self.shown, self._asked = session, None, None
        session.study_changed.connect(self._on_study)

    def _on_study(self) -> None:
        project = None if self.session.study is None else self.session.study.project
        if project is not None and project is not self._asked:
            self._asked = project
            QApplication.postEvent(self, _Taken(project), _Taken.LAST)

    def event(self, event: QEvent) -> bool:
        if isinstance(event, _Taken):
            self.shown = event.project
            return True
        return super().event(event)


@dataclass
class Figures:
    repaint: list[float] = field(default_factory=list)
    repaint_spent: list[float] = field(default_factory=list)
    turn_spent: list[float] = field(default_factory=list)
    verdict: list[float] = field(default_factory=list)
    verdict_spent: list[float] = field(default_factory=list)
    compared: int = 0
    alike: int = 0


class Hand:
    """Drags what it holds about a place, and times what the window shows."""

    def __init__(self, window: Window, at: tuple[float, float], spent: Callable[[], float]) -> None:
        self.window, self.at, self.spent = window, at, spent
        self.due: Callable[[], bool] | None = None
        """Whether what is to be timed has been painted; None while nothing is."""
        self.ended = (0.0, 0.0)
        """By the clock on the wall, and as this thread's processor time."""
        window.updated.connect(self._on_updated)
        self.canvas = window.sheet.canvases[0]
        self.painted, self.verdicts = Painted(window.session, self.canvas), Verdicts(window.session)
        self.figures = Figures()
        self.tick = QTimer()
        self.tick.setTimerType(Qt.TimerType.PreciseTimer)

    def place(self, number: int) -> tuple[float, float]:
        """A circle that grows a little: no two moves are alike."""
        turn = 2.0 * np.pi * number / 24.0
        far = 0.4 + 0.002 * number
        return (self.at[0] + far * float(np.cos(turn)), self.at[1] + far * float(np.sin(turn)))

    def mouse(self, kind: QEvent.Type, at: tuple[float, float]) -> None:
        pixel = self.canvas.placement.to_device(*at)
        left, none = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton
        button = none if kind is QEvent.Type.MouseMove else left
        event = QMouseEvent(
            kind, QPointF(pixel), QPointF(self.canvas.mapToGlobal(pixel)), button, left, Qt.KeyboardModifier.AltModifier
        )
        QApplication.sendEvent(self.canvas, event)

    def waits(self) -> None:
        """One move after another, each followed to its verdict."""
        self.mouse(QEvent.Type.MouseButtonPress, self.at)
        for number in range(MOVES):
            spent = self.spent()
            begin = self._move(number)
            shown = self.window.session.shown
            self._until(lambda shown=shown: self.verdicts.shown is shown)
            self.figures.verdict.append(1000.0 * (time.perf_counter() - begin))
            self.figures.verdict_spent.append(1000.0 * (self.spent() - spent))
            if number % 10 == 0:
                self._compare()
        self._let_go(MOVES)

    def goes_on(self) -> None:
        """Moves at a steady rate, whether or not a verdict has come."""
        session = self.window.session
        drafts: list[tuple[object, float]] = []
        self.mouse(QEvent.Type.MouseButtonPress, self.at)
        told = -1
        self.tick.start(1)
        start = time.perf_counter()
        for number in range(MOVES):
            due = start + number / MOVES_A_SECOND
            while time.perf_counter() < due:
                self._turn()
                told = self._note(drafts, told)
            begin = self._move(number)
            drafts.append((session.shown, begin))
            told = self._note(drafts, told)
        while told < len(drafts) - 1:
            self._turn()
            told = self._note(drafts, told)
        self.tick.stop()
        self._let_go(MOVES)

    def plays(self) -> None:
        """It plays by its own clock from several places of the sequence, with everything that shows it. A frame is
        timed from its moment to the screen; what is spent is all that is done from one frame to the next."""
        session, playback = self.window.session, self.window.playback
        begun, frames = [0.0], []

        def begin(_moment: float) -> None:
            begun[0] = time.perf_counter()

        def end() -> None:
            if self.canvas in self.painted.shown:
                self.painted.shown.clear()
                frames.append((1000.0 * (time.perf_counter() - begun[0]), 1000.0 * time.thread_time()))

        session.moment_changed.connect(begin)
        self.window.updated.connect(end)
        for start in PLAYED_FROM:
            session.set_moment(start)
            self._settle()
            frames.clear()
            playback.play()
            self._until(lambda: len(frames) > MOVES)
            playback.pause()
            self.figures.repaint += [wall for wall, _ in frames[1:]]
            self.figures.repaint_spent += np.diff([spent for _, spent in frames]).tolist()
        self.window.updated.disconnect(end)
        session.moment_changed.disconnect(begin)

    def _move(self, number: int) -> float:
        """Move the hand, and wait until what it drags is painted; when that began."""
        session = self.window.session
        return self._timed(
            partial(self.mouse, QEvent.Type.MouseMove, self.place(number)),
            lambda: self.painted.shown.get(self.canvas) is session.shown,
        )

    def _timed(self, does: Callable[[], object], painted: Callable[[], bool]) -> float:
        """Do something, and put down how long it is until that is painted; when it began."""
        begin, spent = time.perf_counter(), time.thread_time()
        self.due = painted
        does()
        self._until(lambda: self.due is None)
        self.figures.repaint.append(1000.0 * (self.ended[0] - begin))
        self.figures.repaint_spent.append(1000.0 * (self.ended[1] - spent))
        return begin

    def _on_updated(self) -> None:
        if self.due is not None and self.due():
            self.due = None
            self.ended = (time.perf_counter(), time.thread_time())

    def _note(self, drafts: list[tuple[object, float]], told: int) -> int:
        """Put down the latency of every move whose verdict is painted."""
        number = next((n for n, (draft, _) in enumerate(drafts) if draft is self.verdicts.shown), told)
        now = time.perf_counter()
        for _, begin in drafts[told + 1 : number + 1]:
            self.figures.verdict.append(1000.0 * (now - begin))
        return max(told, number)

    def _let_go(self, number: int) -> None:
        self.mouse(QEvent.Type.MouseButtonRelease, self.place(number - 1))
        self._until(lambda: self.window.session.study_current)
        self.window.session.undo()
        self._until(lambda: self.window.session.study_current)

    def _compare(self) -> None:
        study = self.window.session.study
        assert study is not None
        self.figures.compared += 1
        self.figures.alike += verdict(study) == verdict(run(study.project))

    def _until(self, done: Callable[[], bool]) -> None:
        while not done():
            self._turn()

    def _turn(self) -> None:
        """As the window's own loop does it: wait for something, and do it."""
        flags = QEventLoop.ProcessEventsFlag
        spent = time.thread_time()
        QApplication.processEvents(flags.AllEvents | flags.WaitForMoreEvents)
        self.figures.turn_spent.append(1000.0 * (time.thread_time() - spent))

    def _settle(self) -> None:
        """Have done whatever waits to be done."""
        end = time.perf_counter() + SETTLED_IN
        while time.perf_counter() < end:
            QApplication.processEvents()


def verdict(study: Study) -> list[tuple[object, ...]]:
    """Every finding, by what it is about and how bad it is to a thousandth."""
    return sorted(
        (one.kind.name, one.bodies, one.connections, round(one.amount or 0.0, 3))
        for sequence in study.sequences
        for one in sequence.findings
    )
