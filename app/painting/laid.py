"""A drawing laid on a device, with its labels out of each other's way; and where two of them differ."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import takewhile
from typing import TypeVar

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainterPath, QTransform

from app.painting.lettering import SetLabel
from app.painting.placement import Placement
from app.painting.symbols import Shape
from core.drawing.drawing import Drawing, Mark, Sign

Part = TypeVar("Part")


@dataclass(frozen=True, slots=True)
class LaidMark:
    """A mark with its place on the device; the same as another where the mark is."""

    mark: Mark
    path: QPainterPath = field(compare=False)
    """In the mark's own frame."""
    to_device: QTransform = field(compare=False)
    box: QRectF = field(compare=False)
    """About its path on the device, without what lines add to it."""


@dataclass(frozen=True, slots=True)
class LaidSign:
    sign: Sign
    shape: Shape = field(compare=False)
    to_device: QTransform = field(compare=False)
    box: QRectF = field(compare=False)
    """As that of a mark."""


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    drawing: Drawing
    placement: Placement
    room: QRectF
    """What is seen of it, in device units."""
    marks: tuple[LaidMark, ...] = ()
    signs: tuple[LaidSign, ...] = ()
    labels: tuple[SetLabel, ...] = ()


@dataclass(frozen=True, slots=True)
class Boxes:
    """Where on the device a painter paints a mark, a sign or a label at the most."""

    mark: Callable[[LaidMark], QRectF]
    sign: Callable[[LaidSign], QRectF]
    label: Callable[[SetLabel], QRectF]


def changed_box(before: Laid, after: Laid, boxes: Boxes) -> QRectF:
    """About all that is painted otherwise in one of two drawings laid alike; empty where nothing is."""
    changed = [boxes.mark(one) for one in _differing(before.marks, after.marks)]
    changed += [boxes.sign(one) for one in _differing(before.signs, after.signs)]
    changed += [boxes.label(one) for one in _differing(before.labels, after.labels)]
    box = QRectF()
    for one in changed:
        box = box.united(one)
    return box


def _differing(before: Sequence[Part], after: Sequence[Part]) -> Iterator[Part]:
    """Those of two rows that the other has not got at their place; where one is longer, all between what both begin and
    what both end with."""
    if len(before) == len(after):
        for one, other in zip(before, after, strict=True):
            if one is not other and one != other:
                yield from (one, other)
        return
    head = alike(before, after)
    tail = alike(before[head:][::-1], after[head:][::-1])
    for row in (before, after):
        yield from row[head : len(row) - tail]


def alike(before: Sequence[Part], after: Sequence[Part]) -> int:
    """With how many parts both rows begin."""
    pairs = zip(before, after, strict=False)
    return sum(1 for _ in takewhile(lambda pair: pair[0] is pair[1] or pair[0] == pair[1], pairs))
