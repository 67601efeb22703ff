"""What a figure measures, in words."""

from __future__ import annotations

import msgspec
import shapely

from core.document.lengths import shown_point
from core.document.measured import centre_of, is_of_something, points_of
from core.document.names import name_of
from core.document.project import Figure, FigurePoint, Point, Project, Ring
from core.geometry.curves import line_corners


def measured_words(project: Project, figure: Figure) -> str:
    """What a figure measures, in words: `distance from Leg pivot to Nose leg at 0, −66 mm`."""
    names = {one.id: name_of(one) for one in (*project.bodies, *project.connections)}
    if is_of_something(figure.quantity):
        which = f" {figure.compared}" if figure.quantity == "stroke" else ""
        thing = names.get(figure.of or "", figure.of or "nothing")
        return f"{figure.quantity}{which} of {thing}{_about(project, figure)}"
    try:
        points = points_of(figure)
    except msgspec.ValidationError:
        return f"{figure.quantity}; between what is not clear"
    return f"{figure.quantity} from {' to '.join(_point_words(project, names, one) for one in points)}"


def _about(project: Project, figure: Figure) -> str:
    """Which circle of a body it is across, where that is said."""
    try:
        centre = centre_of(figure) if figure.quantity == "diameter" else None
    except msgspec.ValidationError:
        centre = None
    return "" if centre is None else f", its circle about {shown_point(project, centre)}"


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
