"""Gaps: how far bodies, points of them, joints and edges are apart, each at its moment or as drawn."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from core.document.names import by_id
from core.document.project import FigurePoint, Point, Project
from core.figures.measure import MotionFor, NotMeasured, drawn_at, poses_at
from core.geometry.curves import line_corners
from core.geometry.outlines import outline
from core.geometry.planar import Floats

FINE = 1e-4
"""How far, in mm, an edge that is an arc may stray from it when it is flattened to be measured."""


def gap_between(project: Project, one: FigurePoint, other: FigurePoint, *, motion_for: MotionFor) -> float:
    """Millimetres between two of these; 0 where they touch."""
    return nearest_points(*(_at_its_moment(project, each, motion_for) for each in (one, other)))[0]


def nearest_points(one: BaseGeometry, other: BaseGeometry) -> tuple[float, Point, Point]:
    """How far two outlines, lines or points are apart, and the two points where."""
    (x1, y1), (x2, y2) = shapely.shortest_line(one, other).coords
    return float(shapely.distance(one, other)), (x1, y1), (x2, y2)


def drawn_shape(project: Project, end: FigurePoint) -> tuple[str, BaseGeometry]:
    """The body that carries one end of a gap, and what of it is meant, as drawn; raises NotMeasured."""
    if end.point is not None or end.pivot is not None:
        carrier, at = drawn_at(project, end)
        return carrier, shapely.Point(at)
    body = by_id(project.bodies, end.body)
    shape = outline(body) if body is not None else None
    if body is None or shape is None or shape.is_empty:
        raise NotMeasured("There is no such body, or it has no outline.")
    return body.id, shape if end.edge is None else shapely.LineString(line_corners(end.edge, FINE))


def standing(drawn: BaseGeometry, pose: Floats) -> BaseGeometry:
    """What is drawn of a body where its pose x, y, turn in radians puts it."""
    cosine, sine = math.cos(pose[2]), math.sin(pose[2])
    return affine_transform(drawn, [cosine, -sine, sine, cosine, float(pose[0]), float(pose[1])])


def _at_its_moment(project: Project, end: FigurePoint, motion_for: MotionFor) -> BaseGeometry:
    body, shape = drawn_shape(project, end)
    return standing(shape, np.zeros(3) if end.at is None else poses_at(project, end.at, [body], motion_for)[0])
