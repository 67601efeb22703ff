"""The sizes of type beside the plain one."""

from __future__ import annotations

from PySide6.QtGui import QFont

SMALL, FINE, LEAST_POINTS = 0.88, 0.78, 6.5


def small(font: QFont) -> QFont:
    """For notes, counts and the figures of axes."""
    return _sized(font, font.pointSizeF() * SMALL)


def fine(font: QFont) -> QFont:
    """For the figures of rulers."""
    return _sized(font, max(LEAST_POINTS, font.pointSizeF() * FINE))


def _sized(font: QFont, points: float) -> QFont:
    sized = QFont(font)
    sized.setPointSizeF(points)
    return sized
