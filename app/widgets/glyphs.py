"""Small signs drawn as paths on a grid of 16 by 16, so that they take their ink from the palette and stay sharp."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainterPath, QPolygonF

GRID = 16.0


def _closed(*corners: tuple[float, float]) -> QPainterPath:
    path = QPainterPath()
    path.addPolygon(QPolygonF([QPointF(x, y) for x, y in corners]))
    path.closeSubpath()
    return path


def _bar(x: float, width: float = 1.8, top: float = 3.5, bottom: float = 12.5) -> QPainterPath:
    path = QPainterPath()
    path.addRect(QRectF(x, top, width, bottom - top))
    return path


def _chevron(x: float, way: int) -> QPainterPath:
    """A solid angle bracket whose point is at x."""
    back = x - 4.2 * way
    inner = back - 1.7 * way
    return _closed((x, 8), (back, 12.6), (inner, 11.1), (x - 3.0 * way, 8), (inner, 4.9), (back, 3.4))


def _both(*paths: QPainterPath) -> QPainterPath:
    joined = QPainterPath()
    for path in paths:
        joined.addPath(path)
    return joined


def _diamond(x: float) -> QPainterPath:
    return _closed((x, 5), (x + 3, 8), (x, 11), (x - 3, 8))


def _play() -> QPainterPath:
    return _closed((4.5, 2.5), (13.5, 8), (4.5, 13.5))


def _pause() -> QPainterPath:
    return _both(_bar(4, 2.6, 3, 13), _bar(9.4, 2.6, 3, 13))


def _to_start() -> QPainterPath:
    return _both(_bar(3), _closed((12.8, 3.2), (12.8, 12.8), (5.6, 8)))


def _to_end() -> QPainterPath:
    return _both(_bar(11.2), _closed((3.2, 3.2), (3.2, 12.8), (10.4, 8)))


def _frame_back() -> QPainterPath:
    return _both(_chevron(4.4, -1), _bar(10.8, 1.8, 5.4, 10.6))


def _frame_on() -> QPainterPath:
    return _both(_chevron(11.6, 1), _bar(3.4, 1.8, 5.4, 10.6))


def _finding_back() -> QPainterPath:
    return _both(_chevron(3.0, -1), _diamond(11.2))


def _finding_on() -> QPainterPath:
    return _both(_chevron(13.0, 1), _diamond(4.8))


def _play_back() -> QPainterPath:
    return _closed((11.5, 2.5), (2.5, 8), (11.5, 13.5))


def _loop() -> QPainterPath:
    """A ring, open at its upper right, whose end is an arrowhead."""
    ring = QPainterPath()
    ring.arcMoveTo(QRectF(2.8, 2.8, 10.4, 10.4), 35)
    ring.arcTo(QRectF(2.8, 2.8, 10.4, 10.4), 35, -325)
    ring.arcTo(QRectF(4.6, 4.6, 6.8, 6.8), 70, 325)
    ring.closeSubpath()
    return _both(ring, _closed((8.2, 1.0), (13.4, 3.2), (9.0, 6.8)))


def _cross() -> QPainterPath:
    return _closed(
        (3.4, 4.7), (4.7, 3.4), (8, 6.7), (11.3, 3.4), (12.6, 4.7), (9.3, 8),
        (12.6, 11.3), (11.3, 12.6), (8, 9.3), (4.7, 12.6), (3.4, 11.3), (6.7, 8),
    )  # fmt: skip


def _whole() -> QPainterPath:
    """A sheet with all of what is drawn on it."""
    frame = _both(_closed((1.5, 2.5), (14.5, 2.5), (14.5, 13.5), (1.5, 13.5)))
    frame.addPolygon(QPolygonF([QPointF(x, y) for x, y in ((2.9, 3.9), (13.1, 3.9), (13.1, 12.1), (2.9, 12.1))]))
    frame.closeSubpath()
    return _both(frame, _closed((4.9, 10.1), (4.9, 5.9), (11.1, 5.9), (11.1, 7.7), (6.7, 7.7), (6.7, 10.1)))


GLYPHS: Mapping[str, Callable[[], QPainterPath]] = MappingProxyType(
    {
        "play": _play,
        "pause": _pause,
        "to-start": _to_start,
        "to-end": _to_end,
        "frame-back": _frame_back,
        "frame-on": _frame_on,
        "finding-back": _finding_back,
        "finding-on": _finding_on,
        "backwards": _play_back,
        "loop": _loop,
        "cross": _cross,
        "whole": _whole,
    }
)
