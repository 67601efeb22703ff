"""The tools that place connections."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from app.sheet.bench import Bench
from app.sheet.tools.drafts import thin_line
from app.sheet.tools.offered import pins_of
from app.sheet.tools.on_bodies import BetweenTwo, OnBodies, TwoEnds
from app.sheet.tools.tool import Field, Hand, Preview, Tool, Unit
from core.document.project import Gearing, Jack, Latch, Pivot, Point, Rod, Slide, Slot

STROKE_SHARE = 0.9
"""Of the closed length: the stroke of a new jack, until another is typed."""


class PivotTool(BetweenTwo):
    id, words = "pivot", "Pivot"

    def hint(self) -> str:
        return "Click where two bodies turn on each other, or one on the airframe"

    def press(self, hand: Hand) -> None:
        at = hand.point

        def make(first: str, second: str) -> None:
            names = self._bench.name_of
            self._bench.connect_up(
                lambda one, name: Pivot(id=one, name=name, bodies=(first, second), at=at), f"{names(second)} pivot"
            )

        self._pair(hand, make)


class SlideTool(BetweenTwo):
    """Where, and then which way."""

    id, words = "slide", "Slide"

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self._bodies: tuple[str, str] | None = None

    def hint(self) -> str:
        if self._bodies is None:
            return "Click where one body slides in another"
        return "Click the way it slides"

    def press(self, hand: Hand) -> None:
        if self._bodies is None:
            self._pair(hand, lambda first, second: self._begin(first, second, hand.point))
            return
        at, bodies = self._taken[0][1], self._bodies
        x, y = hand.point[0] - at[0], hand.point[1] - at[1]
        length = math.hypot(x, y)
        if length <= hand.reach:
            return
        along = (x / length, y / length)
        if self._bench.connect_up(
            lambda one, name: Slide(id=one, name=name, bodies=bodies, at=at, along=along),
            f"{self._bench.name_of(bodies[1])} slide",
        ):
            self.cancel()

    def _begin(self, first: str, second: str, at: Point) -> None:
        self._bodies, self._taken = (first, second), [(first, at)]
        self._bench.changed.emit()

    def cancel(self) -> bool:
        self._bodies = None
        return super().cancel()

    def back(self) -> bool:
        return self.cancel()


class RodTool(TwoEnds):
    id, words = "rod", "Rod"
    hints = ("Click one end of the rod, on its body", "Click its other end, on the other body")

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self._width: float | None = None

    def fields(self) -> Sequence[Field]:
        width = Field(id="width", words="Width", value=self._width, offers=pins_of(self._bench), positive=True)
        return (width, *super().fields())

    def enter(self, values: Mapping[str, float]) -> None:
        self._width = values.get("width", self._width)
        super().enter(values)

    def _make(self, bodies: tuple[str, str], ends: tuple[Point, Point]) -> bool:
        return self._bench.connect_up(
            lambda one, name: Rod(id=one, name=name, bodies=bodies, ends=ends, width=self._width),
            f"{self._mover(bodies)} rod",
        )


class JackTool(TwoEnds):
    """Drawn closed: its drawn length is its closed length, unless a longer stroke is typed."""

    id, words = "jack", "Jack"
    hints = ("Click where the jack's barrel is held, on its body", "Click where its rod takes hold, on the other body")

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self._closed: float | None = None
        self._stroke: float | None = None

    def fields(self) -> Sequence[Field]:
        drawn = None if self._hand is None or not self._taken else math.dist(self._taken[0][1], self._hand.point)
        closed = self._closed if self._closed is not None else drawn
        stroke = self._stroke if self._stroke is not None else None if closed is None else STROKE_SHARE * closed
        return (
            Field(id="closed", words="Closed length", value=closed, positive=True),
            Field(id="stroke", words="Stroke", value=stroke, positive=True),
            *super().fields(),
        )

    def enter(self, values: Mapping[str, float]) -> None:
        self._closed = values.get("closed", self._closed)
        self._stroke = values.get("stroke", self._stroke)
        super().enter(values)

    def _make(self, bodies: tuple[str, str], ends: tuple[Point, Point]) -> bool:
        drawn = math.dist(*ends)
        closed = self._closed if self._closed is not None else drawn
        stroke = self._stroke if self._stroke is not None else STROKE_SHARE * closed
        name_of_it = self._mover(bodies)
        return self._bench.connect_up(
            lambda one, name: Jack(id=one, name=name, bodies=bodies, ends=ends, closed=closed, stroke=stroke),
            f"{name_of_it} jack",
            drive=f"{name_of_it} jack extension",
        )


class LatchTool(TwoEnds):
    id, words = "latch", "Latch"
    hints = ("Click the hook's tip, on its body", "Click the pin that it holds, on the other body")
    needs_length = False

    def _make(self, bodies: tuple[str, str], ends: tuple[Point, Point]) -> bool:
        return self._bench.connect_up(
            lambda one, name: Latch(id=one, name=name, bodies=bodies, ends=ends),
            f"{self._bench.name_of(bodies[1])} latch",
        )


class SlotTool(OnBodies):
    """The slot's two ends on the body that has it, then the pin on the other."""

    id, words = "slot", "Slot"

    def hint(self) -> str:
        return (
            "Click one end of the slot, on the body that has it",
            "Click the slot's other end",
            "Click the pin in it, on the other body",
        )[min(len(self._taken), 2)]

    def press(self, hand: Hand) -> None:
        if not self._taken:
            self._on_body(hand, lambda body: self._take(body, hand.point))
        elif len(self._taken) == 1:
            self._take(self._taken[0][0], hand.point)
        else:
            self._on_body(hand, lambda body: self._make(body, hand.point), but=self._taken[0][0])

    def _take(self, body: str, at: Point) -> None:
        self._taken.append((body, at))
        self._bench.changed.emit()

    def _make(self, body: str, at: Point) -> None:
        (first, start), (_, end) = self._taken
        on_line = _nearest(start, end, at)
        if self._bench.connect_up(
            lambda one, name: Slot(id=one, name=name, bodies=(first, body), at=on_line, start=start, end=end),
            f"{self._bench.name_of(body)} slot",
        ):
            self.cancel()

    def preview(self) -> Preview:
        drawn = super().preview()
        if len(self._taken) < 2:
            return drawn
        return Preview((thin_line(self._taken[0][1], self._taken[1][1]), *drawn.marks))


