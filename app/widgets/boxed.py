"""Signs that are drawn on a square of sixteen and painted at any size."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from app.widgets.glyphs import GRID


@contextmanager
def boxed(painter: QPainter, box: QRectF, pen: QPen) -> Iterator[None]:
    """Have what is painted meanwhile, in lines of a pen, fill a square box."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(box.topLeft())
    painter.scale(box.width() / GRID, box.height() / GRID)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    yield
    painter.restore()
