"""A ruler along one edge: ticks and figures in a unit, and a mark where the pointer is."""

from __future__ import annotations

import math
from fractions import Fraction

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen, QPixmap, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.widgets.sizes import fine

BREADTH = 22
FIGURES_APART = 64.0
"""Pixels between figures at the least."""
TICKS_APART = 5.0
DECIMAL_STEPS = (1.0, 2.0, 5.0)
INCH_STEPS = tuple(1.0 / 2**n for n in range(6, 0, -1))


class Ruler(QWidget):
    """Counts from an origin in pixels, so many pixels to a unit; a standing ruler counts upwards."""

    def __init__(self, way: Qt.Orientation, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._level = way is Qt.Orientation.Horizontal
        self._origin, self._per_unit, self._fractions = 0.0, 1.0, False
        self._pointer: float | None = None
        self._counted: QPixmap | None = None
        """Ticks and figures, which stay while only the pointer moves."""
        self._ground, self._ink, self._hand = QColor("#eee"), QColor("#333"), QColor("#066")
        fixed, free = QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding
        self.setSizePolicy(*((free, fixed) if self._level else (fixed, free)))
        self.setFont(fine(self.font()))

    def sizeHint(self) -> QSize:
        return QSize(BREADTH, BREADTH)

    def minimumSizeHint(self) -> QSize:
        return QSize(BREADTH, BREADTH)

    def set_colours(self, ground: str, ink: str, hand: str) -> None:
        self._ground, self._ink, self._hand = QColor(ground), QColor(ink), QColor(hand)
        self._renew()

    def set_scale(self, origin: float, pixels_per_unit: float, *, fractions: bool = False) -> None:
        """Where zero is, in this widget's pixels; `fractions` counts below one in halves, quarters, eighths."""
        scale = (origin, pixels_per_unit, fractions)
        if scale != (self._origin, self._per_unit, self._fractions):
            self._origin, self._per_unit, self._fractions = scale
            self._renew()

    def set_pointer(self, pixel: float | None) -> None:
        if pixel != self._pointer:
            self._pointer = pixel
            self.update()

    def _renew(self) -> None:
        self._counted = None
        self.update()

    def changeEvent(self, event: QEvent) -> None:
        if event.type() == QEvent.Type.FontChange:
            self._renew()
        super().changeEvent(event)

    def value_at(self, pixel: float) -> float:
        return (pixel - self._origin) / self._per_unit * (1.0 if self._level else -1.0)

    def paintEvent(self, event: QPaintEvent) -> None:
        size, ratio = self.size() * self.devicePixelRatioF(), self.devicePixelRatioF()
        if self._counted is None or self._counted.size() != size or self._counted.devicePixelRatio() != ratio:
            self._counted = QPixmap(size)
            self._counted.setDevicePixelRatio(ratio)
            self._counted.fill(self._ground)
            with QPainter(self._counted) as painter:
                self._count(painter)
        with QPainter(self) as painter:
            painter.drawPixmap(0, 0, self._counted)
            if self._pointer is not None:
                self._paint_pointer(painter, self._pointer)

    def _count(self, painter: QPainter) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(self.font())
        length = self.width() if self._level else self.height()
        step = step_of(self._per_unit, self._fractions)
        parts = parts_of_step(step, self._per_unit, self._fractions)
        low, high = sorted((self.value_at(0.0), self.value_at(float(length))))
        pen = QPen(self._ink, 1.0)
        painter.setPen(pen)
        for number in range(math.floor(low / step) - 1, math.ceil(high / step) + 1):
            self._paint_figure(painter, number * step)
            for part in range(1, parts):
                half = parts % 2 == 0 and part == parts // 2
                self._tick(painter, (number + part / parts) * step, 7.0 if half else 4.0)
        edge = BREADTH - 0.5
        painter.drawLine(QPointF(0, edge), QPointF(length, edge)) if self._level else painter.drawLine(
            QPointF(edge, 0), QPointF(edge, length)
        )

    def _pixel(self, value: float) -> float:
        return self._origin + value * self._per_unit * (1.0 if self._level else -1.0)

    def _tick(self, painter: QPainter, value: float, size: float) -> None:
        at = round(self._pixel(value)) + 0.5
        ends = (QPointF(at, BREADTH), QPointF(at, BREADTH - size))
        painter.drawLine(*(ends if self._level else (QPointF(BREADTH, at), QPointF(BREADTH - size, at))))

    def _paint_figure(self, painter: QPainter, value: float) -> None:
        self._tick(painter, value, 11.0)
        text = figure(value, self._fractions)
        width = QFontMetricsF(self.font()).horizontalAdvance(text) + 2.0
        at = self._pixel(value)
        if not self._holds(at, width):
            return  # cut short it would be another figure
        if self._level:
            painter.drawText(QRectF(at + 3.0, 0.0, width, BREADTH - 8.0), Qt.AlignmentFlag.AlignVCenter, text)
            return
        painter.save()
        painter.translate(0.0, at - 3.0)
        painter.rotate(-90.0)
        painter.drawText(QRectF(0.0, 0.0, width, BREADTH - 8.0), Qt.AlignmentFlag.AlignVCenter, text)
        painter.restore()

    def _holds(self, at: float, width: float) -> bool:
        """Whether a figure at a tick stands wholly on the ruler."""
        if self._level:
            return at + 3.0 >= 0.0 and at + 3.0 + width <= self.width()
        return at - 3.0 <= self.height() and at - 3.0 - width >= 0.0

    def _paint_pointer(self, painter: QPainter, at: float) -> None:
        tip, back = BREADTH - 1.0, BREADTH - 8.0
        corners = [(at, tip), (at - 4.0, back), (at + 4.0, back)]
        if not self._level:
            corners = [(y, x) for x, y in corners]
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self._hand)
        painter.drawPolygon(QPolygonF([QPointF(x, y) for x, y in corners]))