class GearingTool(Tool):
    """Two pivots, the second turning with the first; they may be in different views."""

    id, words = "gearing", "Gearing"

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._first: str | None = None
        self._ratio = 1.0

    def hint(self) -> str:
        if self._first is None:
            return "Click the pivot that drives; the two may be in different views"
        return f"Click the pivot that turns with {self._bench.name_of(self._first)}"

    def fields(self) -> Sequence[Field]:
        return (Field(id="ratio", words="Ratio", unit=Unit.COUNT, value=self._ratio),)

    def enter(self, values: Mapping[str, float]) -> None:
        ratio = values.get("ratio", self._ratio)
        if ratio == 0.0:
            self._bench.session.turn_down("A gearing with a ratio of 0 turns nothing")
        self._ratio = ratio or self._ratio
        self._bench.changed.emit()

    def press(self, hand: Hand) -> None:
        project = self._bench.project
        pivots = {one.id: one for one in project.connections if isinstance(one, Pivot)} if project is not None else {}
        views = {body.id: body.view for body in project.bodies} if project is not None else {}
        near = [
            one.id
            for one in pivots.values()
            if views.get(one.bodies[0]) == self._bench.view and math.dist(one.at, hand.raw) <= 1.5 * hand.reach
        ]
        near = [one for one in near if one != self._first]
        if not near:
            self._bench.session.turn_down("There is no pivot there")
            return
        if self._first is None:
            self._first = near[0]
        else:
            pair = (self._first, near[0])
            if self._bench.connect_up(
                lambda one, name: Gearing(id=one, name=name, pivots=pair, ratio=self._ratio), "Gearing"
            ):
                self._first = None
        self._bench.changed.emit()

    def cancel(self) -> bool:
        begun, self._first = self._first is not None, None
        self._bench.changed.emit()
        return begun


def _nearest(start: Point, end: Point, at: Point) -> Point:
    """The point of a stretch that is nearest."""
    x, y = end[0] - start[0], end[1] - start[1]
    square = x * x + y * y
    share = 0.0 if square == 0.0 else ((at[0] - start[0]) * x + (at[1] - start[1]) * y) / square
    share = min(max(share, 0.0), 1.0)
    return (start[0] + share * x, start[1] + share * y)


JOINING: tuple[Callable[[Bench], Tool], ...] = (
    PivotTool, SlideTool, SlotTool, RodTool, JackTool, GearingTool, LatchTool,
)  # fmt: skip
