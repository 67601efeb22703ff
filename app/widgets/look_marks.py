"""Two marks beside a thing's name: whether it is in sight, and whether it is held fast.

What is in sight has a whole outline, and what is hidden a dashed one as on any drawing (ISO 128-2). What is locked sits
in a clamp; the clamp of what is free stands open.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from app.widgets.boxed import boxed

FORM = ((2.6, 5.0), (10.0, 2.6), (13.4, 6.6), (12.6, 13.0), (4.4, 13.2))


def paint_look(painter: QPainter, mark: str, box: QRectF, ink: QColor) -> None:
    """Paint the mark "seen", "hidden", "free" or "locked" into a square box."""
    pen = QPen(ink, 1.4)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    with boxed(painter, box, pen):
        _PAINTERS[mark](painter)


def _seen(painter: QPainter) -> None:
    wash = QColor(painter.pen().color())
    wash.setAlphaF(0.25)
    painter.setBrush(wash)
    painter.drawPolygon(_polygon(FORM))


def _hidden(painter: QPainter) -> None:
    pen = painter.pen()
    pen.setDashPattern([2.2, 1.8])
    painter.setPen(pen)
    painter.drawPolygon(_polygon(FORM))


def _free(painter: QPainter) -> None:
    _clamp(painter, 11.0)


def _locked(painter: QPainter) -> None:
    _clamp(painter, 8.6)
    painter.fillRect(QRectF(6.6, 4.2, 6.4, 4.4), painter.pen().color())


def _clamp(painter: QPainter, jaw: float) -> None:
    """A frame open to the right, and a screw from below whose jaw stands at a height."""
    painter.drawPolyline(_polygon(((13.4, 3.0), (3.4, 3.0), (3.4, 13.0), (12.4, 13.0))))
    painter.drawLine(QPointF(9.8, jaw), QPointF(9.8, 15.6))
    painter.drawLine(QPointF(7.4, jaw), QPointF(12.2, jaw))


def _polygon(corners: tuple[tuple[float, float], ...]) -> QPolygonF:
    return QPolygonF([QPointF(x, y) for x, y in corners])


_PAINTERS: Mapping[str, Callable[[QPainter], None]] = MappingProxyType(
    {"seen": _seen, "hidden": _hidden, "free": _free, "locked": _locked}
)
