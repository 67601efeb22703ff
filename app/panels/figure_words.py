"""What a figure measures, in words."""

from __future__ import annotations

import msgspec

from core.document.lengths import shown_point
from core.document.measured import is_of_something, points_of
from core.document.names import name_of
from core.document.project import Figure, FigurePoint, Project, Quantity
from core.sketch.reshaping import middle_of_edge

OF_WORDS: dict[Quantity, str] = {
    "travel": "travel",
    "stroke": "stroke used",
    "length": "length of a rod",
    "diameter": "diameter",
}
"""The quantities that are of one thing, as they are chosen from."""
COMPARED = (("used", "the stroke used"), ("available", "the stroke available"))
ACROSS = (("circle", "its circle, about its hub"), ("outline", "its long side, seen edge on"))


def measured_words(project: Project, figure: Figure) -> str:
    """What a figure measures, in words: `distance from Leg pivot to Nose leg at 0, −66 mm`."""
    names = {one.id: name_of(one) for one in (*project.bodies, *project.connections)}
    if is_of_something(figure.quantity):
        which = f" {figure.compared}" if figure.quantity == "stroke" else ""
        return f"{figure.quantity}{which} of {names.get(figure.of or '', figure.of or 'nothing')}"
    try:
        points = points_of(figure)
    except msgspec.ValidationError:
        return f"{figure.quantity}; between what is not clear"
    return f"{figure.quantity} from {' to '.join(_point_words(project, names, one) for one in points)}"


def _point_words(project: Project, names: dict[str, str], point: FigurePoint) -> str:
    name = names.get(point.pivot or point.body or "", "?")
    if point.edge is not None:
        if len(point.edge) > 2:
            return f"rim of {name}"
        return f"edge of {name} at {shown_point(project, middle_of_edge(*point.edge))}"
    if point.point is None:
        return name
    return f"{name} at {shown_point(project, point.point)}"
