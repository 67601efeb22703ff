"""A drawing laid on a device, with its labels out of each other's way; and where two of them differ."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import takewhile
from typing import TypeVar

from PySide6.QtCore import QRectF

from app.painting.lettering import SetLabel
from app.painting.placement import Placement
from core.drawing.drawing import Drawing, Mark, Sign

Part = TypeVar("Part")


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    drawing: Drawing
    placement: Placement
    room: QRectF
    """What is seen of it, in device units."""
    labels: tuple[SetLabel, ...]


@dataclass(frozen=True, slots=True)
class Boxes:
    """Where on the device a painter paints a mark or a sign at the most, and a label."""

    mark: Callable[[Mark, Placement], QRectF]
    sign: Callable[[Sign, Placement], QRectF]
    label: Callable[[SetLabel], QRectF]


def changed_box(before: Laid, after: Laid, boxes: Boxes) -> QRectF:
    """About all that is painted otherwise in one of two drawings laid alike; empty where nothing is."""
    where = after.placement
    changed = [boxes.mark(one, where) for one in _differing(before.drawing.marks, after.drawing.marks)]
    changed += [boxes.sign(one, where) for one in _differing(before.drawing.signs, after.drawing.signs)]
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
