"""Axes beside and under a plot: figures at even steps, and the unit they count in."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from app.sequence.inks import Inks
from app.sequence.track import put_text
from app.widgets.sizes import small
from core.geometry.planar import Floats

WIDTH = 38
"""Pixels for the figures of an axis beside the plot."""
HEIGHT = 32
"""For those of one under it, and what it is of."""
TICK = 4
ROOM_UP, ROOM_ALONG = 22.0, 74.0
"""Pixels that figures stand apart at the least."""
LINE = 13.0


@dataclass(frozen=True, slots=True)
class Reach:
    """What an axis shows, from its one end to the other, laid over pixels."""

    low: float
    high: float
    begin: float
    end: float

    def pixel(self, value: float) -> float:
        return self.begin + (value - self.low) / (self.high - self.low) * (self.end - self.begin)

    def pixels(self, values: Floats) -> Floats:
        return np.asarray(self.begin + (values - self.low) / (self.high - self.low) * (self.end - self.begin))

    def steps(self, room: float) -> tuple[tuple[float, str], ...]:
        """Values at 1, 2 or 5 times a power of ten, at least `room` pixels apart, and as they are written."""
        length = abs(self.end - self.begin)
        if length <= 0.0 or self.high <= self.low:
            return ()
        wanted = (self.high - self.low) / length * room
        power = 10.0 ** math.floor(math.log10(wanted))
        step = next(one for one in (1, 2, 5, 10) if one * power >= wanted * (1 - 1e-12)) * power
        decimals = max(0, -math.floor(math.log10(step) + 1e-9))
        first, last = math.ceil(self.low / step - 1e-9), math.floor(self.high / step + 1e-9)
        return tuple((number * step, written(number * step, decimals)) for number in range(first, last + 1))


def written(value: float, decimals: int) -> str:
    text = f"{abs(value):.{decimals}f}"
    return f"\N{MINUS SIGN}{text}" if value < 0.0 and float(text) > 0.0 else text


class Axis(QWidget):
    """What both axes share: the reach that they show, and what it is of."""

    def __init__(self, inks: Inks) -> None:
        super().__init__()
        self._inks = inks
        self._reach: Reach | None = None
        self._title = ""

    def show_reach(self, reach: Reach, title: str, inks: Inks) -> None:
        self._reach, self._title, self._inks = reach, title, inks
        self.setAccessibleName(f"Axis of {title}")
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        self.paint(QPainter(self))

    def paint(self, painter: QPainter) -> None:
        """In this widget's pixels."""
        if self._reach is not None:
            painter.setFont(small(self.font()))
            self._paint_reach(painter, self._reach)

    def _paint_reach(self, painter: QPainter, reach: Reach) -> None:
        raise NotImplementedError

    def _line(self, painter: QPainter, begin: QPointF, end: QPointF) -> None:
        painter.setPen(QPen(self._inks.bar_edge, 1))
        painter.drawLine(begin, end)


class UpAxis(Axis):
    """Stands at the left of the plot, as high as it; its title is the unit."""

    def __init__(self, inks: Inks) -> None:
        super().__init__(inks)
        self.setFixedWidth(WIDTH)

    def _paint_reach(self, painter: QPainter, reach: Reach) -> None:
        edge, wide = self.width() - 0.5, self.width() - TICK - 4
        self._line(painter, QPointF(edge, reach.end), QPointF(edge, reach.begin))
        unit = QRectF(0, 1, self.width() - 2, LINE)
        put_text(painter, unit, self._title, self._inks.text, Qt.AlignmentFlag.AlignRight)
        for value, text in reach.steps(ROOM_UP):
            y = reach.pixel(value)
            self._line(painter, QPointF(edge - TICK, y), QPointF(edge, y))
            box = QRectF(0, min(y - LINE / 2, self.height() - LINE), wide, LINE)  # the lowest is moved up into sight
            if box.top() > unit.bottom():
                put_text(painter, box, text, self._inks.soft, Qt.AlignmentFlag.AlignRight)


class AlongAxis(Axis):
    """Lies under the plot, as wide as it."""

    def __init__(self, inks: Inks) -> None:
        super().__init__(inks)
        self.setFixedHeight(HEIGHT)

    def sizeHint(self) -> QSize:
        return QSize(200, HEIGHT)

    def _paint_reach(self, painter: QPainter, reach: Reach) -> None:
        self._line(painter, QPointF(0, 0.5), QPointF(self.width(), 0.5))
        for value, text in reach.steps(ROOM_ALONG):
            x = reach.pixel(value)
            self._line(painter, QPointF(x, 0), QPointF(x, TICK))
            if x < self.width() - 12:
                box = QRectF(x - 36, TICK + 1, 72, LINE)
                put_text(painter, box, text, self._inks.soft, Qt.AlignmentFlag.AlignHCenter)
        box = QRectF(0, TICK + LINE, self.width() - 10, LINE)
        put_text(painter, box, self._title, self._inks.text, Qt.AlignmentFlag.AlignRight)
