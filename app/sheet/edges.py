"""Bodies made to stand out by an edge about them: those under the hand, and those chosen besides the last."""

from __future__ import annotations

from collections.abc import Collection

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPainter, QPen

from app.painting.painter import Painter
from app.painting.placement import Placement
from core.drawing.drawing import Drawing, Line

WIDE = 2.6
"""Pixels."""


def paint_edges(
    onto: QPainter, painter: Painter, placement: Placement, drawing: Drawing, owners: Collection[str]
) -> None:
    """An edge about the outlines of some bodies."""
    base = onto.transform()
    pen = QPen(QColor(painter.theme.accent), WIDE / placement.scale)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    for mark in drawing.marks:
        if mark.owner in owners and mark.line is Line.OUTLINE:
            onto.setTransform(placement.transform(mark.pose) * base)
            onto.strokePath(painter.path(mark.geometry), pen)
    onto.setTransform(base)
