"""The way that a pull has come, and the swing back along it to where the sequence has everything."""

from __future__ import annotations

import math

from PySide6.QtCore import QElapsedTimer, QObject, Qt, QTimer, Signal
from PySide6.QtWidgets import QApplication, QStyle

from core.geometry.planar import Floats

SWING_MS = 200.0
"""How long the way back takes."""
INTERVAL_MS = 12
TRAIL = 400
"""Poses that are kept of the way, of which every other one is left out when they are more."""


class WayBack(QObject):
    passed = Signal(object)
    """(B, 3) poses on the way back."""
    ended = Signal()
    """It is back."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._trail: list[Floats] = []
        self._clock, self._timer = QElapsedTimer(), QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.setInterval(INTERVAL_MS)
        self._timer.timeout.connect(self._pass)

    @property
    def running(self) -> bool:
        return self._timer.isActive()

    def remember(self, poses: Floats, begun: Floats) -> None:
        """Where a pull has come to; `begun` is where it began, if that is not known yet."""
        if not self._trail:
            self._trail.append(begun)
        self._trail.append(poses)
        if len(self._trail) > TRAIL:
            self._trail = [*self._trail[:-1:2], self._trail[-1]]

    def swing(self) -> None:
        """Go back the way it came; at once where the desktop wants nothing to move by itself."""
        if not self._trail or animation_ms(SWING_MS) <= 0.0:
            self.ended.emit()
            return
        self._clock.start()
        self._timer.start()

    def stop(self) -> None:
        self._timer.stop()

    def forget(self) -> None:
        self._timer.stop()
        self._trail = []

    def _pass(self) -> None:
        share = self._clock.elapsed() / SWING_MS
        if share >= 1.0 or not self._trail:
            self._timer.stop()
            self.ended.emit()
            return
        left = 0.5 + 0.5 * math.cos(math.pi * share)
        self.passed.emit(self._trail[round(left * (len(self._trail) - 1))])


def animation_ms(wanted: float) -> float:
    """How long something may move on the screen: not at all where the desktop wants no animation."""
    application = QApplication.instance()
    style = application.style() if isinstance(application, QApplication) else None
    if style is not None and style.styleHint(QStyle.StyleHint.SH_Widget_Animation_Duration) <= 0:
        return 0.0
    return wanted
