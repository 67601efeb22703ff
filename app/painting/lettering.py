"""Labels: measured, moved out of each other's way, and lettered, as text or as outlines that need no typeface."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QFont, QFontMetricsF, QPainterPath, QTransform

from app.painting.placement import Placement
from core.drawing.drawing import Label

CAPITAL = 0.72
"""Height of a capital in ems; a label's size is that of its capitals, as ISO 3098 has it."""
PADDING = 0.35
"""Of the ground under a boxed label, in heights of its capitals."""
NEAR = (1.0, 1.8, 2.8)
"""Multiples of its offset at which a label still stands near its point."""
OUTLINE_EM = 200
"""Pixels of the typeface in which outlines are made, to be scaled down."""


@dataclass(frozen=True, slots=True)
class SetLabel:
    """A label with its place on the device settled."""

    label: Label
    font: QFont
    box: QRectF
    """Of the text itself."""
    base: QPointF
    """Where its base line begins."""
    em: float
    """Device units."""
    leader: tuple[QPointF, QPointF] | None

    @property
    def ground(self) -> QRectF:
        return _ground(self.box, self.em)

    def outline(self) -> QPainterPath:
        """Its letters as a path, in device units."""
        path = QPainterPath()
        font = QFont(self.font)
        font.setPixelSize(OUTLINE_EM)
        path.addText(0.0, 0.0, font, self.label.text)
        share = self.em / OUTLINE_EM
        return QTransform(share, 0.0, 0.0, share, self.base.x(), self.base.y()).map(path)


def set_labels(
    labels: Sequence[Label],
    placement: Placement,
    unit: float,
    family: str,
    room: QRectF,
    keep_clear: Sequence[QRectF] = (),
) -> list[SetLabel]:
    """Settle labels: those that stand off a point move to where they lie within `room`, free of each other, and, where
    there is a choice, off what is to be kept clear; optional ones come last, and are left out where nothing is free."""
    found: list[SetLabel] = []
    for label in sorted(labels, key=lambda one: one.optional):
        em = label.size * unit / CAPITAL
        font = QFont(family)
        font.setBold(label.clash or label.strong)
        width, ascent, height = _measure(font, label.text, em)
        if label.within is not None and width > label.within * unit:
            narrow = label.within * unit / width
            em, width, ascent, height = em * narrow, width * narrow, ascent * narrow, height * narrow
        font.setPixelSize(max(1, round(em)))
        at = placement.to_device(*label.at)
        if label.offset is None:
            left = at.x() - label.anchor[0] * width
            top = at.y() - (1.0 - label.anchor[1]) * height
            found.append(_set(label, font, QRectF(left, top, width, height), ascent, em, None))
            continue
        taken = [other.ground for other in found]
        if label.optional:
            free = _free(label, label.offset, at, (width, height), unit, [*taken, *keep_clear], room, em)
            if free is not None:
                found.append(_set(label, font, free, ascent, em, None if free.contains(at) else at))
            continue
        box = _best(_stands(label.offset, at, width, height, unit), taken, keep_clear, room, em)
        found.append(_set(label, font, box, ascent, em, at))
    return found


def _measure(font: QFont, text: str, em: float) -> tuple[float, float, float]:
    """Width, ascent and height in device units."""
    large = QFont(font)
    large.setPixelSize(OUTLINE_EM)
    metrics = QFontMetricsF(large)
    share = em / OUTLINE_EM
    return (
        metrics.horizontalAdvance(text) * share,
        metrics.capHeight() * share,
        metrics.capHeight() * share,
    )


def _stands(
    offset: tuple[float, float],
    at: QPointF,
    width: float,
    height: float,
    unit: float,
    steps: Sequence[float] = (*NEAR, 4.0, 5.4),
) -> Iterator[QRectF]:
    """Where a label may stand about its point: as asked, then in the other corners, then further out."""
    across, up = offset[0] * unit, -offset[1] * unit
    for further in steps:
        for sx, sy in ((1, 1), (1, -1), (-1, 1), (-1, -1), (0, 1), (0, -1), (2, 0), (-2, 0)):
            x, y = at.x() + sx * across * further, at.y() + sy * up * further
            left = x - width * (0.5 if sx == 0 else 0.0 if x >= at.x() else 1.0)
            top = y - height * (0.5 if sy == 0 else 1.0 if y <= at.y() else 0.0)
            yield QRectF(left, top, width, height)


def _free(
    label: Label,
    offset: tuple[float, float],
    at: QPointF,
    size: tuple[float, float],
    unit: float,
    taken: Sequence[QRectF],
    room: QRectF,
    em: float,
) -> QRectF | None:
    """The first place that is nobody's: on the label's own point, or else off it; None where there is none."""
    width, height = size
    own = QRectF(at.x() - label.anchor[0] * width, at.y() - (1.0 - label.anchor[1]) * height, width, height)
    if not room.contains(at):
        return None  # what it names is out of sight
    for box in (own, *_stands(offset, at, width, height, unit, NEAR)):
        ground = _ground(box, em)
        if room.contains(ground) and not any(ground.intersects(other) for other in taken):
            return box
    return None


def _best(
    stands: Iterator[QRectF], taken: list[QRectF], keep_clear: Sequence[QRectF], room: QRectF, em: float
) -> QRectF:
    """The first of the places with the least in its way; once one has nothing there, no other is looked at."""

    def in_the_way(box: QRectF) -> tuple[bool, int, float]:
        ground = _ground(box, em)
        on_labels = sum(ground.intersects(other) for other in taken)
        covers = sum(_shared(ground, other) for other in keep_clear)
        return (not room.contains(ground), on_labels, covers)

    found: tuple[tuple[bool, int, float], QRectF] | None = None
    for box in stands:
        met = in_the_way(box)
        if found is None or met < found[0]:
            found = (met, box)
        if met == (False, 0, 0.0):
            break
    assert found is not None
    return found[1]


def _shared(one: QRectF, other: QRectF) -> float:
    common = one.intersected(other)
    return common.width() * common.height() if not common.isEmpty() else 0.0


def _set(label: Label, font: QFont, box: QRectF, ascent: float, em: float, at: QPointF | None) -> SetLabel:
    base = QPointF(box.left(), box.top() + ascent)
    leader = None
    if at is not None:
        ground = _ground(box, em)
        end = QPointF(min(max(at.x(), ground.left()), ground.right()), min(max(at.y(), ground.top()), ground.bottom()))
        leader = (at, end)
    return SetLabel(label, font, box, base, em, leader)


def _ground(box: QRectF, em: float) -> QRectF:
    pad = PADDING * CAPITAL * em
    return box.adjusted(-1.4 * pad, -pad, 1.4 * pad, pad)
