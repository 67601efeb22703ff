"""A clock that a test sets, in the place of Qt's: what goes by it does not depend on how busy the machine is."""

from __future__ import annotations

from app.sequence.playback import Playback


class Clock:
    """Goes on when it is told to, and by `step` milliseconds whenever it is looked at."""

    def __init__(self, step: int = 0) -> None:
        self.now = self.begun = 0
        self.step = step

    def start(self) -> None:
        self.begun = self.now

    def elapsed(self) -> int:
        self.now += self.step
        return self.now - self.begun


def wound(playback: Playback) -> Clock:
    """Have a playback go by a clock of its own, and only when `go_on` says so."""
    playback._timer.setInterval(3_600_000)
    playback._clock = clock = Clock()
    return clock


def go_on(playback: Playback, clock: Clock, milliseconds: int) -> float:
    """The moment after so many milliseconds."""
    clock.now += milliseconds
    playback._on_timeout()
    return playback._session.moment
