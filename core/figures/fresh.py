"""A figure of one thing as it is begun: named after it, over a whole sequence, without a published size."""

from __future__ import annotations

from msgspec.structs import replace

from core.document.figure_edits import as_written
from core.document.fresh import fresh_id, fresh_name
from core.document.names import name_of
from core.document.project import Body, Connection, Figure, Jack, Moment, Project, Quantity
from core.figures.diameters import diameter_of
from core.figures.measure import NotMeasured
from core.figures.result import Roundness

SEEN_EDGE_ON = 0.75
"""A body whose outline stands back so far from the circle that it fills is taken to be seen edge on."""


def fresh_figure(
    project: Project, quantity: Quantity, of: Body | Connection, *, sequence: str = "", moment: Moment | None = None
) -> Figure:
    """A travel or stroke over a whole sequence; a jack's length at a moment, where one is given."""
    name = fresh_name({one.name for one in project.figures}, f"{name_of(of)} {quantity}")
    figure = Figure(id=fresh_id(project, name), name=name, quantity=quantity, of=of.id)
    if quantity in ("travel", "stroke"):
        ends = [Moment(sequence=sequence, at="start"), Moment(sequence=sequence, at="end")]
        return replace(figure, between=as_written(ends))
    if quantity == "length" and isinstance(of, Jack) and moment is not None:
        return replace(figure, between=as_written([moment]))
    return replace(figure, across="outline") if quantity == "diameter" and _is_edge_on(project, figure) else figure


def _is_edge_on(project: Project, figure: Figure) -> bool:
    try:
        _, about = diameter_of(project, figure)
    except NotMeasured:
        return False
    return isinstance(about, Roundness) and about.nearest < SEEN_EDGE_ON * about.farthest
