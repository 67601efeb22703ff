"""What lies under a place of the sheet, nearest to the eye first."""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainterPath

from app.painting.painter import Painter
from app.painting.placement import Placement
from core.drawing.drawing import Drawing, Mark, Sign

SIGN_REACH = 2.0
"""Millimetres on paper about a sign's point."""
LINE_REACH = 1.2
"""Millimetres on paper about a line."""


def owners_at(drawing: Drawing, painter: Painter, placement: Placement, at: QPointF) -> tuple[str, ...]:
    """The ids of what is drawn under a point of the device, each once: signs, then what is drawn last first."""
    found: dict[str, None] = {}
    for sign in sorted(drawing.signs, key=lambda sign: _away(sign, placement, at)):
        if sign.owner is not None and _away(sign, placement, at) <= SIGN_REACH * painter.unit:
            found.setdefault(sign.owner)
    for mark in reversed(drawing.marks):
        if mark.owner is not None and mark.owner not in found and _covers(mark, painter, placement, at):
            found.setdefault(mark.owner)
    return tuple(found)


def _away(sign: Sign, placement: Placement, at: QPointF) -> float:
    place = placement.to_device(*sign.at)
    return math.hypot(place.x() - at.x(), place.y() - at.y())


def _covers(mark: Mark, painter: Painter, placement: Placement, at: QPointF) -> bool:
    to_own, sound = placement.transform(mark.pose).inverted()
    if not sound:
        return False
    own = to_own.map(at)
    path: QPainterPath = painter.path(mark.geometry)
    if mark.tint is not None and path.boundingRect().contains(own):
        return path.contains(own)
    reach = LINE_REACH * painter.unit / placement.scale
    return any(
        _distance(own, start, end) <= reach
        for line in mark.geometry.lines
        for start, end in zip(line[:-1].tolist(), line[1:].tolist(), strict=True)
    )


def _distance(at: QPointF, start: list[float], end: list[float]) -> float:
    """From a point to a stretch of line."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    square = dx * dx + dy * dy
    share = 0.0 if square == 0.0 else ((at.x() - start[0]) * dx + (at.y() - start[1]) * dy) / square
    share = min(max(share, 0.0), 1.0)
    return math.hypot(at.x() - start[0] - share * dx, at.y() - start[1] - share * dy)
