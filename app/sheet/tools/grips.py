"""The grips of a body that is reshaped: which of them are shown where they crowd, and how they are drawn."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from core.document.project import Point
from core.drawing.drawing import Geometry, Line, Mark
from core.sketch.reshaping import Grip, Handle

GRIP_SIZE = 0.32
"""Of the reach: half the side of a grip."""
APART = 2.0
"""Of the reach, between grips: nearer ones could not be told apart, nor caught."""
CATCH = 0.7
"""Of the reach, within which a grip is caught."""
SHARP = (Grip.CORNER, Grip.RIM)

Held = tuple[int, Handle]
"""The number of a body's shape, and a grip of it."""


def told_apart(every: Sequence[Held], reach: float, hand: Point | None) -> list[Held]:
    """As many grips as can be told apart, corners before edges; that which the hand would catch is among them."""
    room = _Room(APART * reach)
    nearest = _nearest(every, hand, CATCH * reach) if hand is not None else None
    first = [] if nearest is None else [nearest]
    edges = [one for one in every if one[1].grip in (Grip.EDGE, Grip.ARC)]
    others = [one for one in every if one[1].grip not in (Grip.EDGE, Grip.ARC)]
    return [one for one in (*first, *others, *edges) if room.takes(one[1].at)]


def _nearest(every: Sequence[Held], hand: Point, within: float) -> Held | None:
    """What lies nearest to the hand, a corner before an edge."""
    near = [one for one in every if math.dist(one[1].at, hand) <= within]
    return min(near, key=lambda one: (one[1].grip is not Grip.CORNER, math.dist(one[1].at, hand)), default=None)


class _Room:
    """Places taken one after another, none nearer than `apart` to one that was taken before."""

    def __init__(self, apart: float) -> None:
        self._apart = apart
        self._taken: dict[tuple[int, int], list[Point]] = {}

    def takes(self, at: Point) -> bool:
        column, row = (math.floor(value / self._apart) for value in at)
        cells = ((column + across, row + up) for across in (-1, 0, 1) for up in (-1, 0, 1))
        if any(math.dist(at, one) < self._apart for cell in cells for one in self._taken.get(cell, ())):
            return False
        self._taken.setdefault((column, row), []).append(at)
        return True


def grip_marks(grips: Sequence[Handle], half: float) -> list[Mark]:
    """Corners are square, the middles of edges and arcs round; all in two marks, since a body has hundreds."""
    square = half * np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0)])
    turns = np.linspace(0.0, 2.0 * math.pi, 13)
    ring = 0.85 * half * np.stack([np.cos(turns), np.sin(turns)], axis=-1)
    marks = []
    for form, sharp in ((square, True), (ring, False)):
        lines = tuple(form + np.array(one.at) for one in grips if (one.grip in SHARP) is sharp)
        if lines:
            marks.append(Mark(geometry=Geometry(lines=lines), line=Line.OUTLINE))
    return marks
