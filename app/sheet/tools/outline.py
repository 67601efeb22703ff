"""Outlines and walls by clicks: straight edges, arcs by dragging or by a key, closed on their first corner."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from app.sheet.bench import Bench, crossing_of
from app.sheet.tools.collecting import Collecting
from app.sheet.tools.drafts import cross_marks, end_of, length_and_angle, line_mark, shape_marks
from app.sheet.tools.offered import sheets_of
from app.sheet.tools.tool import Field, Hand, Preview, Unit
from core.document.lengths import shown_length
from core.document.project import Corner, Point, Shape
from core.sketch.constructing import bulge_of_radius, bulge_of_rise, closed_outline, wall_along

CLICK = 0.6
"""A press that is let go farther away than this part of the reach bends the edge that it made."""


class _Corners(Collecting[Corner]):
    """Clicks one after the other; a press that is dragged bends the edge that ends at it."""

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self._pressed: Point | None = None

    def start(self) -> Point | None:
        return None if not self._taken else (self._taken[-1][0], self._taken[-1][1])

    def press(self, hand: Hand) -> None:
        point = self._meant(hand)
        if self._closes(point, hand.reach):
            self.finish()
            return
        self._taken.append(point)
        self._pressed, self._hand = point, hand
        self._bench.changed.emit()

    def move(self, hand: Hand) -> None:
        self._hand = hand
        if self._pressed is not None and len(self._taken) > 1:
            start, end = self._taken[-2], self._taken[-1]
            far = math.dist(hand.raw, self._pressed) > CLICK * hand.reach
            bulge = bulge_of_rise(start, end, hand.raw) if far else 0.0
            self._taken[-2] = (start[0], start[1], bulge) if bulge else (start[0], start[1])
        self._bench.changed.emit()

    def release(self, hand: Hand) -> None:
        self._pressed = None
        self._bench.changed.emit()

    def back(self) -> bool:
        if not super().back():
            return False
        if self._taken:
            self._taken[-1] = self._taken[-1][:2]
        return True

    def cancel(self) -> bool:
        self._pressed = None
        return super().cancel()

    def fields(self) -> Sequence[Field]:
        start = self.start()
        if start is None:
            x, y = self._hand.point if self._hand is not None else (None, None)
            return (Field(id="x", words="x", value=x), Field(id="y", words="y", value=y))
        length, angle = (None, None) if self._hand is None else length_and_angle(start, self._hand.point)
        return (
            Field(id="length", words="Length", value=length),
            Field(id="angle", words="Angle", unit=Unit.ANGLE, value=angle),
            Field(id="radius", words="Arc radius"),
        )

    def enter(self, values: Mapping[str, float]) -> None:
        """A length alone goes towards the hand; a length and an angle, or x and y, say all. A radius bends the edge to
        the right of the way it is drawn, one below nought to the left."""
        start = self.start()
        hand = self._hand
        if start is None:
            x, y = hand.point if hand is not None else (0.0, 0.0)
            self._taken.append((values.get("x", x), values.get("y", y)))
        else:
            length, angle = length_and_angle(start, hand.point) if hand is not None else (0.0, 0.0)
            end = end_of(start, values.get("length", length), values.get("angle", angle))
            if not self._bend(start, end, values.get("radius", 0.0)):
                return
            self._taken.append(end)
        self._bench.changed.emit()

    def _bend(self, start: Point, end: Point, radius: float) -> bool:
        """Bend the edge that ends at `end`, or say why that cannot be; no radius leaves it straight."""
        if radius == 0.0:
            return True
        bulge = bulge_of_radius(start, end, abs(radius), right=radius > 0.0)
        if bulge is None:
            project, least = self._bench.project, 0.5 * math.dist(start, end)
            told = "" if project is None else f" of {shown_length(project, least)} at the least"
            self._bench.session.turn_down(f"An arc over this edge has a radius{told}")
            return False
        self._taken[-1] = (*start, bulge)
        return True

    def _meant(self, hand: Hand) -> Point:
        return hand.point

    def _closes(self, point: Point, reach: float) -> bool:
        return len(self._taken) > 2 and math.dist(point, self._taken[0][:2]) <= 1e-9 + 0.5 * reach

    def _begun(self) -> list[Corner]:
        """The corners and the hand."""
        if self._hand is None or self._pressed is not None or not self._taken:
            return list(self._taken)
        return [*self._taken, self._hand.point]


class OutlineTool(_Corners):
    id, words = "outline", "Outline"

    def hint(self) -> str:
        if not self._taken:
            return "Click the first corner"
        if len(self._taken) < 3:
            return "Click the next corner; drag as you press to bend the edge"
        return "Click the next corner, or the first to close it"

    def finish(self) -> None:
        shape = closed_outline(self._taken)
        if shape is not None and self._bench.draw(shape):
            self.cancel()

    def preview(self) -> Preview:
        begun = self._begun()
        shape = closed_outline(begun)
        wrong = crossing_of(shape) if shape is not None else None
        marks = (*shape_marks(None if wrong else shape), *line_mark(begun))
        if wrong is not None and self._hand is not None:
            marks = (*marks, *cross_marks(wrong, 0.7 * self._hand.reach))
        return Preview(marks)


class WallTool(_Corners):
    id, words = "wall", "Wall"

    def hint(self) -> str:
        if not self._taken:
            return "Click where the wall begins, along its middle"
        return "Click the next bend; Enter ends the wall"

    def fields(self) -> Sequence[Field]:
        return (
            *super().fields(),
            Field(id="width", words="Thickness", value=self._bench.width, offers=sheets_of(self._bench), positive=True),
        )

    def enter(self, values: Mapping[str, float]) -> None:
        if values.get("width", 0.0) > 0.0:
            self._bench.width = values["width"]
        if set(values) - {"width"}:
            super().enter(values)
        self._bench.changed.emit()

    def finish(self) -> None:
        shape = wall_along(self._taken, self._bench.width)
        if shape is not None and self._bench.draw(shape):
            self.cancel()

    def _closes(self, point: Point, reach: float) -> bool:
        return False

    def preview(self) -> Preview:
        begun = self._begun()
        shape: Shape | None = wall_along(begun, self._bench.width)
        return Preview((*shape_marks(shape), *line_mark(begun)))
