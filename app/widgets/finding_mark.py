"""A mark for each kind of finding: its shape says the kind, its ink how grave it is."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from app.widgets.boxed import boxed

MILD = frozenset({"tight", "dead-centre", "redundant"})
"""Kinds that want a look; the others have to be mended."""


def paint_mark(painter: QPainter, kind: str, box: QRectF, ink: QColor) -> None:
    """Paint the mark of a kind into a square box."""
    pen = QPen(ink, 1.5)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    with boxed(painter, box, pen):
        _PAINTERS[kind](painter, ink)


def _jammed(painter: QPainter, ink: QColor) -> None:
    """A link on its pin that falls short of the next pin: a dot, a bar with a torn end, and a ring beyond."""
    _dot(painter, ink, 2.8, 8, 2.0)
    painter.drawLine(QPointF(2.8, 8), QPointF(8, 8))
    painter.drawPolyline([QPointF(8.8, 4.4), QPointF(7.4, 6.8), QPointF(8.8, 9.2), QPointF(7.4, 11.6)])
    painter.drawEllipse(QPointF(12.6, 8), 2.3, 2.3)


def _clash(painter: QPainter, ink: QColor) -> None:
    """A door's edge run into a post, and what they share filled."""
    door, post = QPainterPath(), QPainterPath()
    door.addPolygon(QPolygonF([QPointF(x, y) for x, y in ((1.4, 3.6), (13.2, 8.4), (11.8, 11.8), (1.4, 7.6))]))
    door.closeSubpath()
    post.addRect(QRectF(9.4, 1.6, 5.0, 12.8))
    painter.fillPath(door.intersected(post), ink)
    painter.drawPath(door)
    painter.drawPath(post)


def _loose(painter: QPainter, ink: QColor) -> None:
    """A broken ring about a point: free to go anywhere."""
    for start in (20, 110, 200, 290):
        painter.drawArc(QRectF(2.2, 2.2, 11.6, 11.6), start * 16, 50 * 16)
    _dot(painter, ink, 8, 8, 1.6)


def _latch(painter: QPainter, ink: QColor) -> None:
    """A hook that stands short of its pin."""
    path = QPainterPath(QPointF(2, 4))
    path.lineTo(7, 4)
    path.arcTo(QRectF(3.4, 4, 7.2, 7.2), 90, -150)
    painter.drawPath(path)
    _dot(painter, ink, 12.4, 12.6, 1.9)


def _travel(painter: QPainter, ink: QColor) -> None:
    """An arrow that goes through its stop."""
    painter.drawLine(QPointF(9, 2.4), QPointF(9, 6))
    painter.drawLine(QPointF(9, 10), QPointF(9, 13.6))
    painter.drawLine(QPointF(1.6, 8), QPointF(11, 8))
    _fill(painter, ink, [(10.4, 5.2), (15, 8), (10.4, 10.8)])


def _early(painter: QPainter, ink: QColor) -> None:
    """A bar whose begin, filled, stands before the line that it ought to wait for."""
    painter.drawLine(QPointF(8.6, 1.8), QPointF(8.6, 14.2))
    painter.drawRect(QRectF(2.4, 5.2, 11.8, 5.6))
    _fill(painter, ink, [(2.4, 5.2), (8.6, 5.2), (8.6, 10.8), (2.4, 10.8)])


def _target(painter: QPainter, ink: QColor) -> None:
    """A ring with cross hairs, and a point beside its middle."""
    painter.drawEllipse(QPointF(8, 8), 4.6, 4.6)
    for start, end in (((8, 1), (8, 4.6)), ((8, 11.4), (8, 15)), ((1, 8), (4.6, 8)), ((11.4, 8), (15, 8))):
        painter.drawLine(QPointF(*start), QPointF(*end))
    _dot(painter, ink, 9.4, 9.2, 1.3)


def _tight(painter: QPainter, ink: QColor) -> None:
    """Two edges with arrowheads that press upon a narrow gap."""
    painter.drawLine(QPointF(6.4, 2), QPointF(6.4, 14))
    painter.drawLine(QPointF(9.6, 2), QPointF(9.6, 14))
    _fill(painter, ink, [(1.4, 5.6), (5.2, 8), (1.4, 10.4)])
    _fill(painter, ink, [(14.6, 5.6), (10.8, 8), (14.6, 10.4)])


def _dead_centre(painter: QPainter, ink: QColor) -> None:
    """Three pivots in one line."""
    painter.drawLine(QPointF(3, 12.4), QPointF(13, 3.6))
    for x, y in ((3, 12.4), (8, 8), (13, 3.6)):
        _dot(painter, ink, x, y, 1.9)


def _redundant(painter: QPainter, ink: QColor) -> None:
    """Two links side by side where one would do."""
    for y in (5, 11):
        painter.drawLine(QPointF(3.4, y), QPointF(12.6, y))
        _dot(painter, ink, 3.4, y, 1.7)
        _dot(painter, ink, 12.6, y, 1.7)


def _dot(painter: QPainter, ink: QColor, x: float, y: float, radius: float) -> None:
    path = QPainterPath()
    path.addEllipse(QPointF(x, y), radius, radius)
    painter.fillPath(path, ink)


def _fill(painter: QPainter, ink: QColor, corners: list[tuple[float, float]]) -> None:
    path = QPainterPath(QPointF(*corners[0]))
    for corner in corners[1:]:
        path.lineTo(*corner)
    path.closeSubpath()
    painter.fillPath(path, ink)


_PAINTERS: Mapping[str, Callable[[QPainter, QColor], None]] = MappingProxyType(
    {
        "jammed": _jammed,
        "clash": _clash,
        "loose": _loose,
        "latch": _latch,
        "travel": _travel,
        "early": _early,
        "target": _target,
        "tight": _tight,
        "dead-centre": _dead_centre,
        "redundant": _redundant,
    }
)
