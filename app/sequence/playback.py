"""Playing a sequence: the moment follows the clock, so a slow repaint drops frames and never slows the motion.

It goes by ticks of the clock that are known beforehand, so that what is to be shown can be solved many moments at once.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QElapsedTimer, QObject, Qt, QTimer, Signal

from app.session import Session
from app.uses import Switches, Uses
from core.motion.schedule import frame_times
from core.units.times import model_seconds

INTERVAL_MS = 16
"""A tick."""
AHEAD = 64
"""Ticks that are foreseen: to solve so many moments takes hardly longer than to solve one."""
SPEEDS = (0.05, 0.1, 0.25, 0.5, 1.0, 2.0)
"""Seconds of the model that a second of the clock shows."""
NEXT = 1.001
"""The next speed is faster or slower by more than this."""
TINY = 1e-9
"""Seconds within which a moment counts as the frame's own."""


@dataclass(frozen=True, slots=True)
class Ticks:
    """Moments at a steady pace from one on, seconds."""

    begin: float
    pace: float

    def __getitem__(self, number: int) -> float:
        return self.begin + number * self.pace


class Playback(QObject):
    """Moves the session's moment: at speed, in a loop, backwards, and frame by frame."""

    changed = Signal()
    """Playing, looping, direction or speed."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._clock = QElapsedTimer()
        self._ticks, self._tick = Ticks(0.0, 0.0), 0
        """From when the clock was started, and the last that was shown."""
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.setInterval(INTERVAL_MS)
        self._timer.timeout.connect(self._on_timeout)
        self._looping = False
        self._backwards = False
        self._speed = 1.0
        self._as_prototype = False
        session.project_opened.connect(self.pause)
        session.sequence_changed.connect(self.pause)
        session.ahead = self.ahead

    @property
    def playing(self) -> bool:
        return self._timer.isActive()

    @property
    def looping(self) -> bool:
        return self._looping

    @property
    def backwards(self) -> bool:
        return self._backwards

    @property
    def speed(self) -> float:
        """Seconds of the model that a second of the clock shows."""
        project = self._session.shown
        return model_seconds(1.0, project.aircraft.scale) if self._as_prototype and project is not None else self._speed

    @property
    def as_prototype(self) -> bool:
        """Whether it takes as long as on the prototype, by the square root of the scale, whatever the scale is."""
        return self._as_prototype

    @property
    def uses(self) -> Uses:
        """What its actions do, by their ids in the table."""
        return {
            "play": self.toggle,
            "slower": lambda: self.change_speed(-1),
            "faster": lambda: self.change_speed(1),
            "to-start": self.go_to_start,
            "frame-back": lambda: self.step(-1),
            "frame-on": lambda: self.step(1),
            "to-end": self.go_to_end,
        }

    @property
    def switches(self) -> Switches:
        """What its checkable actions do when they are put on or off."""
        return {"backwards": self.set_backwards, "loop": self.set_looping, "prototype-time": self.set_as_prototype}

    # ---- at speed ------------------------------------------------------------------------------------------------

    def play(self) -> None:
        if self._seconds <= 0:
            return
        if self._at_far_end():
            self._session.set_moment(self._seconds if self._backwards else 0.0)
        self._begin()
        self._timer.start()
        self.changed.emit()

    def pause(self) -> None:
        if self.playing:
            self._timer.stop()
            self.changed.emit()

    def toggle(self) -> None:
        if self.playing:
            self.pause()
        else:
            self.play()

    def set_looping(self, looping: bool) -> None:
        if looping != self._looping:
            self._looping = looping
            self.changed.emit()

    def set_backwards(self, backwards: bool) -> None:
        if backwards != self._backwards:
            self._backwards = backwards
            self.changed.emit()

    def change_speed(self, way: int) -> None:
        """The next faster speed (way 1), or the next slower one (way -1), where there is one."""
        now = self.speed
        faster, slower = (one for one in SPEEDS if one > now * NEXT), (one for one in SPEEDS[::-1] if one * NEXT < now)
        wanted = next(faster if way > 0 else slower, None)
        if wanted is not None:
            self.set_speed(wanted)

    def set_speed(self, speed: float) -> None:
        if speed != self._speed or self._as_prototype:
            self._speed, self._as_prototype = speed, False
            self.changed.emit()

    def set_as_prototype(self, on: bool) -> None:
        """Take as long as on the prototype, or the model's own time."""
        if on != self._as_prototype:
            self._speed, self._as_prototype = 1.0, on
            self.changed.emit()

    def ahead(self) -> tuple[float, ...]:
        """The moments of the next ticks; none while it does not play."""
        if not self.playing:
            return ()
        coming = (self._ticks[self._tick + number] for number in range(1, AHEAD + 1))
        return tuple(one for one in coming if 0.0 <= one <= self._seconds)

    @property
    def _pace(self) -> float:
        """Seconds of the model in a second of the clock, below nought backwards."""
        return -self.speed if self._backwards else self.speed

    def _begin(self) -> None:
        """Count ticks from the moment that is shown, and from now on."""
        self._ticks, self._tick = Ticks(self._session.moment, self._pace * INTERVAL_MS / 1000.0), 0
        self._clock.start()

    def _on_timeout(self) -> None:
        if self._ticks.pace != self._pace * INTERVAL_MS / 1000.0 or self._ticks[self._tick] != self._session.moment:
            self._begin()  # another speed, or somebody has gone to another moment
        self._tick = (self._clock.elapsed() + INTERVAL_MS // 2) // INTERVAL_MS
        self._go_on(self._ticks[self._tick])

    def _go_on(self, wanted: float) -> None:
        seconds = self._seconds
        if 0.0 <= wanted <= seconds:
            self._session.set_moment(wanted)
        elif self._looping and seconds > 0:
            self._session.set_moment(wanted % seconds)
        else:
            self._session.set_moment(min(max(0.0, wanted), seconds))
            self.pause()

    # ---- by hand -------------------------------------------------------------------------------------------------

    def go_to(self, moment: float) -> None:
        """Stop and stand at a moment."""
        self.pause()
        self._session.set_moment(moment)

    def step(self, frames: int) -> None:
        """Stand at the frame that is so many frames on; from between two frames the nearest one that way."""
        schedule = self._session.schedule
        if schedule is None:
            return
        times = frame_times(schedule)
        moment = self._session.moment
        if frames > 0:
            index = int(np.searchsorted(times, moment + TINY, side="right")) - 1 + frames
        else:
            index = int(np.searchsorted(times, moment - TINY, side="left")) + frames
        self.go_to(float(times[min(max(0, index), len(times) - 1)]))

    def go_to_start(self) -> None:
        self.go_to(0.0)

    def go_to_end(self) -> None:
        self.go_to(self._seconds)

    @property
    def _seconds(self) -> float:
        schedule = self._session.schedule
        return schedule.seconds if schedule is not None else 0.0

    def _at_far_end(self) -> bool:
        return self._session.moment <= 0.0 if self._backwards else self._session.moment >= self._seconds
