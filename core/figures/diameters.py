"""How far across a body is: the circle that it fills about its hub, or the long side of what is seen edge on."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from core.document.measured import centre_of
from core.document.names import by_id
from core.document.project import Body, Circle, Figure, Pivot, Point, Project
from core.figures.measure import NotMeasured
from core.figures.result import Roundness, Sides
from core.geometry.extents import farthest, width
from core.geometry.outlines import middle, outline

SAME_PLACE = 1e-3
"""Millimetres from a point at which a circle's centre still is that point."""
NEAR_THE_MIDDLE = 0.1
"""How far from an outline's middle a pivot may be and still be its hub, as a share of the radius."""


def diameter_of(project: Project, figure: Figure) -> tuple[float, Roundness | Sides]:
    """Millimetres across the body that a figure is of, and what that is of its outline; raises NotMeasured."""
    body = by_id(project.bodies, figure.of)
    if body is None:
        raise NotMeasured("There is no body of that name.")
    shape = outline(body)
    if shape.is_empty:
        raise NotMeasured("It has no outline.")
    centre = centre_of(figure)
    if centre is not None:
        return _circle_about(body, centre)
    return _sides(body, shape) if figure.across == "outline" else _about_hub(project, body, shape)


def circles_about(body: Body, centre: Point) -> tuple[Circle, ...]:
    """The circles of a body that are drawn about a point of it."""
    circles = (one for one in body.shapes if isinstance(one, Circle))
    return tuple(one for one in circles if math.dist(one.centre, centre) <= SAME_PLACE)


def _circle_about(body: Body, centre: Point) -> tuple[float, Roundness]:
    """Of a wheel that is drawn in one with its leg."""
    radius = max((one.radius for one in circles_about(body, centre)), default=0.0)
    if radius == 0.0:
        raise NotMeasured("No circle of it is drawn about that point.")
    across = ((centre[0] - radius, centre[1]), (centre[0] + radius, centre[1]))
    return 2.0 * radius, Roundness(about=None, farthest=radius, nearest=radius, across=across)


def _about_hub(project: Project, body: Body, shape: BaseGeometry) -> tuple[float, Roundness]:
    about, centre = hub_of(project, body, shape)
    far = farthest(body.shapes, centre)
    solid = shapely.union_all([shapely.Polygon(one) for one in shapely.get_exterior_ring(shapely.get_parts(shape))])
    at = shapely.Point(centre)
    near = float(at.distance(solid.boundary)) if solid.contains(at) else 0.0
    across = ((centre[0] - far, centre[1]), (centre[0] + far, centre[1]))
    return 2.0 * far, Roundness(about=about, farthest=far, nearest=min(near, far), across=across)


def hub_of(project: Project, body: Body, shape: BaseGeometry) -> tuple[str | None, Point]:
    """The pivot that a body turns on near its middle, and where that is; without one, the middle itself."""
    centre = middle(shape)
    within = NEAR_THE_MIDDLE * farthest(body.shapes, centre)
    pivots = [one for one in project.connections if isinstance(one, Pivot) and body.id in one.bodies]
    nearest = min(pivots, key=lambda one: math.dist(one.at, centre), default=None)
    if nearest is None or math.dist(nearest.at, centre) > within:
        return None, centre
    return nearest.id, nearest.at


def _sides(body: Body, shape: BaseGeometry) -> tuple[float, Sides]:
    box = shapely.get_coordinates(shapely.oriented_envelope(shape))
    edge = box[1] - box[0] if len(box) > 2 else np.array([1.0, 0.0])
    along = math.atan2(edge[1], edge[0])
    widths = [(width(body.shapes, direction), direction) for direction in (along, along + 0.5 * math.pi)]
    (short, _), (long, direction) = sorted(widths)
    x, y = shapely.get_coordinates(shapely.centroid(shapely.MultiPoint(box[:-1])))[0].tolist()
    right, up = 0.5 * long * math.cos(direction), 0.5 * long * math.sin(direction)
    return long, Sides(long=long, short=short, across=((x - right, y - up), (x + right, y + up)))
