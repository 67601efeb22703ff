"""Where words stand in a plot so that none lies upon another: names at the curves' ends, levels at their lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF

from app.sequence.ruler import apart

SIDE = 6.0
"""Pixels between words."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """A word of a given width that belongs to a place."""

    text: str
    width: float
    x: float
    y: float


def names_at_ends(names: Sequence[Wanted], height: float, size: tuple[float, float]) -> tuple[QRectF | None, ...]:
    """Boxes at the left of where curves end and above them, moved up and down out of each other's way.

    None for those for which a plot of that width and height has no room.
    """
    wide, high = size
    order = sorted(range(len(names)), key=lambda number: names[number].y)
    room = int((high - 2) // height)
    order = order[:room]
    tops = [min(max(names[number].y - height - 2, 1.0), high - height - 1) for number in order]
    boxes: list[QRectF | None] = [None] * len(names)
    for number, top in zip(order, apart(tops, height, high - height - 1), strict=True):
        one = names[number]
        left = min(max(one.x - one.width, 2.0), wide - one.width - 2)
        boxes[number] = QRectF(left, top, one.width, height)
    return tuple(boxes)


def words_at_levels(
    words: Sequence[Wanted], height: float, size: tuple[float, float], taken: Sequence[QRectF]
) -> tuple[QRectF | None, ...]:
    """Boxes on their lines, the first at the left; those that would lie upon another stand to the right of it.

    None for those that find no room.
    """
    wide, high = size
    laid = list(taken)
    boxes: list[QRectF | None] = []
    for one in words:
        top = one.y - height - 1 if one.y - height - 1 >= 0 else min(one.y + 1, high - height)
        box = QRectF(one.x, top, one.width, height)
        while hit := next((other for other in laid if other.intersects(box)), None):
            box.moveLeft(hit.right() + SIDE)
        fits = box.right() <= wide - 2
        boxes.append(box if fits else None)
        if fits:
            laid.append(box)
    return tuple(boxes)
