"""What a figure measures, in words."""

from __future__ import annotations

import msgspec
import shapely

from core.document.lengths import shown_point
from core.document.measured import is_of_something, points_of
from core.document.names import name_of
from core.document.project import Figure, FigurePoint, Point, Project, Ring
from core.geometry.curves import line_corners


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
        return f"edge of {name} at {shown_point(project, _middle_of(point.edge))}"
    if point.point is None:
        return name
    return f"{name} at {shown_point(project, point.point)}"


def _middle_of(edge: Ring) -> Point:
    middle = shapely.LineString(line_corners(edge)).interpolate(0.5, normalized=True)
    return (middle.x, middle.y)
