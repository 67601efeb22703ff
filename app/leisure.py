"""Work that may wait until the window has painted what the hand does: one piece at a time, so that the next move of the
hand waits for one piece at the most.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QObject, QTimer

LATEST_MS = 50
"""After so long the piece that waited longest is done, however busy the hand keeps the window."""
Work = Callable[[], object]


class Leisure(QObject):
    """Pieces of work in the order in which they were asked for, each once, however often it was."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._waiting: dict[Work, None] = {}
        self._idle, self._late = self._timer(0), self._timer(LATEST_MS)
        """Qt runs out the one when nothing else is to be done: no paint, no key, no move of the hand."""

    def _timer(self, interval: int) -> QTimer:
        timer = QTimer(self)
        timer.setSingleShot(True)
        timer.setInterval(interval)
        timer.timeout.connect(self._do_next)
        return timer

    def ask(self, work: Work) -> None:
        self._waiting[work] = None
        self._go_on()

    def drop(self, work: Work, _gone: object = None) -> None:
        """Have it done no more, if it waits."""
        self._waiting.pop(work, None)

    def _do_next(self) -> None:
        self._late.stop()
        work = next(iter(self._waiting), None)
        if work is not None:
            del self._waiting[work]
            self._go_on()  # before it is done: it may fail, and the rest still waits
            work()

    def _go_on(self) -> None:
        if self._waiting:
            self._idle.start()
            if not self._late.isActive():
                self._late.start()


class Follower(QObject):
    """Does its work when it is told that something is another now: at once, or at leisure where that is `hurried`; but
    at once even so where what it shows as checked is so no longer."""

    def __init__(
        self, owner: QObject, work: Work, leisure: Leisure, *, hurried: Callable[[], bool], checked: Callable[[], bool]
    ) -> None:
        super().__init__(owner)
        self._work, self._leisure = work, leisure
        self._hurried, self._checked = hurried, checked
        self._shows_checked = False
        owner.destroyed.connect(partial(leisure.drop, self.follow))

    def look(self) -> None:
        overtaken = self._shows_checked and not self._checked()
        if self._hurried() and not overtaken:
            self._leisure.ask(self.follow)
        else:
            self._leisure.drop(self.follow)
            self.follow()

    def follow(self) -> None:
        self._shows_checked = self._checked()
        self._work()
