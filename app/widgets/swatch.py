"""A small square of a colour, for menus."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPen, QPixmap

SIDE = 16
FINE = 3
"""Pixels of the picture to one of the menu's, for fine screens."""


def swatch_icon(ground: str, rim: str, dot: str) -> QIcon:
    """A square with a rim, and with a dot where it is the one in use; colours are "#rrggbb"."""
    icon = QIcon()
    for state, dotted in ((QIcon.State.Off, False), (QIcon.State.On, True)):
        pixmap = QPixmap(QSize(SIDE, SIDE) * FINE)
        pixmap.setDevicePixelRatio(FINE)
        pixmap.fill(Qt.GlobalColor.transparent)
        painter = QPainter(pixmap)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(dot if dotted else rim), 2.0 if dotted else 1.0))
        painter.setBrush(QColor(ground))
        painter.drawRect(QRectF(1.5, 1.5, SIDE - 3.0, SIDE - 3.0))
        if dotted:
            painter.setBrush(QColor(dot))
            painter.drawEllipse(QPointF(0.5 * SIDE, 0.5 * SIDE), 2.0, 2.0)
        painter.end()
        icon.addPixmap(pixmap, QIcon.Mode.Normal, state)
    return icon
