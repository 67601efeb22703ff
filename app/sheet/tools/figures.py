"""Shapes of two or three clicks: circles, rectangles, bars and wheels; and holes, which are cut out of a body."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from app.sheet.bench import Bench
from app.sheet.tools.collecting import Collecting
from app.sheet.tools.drafts import end_of, length_and_angle, line_mark, shape_marks
from app.sheet.tools.offered import pins_of
from app.sheet.tools.tool import Field, Hand, Preview, Tool, Unit
from core.document.names import name_of
from core.document.project import Circle, Point, Shape, Span
from core.drawing.drawing import Line
from core.errors import UnreadableQuantity
from core.sizes.offer import lines_of
from core.sizes.offers import tyres
from core.sizes.tyres import Tyre, across_words, doubt, known_words, parse_tyre
from core.sketch.body_edits import ReplaceShapes
from core.sketch.combining import cut
from core.sketch.constructing import (
    bar_between,
    circle_by_three_points,
    circle_by_two_points,
    rectangle,
    wheel,
)
from core.units import format_length

TYRES = lines_of(tyres())


class _Points(Collecting[Point]):
    """Collects a few points, and makes a shape of them and the hand."""

    needed = 2
    hints: tuple[str, ...] = ()

    def hint(self) -> str:
        return self.hints[min(len(self._taken), len(self.hints) - 1)]

    def start(self) -> Point | None:
        return self._taken[-1] if self._taken else None

    def press(self, hand: Hand) -> None:
        self._hand = hand
        self._take(hand.point)

    def _take(self, point: Point) -> None:
        points = [*self._taken, point]
        if len(points) < self.needed:
            self._taken = points
        elif self._done(points):
            self._taken = []
        self._bench.changed.emit()

    def shape(self, points: Sequence[Point]) -> Shape | None:
        raise NotImplementedError

    def _done(self, points: Sequence[Point]) -> bool:
        return self._bench.draw(self.shape(points))

    def preview(self) -> Preview:
        if self._hand is None or not self._taken:
            return Preview()
        points = [*self._taken, self._hand.point]
        made = self.shape(points) if len(points) == self.needed else None
        return Preview((*shape_marks(made), *line_mark(points, Line.THIN)))

    def fields(self) -> Sequence[Field]:
        x, y = self._hand.point if self._hand is not None else (None, None)
        if not self._taken:
            return (Field(id="x", words="x", value=x), Field(id="y", words="y", value=y))
        return self.second_fields()

    def second_fields(self) -> Sequence[Field]:
        return ()

    def enter(self, values: Mapping[str, float]) -> None:
        if not self._taken and {"x", "y"} & set(values):
            x, y = self._hand.point if self._hand is not None else (0.0, 0.0)
            self._take((values.get("x", x), values.get("y", y)))
        elif self._taken:
            self.enter_second(values)

    def enter_second(self, values: Mapping[str, float]) -> None:
        """Numbers for the shape itself."""


class CircleTool(_Points):
    id, words = "circle", "Circle"
    hints = ("Click the centre", "Click how far it reaches, or type its radius or diameter")

    def shape(self, points: Sequence[Point]) -> Shape | None:
        radius = math.dist(points[0], points[1])
        return Circle(centre=points[0], radius=radius) if radius > 1e-6 else None

    def second_fields(self) -> Sequence[Field]:
        radius = None if self._hand is None else math.dist(self._taken[0], self._hand.point)
        double = None if radius is None else 2.0 * radius
        return (
            Field(id="radius", words="Radius", value=radius, positive=True),
            Field(id="diameter", words="Diameter", value=double, positive=True),
        )

    def enter_second(self, values: Mapping[str, float]) -> None:
        radius = values.get("radius", 0.5 * values.get("diameter", 0.0))
        if radius > 0.0:
            self._take((self._taken[0][0] + radius, self._taken[0][1]))


class CircleByEndsTool(_Points):
    id, words = "circle-by-ends", "Circle by two points"
    hints = ("Click a point of the circle", "Click the point opposite")

    def shape(self, points: Sequence[Point]) -> Shape | None:
        return circle_by_two_points(points[0], points[1])


class CircleThroughTool(_Points):
    id, words = "circle-through", "Circle by three points"
    needed = 3
    hints = ("Click a point of the circle", "Click a second point of it", "Click a third point of it")

    def shape(self, points: Sequence[Point]) -> Shape | None:
        return circle_by_three_points(points[0], points[1], points[2])


class BoxTool(_Points):
    id, words = "box", "Rectangle"
    hints = ("Click a corner", "Click the opposite corner, or type width and height")

    def start(self) -> Point | None:
        return None

    def shape(self, points: Sequence[Point]) -> Shape | None:
        return rectangle(points[0], points[1])

    def second_fields(self) -> Sequence[Field]:
        hand = self._hand
        wide = None if hand is None else hand.point[0] - self._taken[0][0]
        high = None if hand is None else hand.point[1] - self._taken[0][1]
        return (Field(id="width", words="Width", value=wide), Field(id="height", words="Height", value=high))

    def enter_second(self, values: Mapping[str, float]) -> None:
        x, y = self._taken[0]
        hand = self._hand.point if self._hand is not None else (x, y)
        self._take((x + values.get("width", hand[0] - x), y + values.get("height", hand[1] - y)))


class BarTool(_Points):
    id, words = "bar", "Bar"
    hints = ("Click the centre of one end", "Click the centre of the other end, or type length, angle and width")

    def shape(self, points: Sequence[Point]) -> Shape | None:
        return bar_between(points[0], points[1], self._bench.width)

    def second_fields(self) -> Sequence[Field]:
        hand = self._hand
        length, angle = (None, None) if hand is None else length_and_angle(self._taken[0], hand.point)
        return (
            Field(id="length", words="Length", value=length),
            Field(id="angle", words="Angle", unit=Unit.ANGLE, value=angle),
            Field(id="width", words="Width", value=self._bench.width, positive=True),
        )

    def enter_second(self, values: Mapping[str, float]) -> None:
        if values.get("width", 0.0) > 0.0:
            self._bench.width = values["width"]
        if {"length", "angle"} & set(values) and self._hand is not None:
            length, angle = length_and_angle(self._taken[0], self._hand.point)
            self._take(end_of(self._taken[0], values.get("length", length), values.get("angle", angle)))
        self._bench.changed.emit()


class WheelTool(_Points):
    id, words = "wheel", "Wheel"
    hints = ("Click the axle", "Click the tread, or type a tyre or a diameter")

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self._bore = 0.0
        self._tyre: Tyre | None = None
        self._beside: float | None = None
        """The diameter that was typed beside the tyre's name, at full size."""

    def hint(self) -> str:
        """A tyre whose real size is known from a table is drawn at its largest, which a bay has to clear, and of any
        other it is said that it is not; what of the numbers does not fit the rest is told."""
        tyre = self._tyre
        if tyre is None:
            return super().hint()
        wrong = doubt(tyre, self._beside)
        if wrong:
            return f"▲ {tyre.name}: {wrong}"
        if tyre.limits is None:
            return f"▲ {tyre.name} is drawn {known_words(tyre)}"
        loaded = format_length(tyre.limits.loaded, unit="in", decimals=2)
        return (
            f"{tyre.name} is really {across_words(tyre)}, and {loaded} from axle to ground under its load, by "
            f"{tyre.limits.source}"
        )

    def shape(self, points: Sequence[Point]) -> Shape | None:
        return wheel(points[0], 2.0 * math.dist(points[0], points[1]), bore=self._bore)

    def second_fields(self) -> Sequence[Field]:
        double = None if self._hand is None else 2.0 * math.dist(self._taken[0], self._hand.point)
        return (
            Field(id="diameter", words="Diameter", value=double, positive=True),
            Field(id="bore", words="Bore", value=self._bore, offers=pins_of(self._bench)),
            Field(id="tyre", words="Tyre", unit=Unit.NAME, offers=TYRES),
        )

    def read(self, field: str, text: str) -> float:
        """The diameter at model size of a tyre by its printed size, or of a number alone."""
        try:
            tyre = parse_tyre(text)
        except UnreadableQuantity as error:
            raise ValueError(str(error)) from None
        if tyre.largest is None:
            raise ValueError(f"{tyre.name} says no outer diameter; type that, or another size of the tyre")
        self._tyre = tyre
        return tyre.largest / self._scale

    @property
    def _scale(self) -> float:
        project = self._bench.project
        return 1.0 if project is None else project.aircraft.scale

    def enter_second(self, values: Mapping[str, float]) -> None:
        self._bore = max(values.get("bore", self._bore), 0.0)
        diameter = values.get("diameter", values.get("tyre", 0.0))
        if diameter > 0.0:
            self._tyre = self._tyre if "tyre" in values else None
            self._beside = values["diameter"] * self._scale if "diameter" in values else None
            self._take((self._taken[0][0] + 0.5 * diameter, self._taken[0][1]))
        self._bench.changed.emit()

    def press(self, hand: Hand) -> None:
        self._tyre, self._beside = None, None
        super().press(hand)

    def _done(self, points: Sequence[Point]) -> bool:
        """A wheel is a wheel, whatever was drawn before, and as deep as its tyre is wide."""
        role, self._bench.role = self._bench.role, "wheel"
        name = None if self._tyre is None else self._tyre.name
        done = self._bench.draw(self.shape(points), depth=self._depth(), tyre=name)
        self._bench.role = role
        return done

    def _depth(self) -> Span | None:
        project, tyre = self._bench.project, self._tyre
        if project is None or tyre is None or tyre.widest is None:
            return None
        half = round(0.5 * tyre.widest / project.aircraft.scale, 4)
        return (-half, half)


