"""How curves are told apart: each by a dash of its own, and every other one by its ink too."""

from __future__ import annotations

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainter, QPen

from app.sequence.inks import Inks

DASHES = ((), (7, 3), (2, 2), (9, 3, 2, 3), (14, 4), (5, 2, 1, 2, 1, 2), (3, 5), (14, 3, 3, 3))
"""One for each curve, so that none is told by its ink alone."""
MOST = len(DASHES)
"""Curves at once; more cannot be told apart."""
SAMPLE = 20


def curve_pen(number: int, inks: Inks, finer: float = 1.0) -> QPen:
    """As wide on paper or a screen that is so many times finer."""
    pen = QPen(inks.text if number % 2 == 0 else inks.chosen, 1.4 * finer)
    pen.setCosmetic(True)
    if DASHES[number % MOST]:
        pen.setDashPattern([float(length) for length in DASHES[number % MOST]])
    return pen


def paint_sample(painter: QPainter, number: int, inks: Inks, at: QPointF, length: float = SAMPLE) -> None:
    """A short piece of a curve's line, to know it by."""
    painter.setPen(curve_pen(number, inks))
    painter.drawLine(at, at + QPointF(length, 0))