def step_of(pixels_per_unit: float, fractions: bool) -> float:
    """The smallest round step between figures that leaves room for them."""
    least = FIGURES_APART / max(pixels_per_unit, 1e-12)
    if fractions and INCH_STEPS[0] <= least <= INCH_STEPS[-1]:
        return next(step for step in INCH_STEPS if step >= least)
    return _decimal(least)


def parts_of_step(step: float, pixels_per_unit: float, fractions: bool) -> int:
    """Into how many parts ticks divide a step."""
    room = step * pixels_per_unit / TICKS_APART
    if fractions and step <= 1.0 and _is_binary(step):
        return max(n for n in (1, 2, 4, 8) if n == 1 or n <= room)
    leading = step / 10.0 ** math.floor(math.log10(step) + 1e-9)
    choices = (10, 2) if abs(leading - 2.0) < 1e-6 else (10, 5)
    return next((n for n in choices if n <= room), 1)


def figure(value: float, fractions: bool) -> str:
    """A figure as a ruler bears it: no more decimals than needed, a true minus, halves to sixty-fourths of an inch."""
    sign = "−" if value < -1e-9 else ""
    size = abs(value)
    if fractions and _is_binary(size) and size != round(size):
        whole, part = int(size), Fraction(size - int(size)).limit_denominator(64)
        text = f"{part.numerator}/{part.denominator}"
        return f"{sign}{whole} {text}" if whole else f"{sign}{text}"
    text = f"{size:.6f}".rstrip("0").rstrip(".")
    return f"{sign}{text}"


def _decimal(least: float) -> float:
    power = 10.0 ** math.floor(math.log10(least))
    return next(power * part for part in (*DECIMAL_STEPS, 10.0) if power * part >= least * (1.0 - 1e-9))


def _is_binary(value: float) -> bool:
    return abs(value * 64 - round(value * 64)) < 1e-9