class HoleTool(_Points):
    """Cuts a round hole out of the body under its centre."""

    id, words = "hole", "Hole"
    hints = ("Click the hole's centre, on the body that gets it", "Click how far it reaches, or type its diameter")

    def shape(self, points: Sequence[Point]) -> Shape | None:
        radius = math.dist(points[0], points[1])
        return Circle(centre=points[0], radius=radius) if radius > 1e-6 else None

    def second_fields(self) -> Sequence[Field]:
        double = None if self._hand is None else 2.0 * math.dist(self._taken[0], self._hand.point)
        return (Field(id="diameter", words="Diameter", value=double, offers=pins_of(self._bench), positive=True),)

    def enter_second(self, values: Mapping[str, float]) -> None:
        if values.get("diameter", 0.0) > 0.0:
            self._take((self._taken[0][0] + 0.5 * values["diameter"], self._taken[0][1]))

    def _done(self, points: Sequence[Point]) -> bool:
        bench, hole = self._bench, self.shape(points)
        found = bench.free_at(points[0], self._hand.reach if self._hand is not None else 0.0)
        project = bench.project
        body = next((one for one in project.bodies if one.id in found[:1]), None) if project is not None else None
        if body is None or hole is None:
            bench.session.turn_down("There is no body there to cut a hole into")
            return False
        left = cut(body.shapes, [hole])
        if not left:
            bench.session.turn_down(f"Nothing of {name_of(body)} would be left")
            return False
        return bench.push(ReplaceShapes(body.id, left, f"Cut a hole into {name_of(body)}"))


DRAWING: tuple[Callable[[Bench], Tool], ...] = (
    CircleTool, CircleByEndsTool, CircleThroughTool, BoxTool, BarTool, WheelTool, HoleTool,
)  # fmt: skip
