"""Measuring at the moment that is looked at: what is picked stays measured while the moment runs, until it is thrown
away, or kept as a figure of the project.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import shapely
from msgspec.structs import replace

from app.sheet.bench import Bench
from app.sheet.standing import Stand
from app.sheet.tools.collecting import Collecting
from app.sheet.tools.drafts import line_mark
from app.sheet.tools.tool import Hand, Preview, Tool
from core.document.figure_edits import SetFigure, as_written
from core.document.fresh import fresh_id, fresh_name
from core.document.lengths import shown_elsewhere, shown_length
from core.document.project import Figure, FigurePoint, Gearing, Pivot, Point, Project
from core.drawing.drawing import Label, Line
from core.figures.measure import NotMeasured, angle_between, drawn_at, nearest_points, placed, standing
from core.geometry.outlines import outline
from core.sketch.snap_targets import Kind
from core.units import format_angle

ON_A_BODY = 1e-6
KEEP = "Enter keeps it, Escape drops it"
Measured = tuple[float, tuple[Point, ...]]
"""Millimetres or degrees, and the line that shows them."""


class _Measuring(Collecting[FigurePoint]):
    as_drawn = False
    needed = 2
    quantity = "distance"
    hints: tuple[str, ...] = ()

    def hint(self) -> str:
        if len(self._taken) < self.needed:
            return self.hints[len(self._taken)]
        measured, project = self._measured(), self._bench.project
        if measured is None or project is None:
            return KEEP
        return f"{self.told(project, measured[0])}, {self.told_besides(project, measured[0])} – {KEEP}"

    def press(self, hand: Hand) -> None:
        self._hand = hand
        if len(self._taken) == self.needed:
            self._taken = []
        point = self.pick(hand)
        if point is None:
            self._bench.session.trouble.emit("Nothing that can be measured is drawn there")
        else:
            self._taken = [*self._taken, point]
        self._bench.changed.emit()

    def finish(self) -> None:
        """Keep what is measured as a figure without a published size, which the panel of figures can give it."""
        project = self._bench.project
        if project is None or len(self._taken) < self.needed:
            return
        name = fresh_name({one.name for one in project.figures}, self.quantity.capitalize())
        figure = Figure(
            id=fresh_id(project, name), name=name, quantity=self.quantity,  # type: ignore[arg-type]
            between=as_written(replace(one, at=self._bench.stand().moment) for one in self._taken),
            confidence="measured",
        )  # fmt: skip
        if self._bench.push(SetFigure(figure, f"Keep {name}")):
            self._taken = []
            self._bench.made.emit(figure.id)
            self._bench.changed.emit()

    # ---- what is measured ------------------------------------------------------------------------------------------

    def pick(self, hand: Hand) -> FigurePoint | None:
        """What lies under the hand, as it is written in a figure, without its moment."""
        project = self._bench.project
        return None if project is None else point_under(project, self._bench.view, hand, self._bench.stand())

    def measure(self, project: Project, points: Sequence[FigurePoint], stand: Stand) -> Measured:
        places = [place_of(project, one, stand) for one in points]
        return float(np.hypot(*(places[1] - places[0]))), tuple(_point(one) for one in places)

    def _measured(self) -> Measured | None:
        project = self._bench.project
        if project is None or len(self._taken) < self.needed:
            return None
        try:
            return self.measure(project, self._taken, self._bench.stand())
        except NotMeasured:
            return None

    def told(self, project: Project, value: float) -> str:
        """In the project's unit."""
        return shown_length(project, value, finer=1)

    def told_besides(self, project: Project, value: float) -> str:
        """In the other unit family, and at full size in both."""
        return length_besides(project, value)

    def _begun(self, project: Project) -> list[Point]:
        """The points picked so far, and the hand after them."""
        hand = [self._hand.point] if self._hand is not None and len(self._taken) < self.needed else []
        try:
            return [*(_point(place_of(project, one, self._bench.stand())) for one in self._taken), *hand]
        except NotMeasured:
            return []

    def preview(self) -> Preview:
        project, measured = self._bench.project, self._measured()
        if project is None:
            return Preview()
        if measured is None:
            return Preview(line_mark(self._begun(project), Line.THIN))
        value, line = measured
        middle = line[len(line) // 2] if len(line) != 2 else _middle(*line)
        label = Label(text=self.told(project, value), at=middle, offset=(6.0, 6.0), boxed=True)
        return Preview(line_mark(line, Line.DIMENSION), (label,))


class DistanceTool(_Measuring):
    id, words = "measure-distance", "Measure a distance"
    hints = (
        "Click a corner, a centre or a joint to measure from",
        "Click what to measure to",
    )


class AngleTool(_Measuring):
    id, words = "measure-angle", "Measure an angle"
    quantity = "angle"
    needed = 3
    hints = (
        "Click a point of the first side",
        "Click the corner of the angle",
        "Click a point of the second side",
    )

    def measure(self, project: Project, points: Sequence[FigurePoint], stand: Stand) -> Measured:
        places = [place_of(project, one, stand) for one in points]
        return angle_between(places), tuple(_point(one) for one in places)

    def told(self, project: Project, value: float) -> str:
        return format_angle(value, decimals=3)

    def told_besides(self, project: Project, value: float) -> str:
        return format_angle(value, decimals=0, parts=3)


class GapTool(_Measuring):
    id, words = "measure-gap", "Measure a gap"
    quantity = "gap"
    hints = ("Click the first body", "Click the second body")

    def pick(self, hand: Hand) -> FigurePoint | None:
        project = self._bench.project
        bodies = () if project is None else bodies_standing(project, self._bench.view, hand, self._bench.stand())
        taken = {one.body for one in self._taken}
        return next((FigurePoint(body=one) for one in bodies if one not in taken), None)

    def measure(self, project: Project, points: Sequence[FigurePoint], stand: Stand) -> Measured:
        bodies = {one.id: one for one in project.bodies}
        if any(one.body not in bodies for one in points):
            raise NotMeasured("It is there no longer.")
        shapes = [standing(outline(bodies[one.body or ""]), stand.pose(one.body or "")) for one in points]
        away, first, second = nearest_points(*shapes)
        return away, (first, second)


MEASURING: tuple[Callable[[Bench], Tool], ...] = (DistanceTool, AngleTool, GapTool)


# ---- picking --------------------------------------------------------------------------------------------------------


def point_under(project: Project, view: str, hand: Hand, stand: Stand) -> FigurePoint | None:
    """The pivot that the hand snapped to, or the body's point under it; of nothing the airframe's."""
    if hand.snap.kind is Kind.PIVOT:
        pivot = next((c for c in project.connections if isinstance(c, Pivot) and c.id == hand.snap.owner), None)
        if pivot is not None:
            return FigurePoint(pivot=pivot.id)
    body = hand.snap.owner if any(one.id == hand.snap.owner for one in project.bodies) else None
    body = body or _joined_body(project, hand, stand) or next(iter(bodies_standing(project, view, hand, stand)), None)
    body = body or next((one.id for one in project.bodies if one.view == view and one.fixed), None)
    if body is None:
        return None
    x, y = stand.drawn(body, hand.point)
    return FigurePoint(body=body, point=(round(x, 6) + 0.0, round(y, 6) + 0.0))


def _joined_body(project: Project, hand: Hand, stand: Stand) -> str | None:
    """The body that carries the end of a connection that the hand snapped to."""
    one = next((each for each in project.connections if each.id == hand.snap.owner), None)
    if one is None or isinstance(one, Gearing):
        return None
    ends = getattr(one, "ends", None) or (one.at, one.at)  # type: ignore[union-attr]
    away = [np.hypot(*(placed(at, stand.pose(body)) - hand.point)) for body, at in zip(one.bodies, ends, strict=True)]
    return one.bodies[int(np.argmin(away))]


def bodies_standing(project: Project, view: str, hand: Hand, stand: Stand) -> tuple[str, ...]:
    """The bodies in sight under the hand where they stand, the last drawn first."""
    return tuple(
        body.id
        for body in reversed(project.bodies)
        if body.view == view
        and body.shapes
        and not body.hidden
        and outline(body).distance(shapely.Point(stand.drawn(body.id, hand.raw))) <= 0.25 * hand.reach + ON_A_BODY
    )


def place_of(project: Project, point: FigurePoint, stand: Stand) -> np.ndarray:
    """(2,) where a figure's point stands; raises NotMeasured where it is there no longer."""
    body, drawn = drawn_at(project, point)
    return placed(drawn, stand.pose(body))


def length_besides(project: Project, value: float) -> str:
    """A length in the other unit family, and at full size in both."""
    said, scale = shown_elsewhere(project, value, finer=1), project.aircraft.scale
    if scale == 1.0:
        return said
    full = value * scale
    return f"{said}; full size {shown_length(project, full)}, {shown_elsewhere(project, full)}"


def _point(place: Sequence[float] | np.ndarray) -> Point:
    return (float(place[0]), float(place[1]))


def _middle(one: Point, other: Point) -> Point:
    return (0.5 * (one[0] + other[0]), 0.5 * (one[1] + other[1]))
