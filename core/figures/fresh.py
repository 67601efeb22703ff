"""A figure of one thing as it is begun: named after it, over a whole sequence, without a published size."""

from __future__ import annotations

import math

from msgspec.structs import replace

from core.document.figure_edits import as_written
from core.document.fresh import fresh_id, fresh_name
from core.document.names import name_of
from core.document.project import Body, Circle, Connection, Figure, FigurePoint, Jack, Moment, Point, Project, Quantity
from core.figures.diameters import SAME_PLACE, diameter_of, hub_of
from core.figures.measure import NotMeasured
from core.figures.result import Roundness
from core.geometry.extents import farthest
from core.geometry.outlines import outline

SEEN_EDGE_ON = 0.75
"""A body whose outline stands back so far from the circle that it fills is taken to be seen edge on."""


def fresh_figure(
    project: Project,
    quantity: Quantity,
    of: Body | Connection,
    *,
    sequence: str = "",
    moment: Moment | None = None,
    about: Point | None = None,
) -> Figure:
    """A travel or stroke over a whole sequence; a jack's length at a moment, and a diameter about a point of a body,
    where one is given."""
    name = fresh_name({one.name for one in project.figures}, f"{name_of(of)} {quantity}")
    figure = Figure(
        id=fresh_id(project, name), name=name, quantity=quantity, of=of.id, full_size=is_scaled(project)
    )  # fmt: skip
    if quantity in ("travel", "stroke"):
        ends = [Moment(sequence=sequence, at="start"), Moment(sequence=sequence, at="end")]
        return replace(figure, between=as_written(ends))
    if quantity == "length" and isinstance(of, Jack) and moment is not None:
        return replace(figure, between=as_written([moment]))
    if quantity == "diameter" and about is not None:
        return replace(figure, between=as_written([FigurePoint(body=of.id, point=about)]))
    return replace(figure, across="outline") if quantity == "diameter" and _is_edge_on(project, figure) else figure


def is_scaled(project: Project) -> bool:
    """Whether what is published of an aircraft is usually not the model's: that of its prototype."""
    return project.aircraft.scale != 1.0


def circle_under(project: Project, body: Body, at: Point) -> Point | None:
    """The centre of the largest circle of a body that holds a place as drawn; None where the whole body is round."""
    circles = [one for one in body.shapes if isinstance(one, Circle) and math.dist(one.centre, at) <= one.radius]
    if not circles:
        return None
    largest = max(circles, key=lambda one: one.radius)
    whole = farthest(body.shapes, hub_of(project, body, outline(body))[1])
    return None if whole <= largest.radius + SAME_PLACE else largest.centre


def _is_edge_on(project: Project, figure: Figure) -> bool:
    try:
        _, about = diameter_of(project, figure)
    except NotMeasured:
        return False
    return isinstance(about, Roundness) and about.nearest < SEEN_EDGE_ON * about.farthest
