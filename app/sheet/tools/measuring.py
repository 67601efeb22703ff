"""Measuring at the moment that is looked at: what is picked stays measured while the moment runs, until it is thrown
away, or kept as a figure of the project.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress

import numpy as np
import shapely
from msgspec.structs import replace
from shapely.geometry.base import BaseGeometry

from app.sheet.bench import Bench
from app.sheet.standing import Stand
from app.sheet.tools.collecting import Collecting
from app.sheet.tools.drafts import line_mark
from app.sheet.tools.tool import Hand, Preview, Tool
from app.sheet.tools.under_hand import bodies_standing, edge_under, place_of, point_under
from core.document.figure_edits import SetFigure, as_written
from core.document.fresh import fresh_id, fresh_name
from core.document.lengths import shown_elsewhere, shown_length
from core.document.project import Figure, FigurePoint, Point, Project
from core.drawing.drawing import Label, Line, Mark
from core.figures.fresh import is_scaled
from core.figures.gaps import drawn_shape, nearest_points, standing
from core.figures.measure import NotMeasured, angle_between
from core.units import format_angle

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
            self._bench.session.turn_down("Nothing that can be measured is drawn there")
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
            full_size=is_scaled(project), confidence="measured",
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
    """Between bodies, since those are what must not touch; Shift asks for what the hand snapped to instead."""

    id, words = "measure-gap", "Measure a gap"
    quantity = "gap"
    hints = (
        "Click the first body; with Shift a corner, a joint or an edge",
        "Click the second body; with Shift a corner, a joint or an edge",
    )

    def pick(self, hand: Hand) -> FigurePoint | None:
        project, view, stand = self._bench.project, self._bench.view, self._bench.stand()
        if project is None:
            return None
        if hand.shift:
            return edge_under(project, hand, stand) or point_under(project, view, hand, stand)
        taken = {one.body for one in self._taken if one.point is None and one.edge is None}
        bodies = bodies_standing(project, view, hand, stand)
        return next((FigurePoint(body=one) for one in bodies if one not in taken), None)

    def measure(self, project: Project, points: Sequence[FigurePoint], stand: Stand) -> Measured:
        away, first, second = nearest_points(*(_stands(project, one, stand) for one in points))
        return away, (first, second)

    def preview(self) -> Preview:
        """With the edges that were picked."""
        shown, project = super().preview(), self._bench.project
        marks: list[Mark] = []
        for one in self._taken:
            if project is not None and one.edge is not None:
                with suppress(NotMeasured):
                    line = shapely.get_coordinates(_stands(project, one, self._bench.stand()))
                    marks += line_mark([_point(at) for at in line])
        return Preview((*marks, *shown.marks), shown.labels)


MEASURING: tuple[Callable[[Bench], Tool], ...] = (DistanceTool, AngleTool, GapTool)


def length_besides(project: Project, value: float) -> str:
    """A length in the other unit family, and at full size in both."""
    said, scale = shown_elsewhere(project, value, finer=1), project.aircraft.scale
    if scale == 1.0:
        return said
    full = value * scale
    return f"{said}; full size {shown_length(project, full)}, {shown_elsewhere(project, full)}"


def _stands(project: Project, end: FigurePoint, stand: Stand) -> BaseGeometry:
    """What a gap ends at, where it stands; raises NotMeasured where it is there no longer."""
    body, drawn = drawn_shape(project, end)
    return standing(drawn, stand.pose(body))


def _point(place: Sequence[float] | np.ndarray) -> Point:
    return (float(place[0]), float(place[1]))


def _middle(one: Point, other: Point) -> Point:
    return (0.5 * (one[0] + other[0]), 0.5 * (one[1] + other[1]))
