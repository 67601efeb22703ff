"""Where words stand in a plot so that none lies upon another, nor on a curve where there is room: names at the curves'
ends, levels at their lines."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QRectF

from app.sequence.ruler import apart
from core.geometry.planar import Complexes

SIDE = 6.0
"""Pixels between words."""
STEP = 3.0
"""Pixels from one place that is tried to the next."""
WORTH = 60.0
"""Pixels that a name moves at the most to lie on no curve."""
NO_INK: Complexes = np.zeros(0, dtype=np.complex128)


@dataclass(frozen=True, slots=True)
class Wanted:
    """A word of a given width that belongs to a place."""

    text: str
    width: float
    x: float
    y: float


def names_at_ends(
    names: Sequence[Wanted], height: float, size: tuple[float, float], ink: Complexes = NO_INK
) -> tuple[QRectF | None, ...]:
    """Boxes at the left of where curves end and above them, moved up and down out of each other's way and, where that
    is not far, off the curves, whose `ink` is points x + iy no farther apart than a word is high.

    None for those for which a plot of that width and height has no room.
    """
    wide, high = size
    order = sorted(range(len(names)), key=lambda number: names[number].y)[: int((high - 2) // height)]
    tops = [min(max(names[number].y - height - 2, 1.0), high - height - 1) for number in order]
    lefts = [_beside(names[number], wide) for number in order]
    wanted = [
        QRectF(left, top, names[number].width, height)
        for number, left, top in zip(order, lefts, tops, strict=True)
    ]  # fmt: skip
    laid = _off_the_curves(wanted, high, ink)
    if laid is None:
        moved = apart(tops, height, high - height - 1)
        laid = [QRectF(box.left(), top, box.width(), height) for box, top in zip(wanted, moved, strict=True)]
    boxes: list[QRectF | None] = [None] * len(names)
    for number, box in zip(order, laid, strict=True):
        boxes[number] = box
    return tuple(boxes)


def _beside(one: Wanted, wide: float) -> float:
    """The left of its box: at the left of its place, or where there is no room at the right."""
    left = one.x - one.width if one.x - one.width >= 2.0 else one.x + SIDE
    return max(min(left, wide - one.width - 2), 2.0)


def _off_the_curves(wanted: Sequence[QRectF], high: float, ink: Complexes) -> list[QRectF] | None:
    """Each box as near to where it is wanted as it can be; None where they do not all find room so."""
    laid: list[QRectF] = []
    for box in wanted:
        beside = np.sort(ink.imag[(ink.real >= box.left()) & (ink.real <= box.right())])
        tops = np.append(np.arange(1.0, high - box.height() - 1, STEP), box.top())
        crossed = np.searchsorted(beside, tops + box.height()) > np.searchsorted(beside, tops)
        far = np.abs(tops - box.top()) + WORTH * crossed
        places = (box.translated(0, float(tops[number]) - box.top()) for number in np.argsort(far, kind="stable"))
        place = _first_free(places, laid)
        if place is None:
            return None
        laid.append(place)
    return laid


def words_at_levels(
    words: Sequence[Wanted],
    height: float,
    size: tuple[float, float],
    taken: Sequence[QRectF],
    ink: Complexes = NO_INK,
) -> tuple[QRectF | None, ...]:
    """Boxes on their lines, the first at the left; those that would lie upon another or on a curve stand to the right
    of it, on a curve only where the whole line has no other room.

    None for those that find no room.
    """
    wide, high = size
    laid = list(taken)
    boxes: list[QRectF | None] = []
    for one in words:
        top = one.y - height - 1 if one.y - height - 1 >= 0 else min(one.y + 1, high - height)
        beside = np.sort(ink.real[(ink.imag >= top) & (ink.imag <= top + height)])
        lefts = np.array([one.x, *(box.right() + SIDE for box in laid), *np.arange(one.x, wide, STEP)])
        lefts = lefts[(lefts >= one.x) & (lefts + one.width <= wide - 2)]
        crossed = np.searchsorted(beside, lefts + one.width) > np.searchsorted(beside, lefts)
        places = (QRectF(float(lefts[number]), top, one.width, height) for number in np.lexsort((lefts, crossed)))
        box = _first_free(places, laid)
        boxes.append(box)
        if box is not None:
            laid.append(box)
    return tuple(boxes)


def _first_free(places: Iterable[QRectF], laid: Sequence[QRectF]) -> QRectF | None:
    return next((box for box in places if not any(other.intersects(box) for other in laid)), None)
