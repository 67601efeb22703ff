"""A film of poses played to and fro on the sheet, as a ghost beside what stands still."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QElapsedTimer, QObject, Qt, QTimer

from app.sheet.moment import ShownMoment

INTERVAL_MS = 40
PERIOD_MS = 2400.0
"""There and back."""


class Swing(QObject):
    def __init__(self, shown: ShownMoment, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._shown = shown
        self._film: NDArray[np.float64] | None = None
        self._clock = QElapsedTimer()
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.setInterval(INTERVAL_MS)
        self._timer.timeout.connect(self._show)

    @property
    def running(self) -> bool:
        return self._timer.isActive()

    def play(self, film: NDArray[np.float64] | None) -> None:
        """(N, B, 3) from one end to the other, begun in the middle; None to stop."""
        self._film = film
        if film is None or len(film) == 0:
            self._timer.stop()
            self._shown.show_ghost(None)
            return
        self._clock.start()
        self._timer.start()
        self._show()

    def _show(self) -> None:
        if self._film is not None:
            self._shown.show_ghost(self._film[place_at(float(self._clock.elapsed()), len(self._film))])


def place_at(milliseconds: float, count: int) -> int:
    """Which pose of a film is seen: as a pendulum goes, from the middle."""
    share = 0.5 + 0.5 * math.sin(2.0 * math.pi * milliseconds / PERIOD_MS)
    return round(share * (count - 1))
