"""A leg on its way into its bay, drawn as a drawing office would: ghosts show where it was and where it will be."""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPaintEvent, QPalette, QPen, QTransform
from PySide6.QtWidgets import QSizePolicy, QWidget

GRID = (320.0, 250.0)
PIVOT = QPointF(248, 88)
LENGTH, WHEEL = 118.0, 30.0
TURNS = (0.0, 46.0, 92.0)
"""Degrees: down, on the way, up."""
GHOST = [14.0, 3.0, 2.0, 3.0, 2.0, 3.0]
CENTRE = [12.0, 3.0, 2.0, 3.0]
"""Long-dashed double-dotted and long-dashed dotted lines, ISO 128-2."""


class Motif(QWidget):
    """Takes its ink from the palette, so that it goes light and dark with the window."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        return QSize(416, 325)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.scale(self.width() / GRID[0], self.height() / GRID[1])
        palette = self.palette()
        ink = palette.color(QPalette.ColorRole.WindowText)
        soft = palette.color(QPalette.ColorRole.PlaceholderText)
        accent = palette.color(QPalette.ColorRole.Accent)
        self._paint_skin(painter, ink, soft)
        self._paint_arc(painter, accent)
        for turn in TURNS[::2]:
            self._paint_leg(painter, turn, QPen(soft, 0.9, Qt.PenStyle.CustomDashLine), None)
        self._paint_leg(painter, TURNS[1], QPen(ink, 1.8), palette.color(QPalette.ColorRole.Highlight))
        self._paint_pivot(painter, ink, palette.color(QPalette.ColorRole.Window))

    def _paint_skin(self, painter: QPainter, ink: QColor, soft: QColor) -> None:
        """The belly with its bay, and the ground that the wheel stood on."""
        painter.setPen(QPen(ink, 1.8, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin))
        path = QPainterPath(QPointF(6, 118))
        for x, y in ((78, 122), (78, 52), (274, 44), (274, 122), (314, 122)):
            path.lineTo(x, y)
        painter.drawPath(path)
        painter.drawLine(QPointF(80, 122), QPointF(64, 196))
        painter.setPen(QPen(soft, 0.9))
        ground = PIVOT.y() + LENGTH + WHEEL
        painter.drawLine(QPointF(190, ground), QPointF(306, ground))
        for x in range(196, 306, 9):
            painter.drawLine(QPointF(x, ground), QPointF(x - 5, ground + 6))

    def _paint_arc(self, painter: QPainter, accent: QColor) -> None:
        """The track of the axle, and its angle."""
        box = QRectF(PIVOT.x() - LENGTH, PIVOT.y() - LENGTH, 2 * LENGTH, 2 * LENGTH)
        pen = QPen(accent, 1.0, Qt.PenStyle.CustomDashLine)
        pen.setDashPattern(CENTRE)
        painter.setPen(pen)
        painter.drawArc(box, 270 * 16, round(-TURNS[2] * 16))

    def _paint_leg(self, painter: QPainter, turn: float, pen: QPen, ground: QColor | None) -> None:
        if pen.style() == Qt.PenStyle.CustomDashLine:
            pen.setDashPattern(GHOST)
        painter.save()
        painter.setTransform(QTransform().translate(PIVOT.x(), PIVOT.y()).rotate(turn), True)
        leg = QPainterPath()
        leg.moveTo(-8, -4)
        leg.lineTo(-6, LENGTH * 0.62)
        leg.lineTo(-3.4, LENGTH * 0.62)
        leg.lineTo(-3.4, LENGTH)
        leg.lineTo(3.4, LENGTH)
        leg.lineTo(3.4, LENGTH * 0.62)
        leg.lineTo(6, LENGTH * 0.62)
        leg.lineTo(8, -4)
        leg.arcTo(QRectF(-8, -12, 16, 16), 0, 180)
        wheel = QPainterPath()
        wheel.addEllipse(QPointF(0, LENGTH), WHEEL, WHEEL)
        painter.setPen(pen)
        for path in (wheel, leg):
            painter.setBrush(ground if ground is not None else Qt.BrushStyle.NoBrush)
            painter.drawPath(path)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawEllipse(QPointF(0, LENGTH), 4, 4)
        painter.restore()

    def _paint_pivot(self, painter: QPainter, ink: QColor, paper: QColor) -> None:
        """A fixed pivot, as ISO 3952-1 draws it."""
        painter.setPen(QPen(ink, 1.4))
        painter.setBrush(paper)
        painter.drawEllipse(PIVOT, 4.2, 4.2)
        top = PIVOT.y() - 4.2
        for way in (-1, 1):
            painter.drawLine(PIVOT + QPointF(way * 2.4, -3.6), QPointF(PIVOT.x() + way * 9, top - 12))
        painter.drawLine(QPointF(PIVOT.x() - 14, top - 12), QPointF(PIVOT.x() + 14, top - 12))
        for number in range(5):
            x = PIVOT.x() - 12 + number * 6
            painter.drawLine(QPointF(x, top - 12), QPointF(x + 4, top - 12 - 4 * math.sqrt(2)))
