"""How far shapes reach, with arcs and circles as they are and not flattened."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from core.document.project import Circle, Polygon, Shape
from core.geometry.curves import arc
from core.geometry.outlines import outline_of_shape
from core.geometry.planar import Floats

WHOLE = 2.0 * math.pi
_Arc = tuple[float, float, float, float, float]
"""Centre x and y, radius, first angle and signed turn."""


def farthest(shapes: Sequence[Shape], centre: Sequence[float]) -> float:
    """How far shapes reach from a point, mm."""
    most = 0.0
    for shape in shapes:
        corners = _corners(shape)
        most = max(most, float(np.hypot(*(corners - np.asarray(centre, dtype=float)).T).max(initial=0.0)))
        for x, y, radius, first, turn in _arcs(shape):
            away = math.dist((x, y), centre)
            if away < 1e-12 or _holds(first, turn, math.atan2(y - centre[1], x - centre[0])):
                most = max(most, away + radius)
    return most


def width(shapes: Sequence[Shape], direction: float) -> float:
    """How wide shapes are together along a direction in radians, mm."""
    return _support(shapes, direction) + _support(shapes, direction + math.pi)


def _support(shapes: Sequence[Shape], direction: float) -> float:
    """How far shapes reach along a direction from the origin; negative where they all lie behind it."""
    along = np.array([math.cos(direction), math.sin(direction)])
    most = -math.inf
    for shape in shapes:
        most = max(most, float((_corners(shape) @ along).max(initial=-math.inf)))
        for x, y, radius, first, turn in _arcs(shape):
            if _holds(first, turn, direction):
                most = max(most, float(along @ (x, y)) + radius)
    return most


def _corners(shape: Shape) -> Floats:
    """(n, 2); of a wall those of its sides."""
    if isinstance(shape, Circle):
        return np.empty((0, 2))
    if isinstance(shape, Polygon):
        return np.array([corner[:2] for corner in shape.points], dtype=float)
    return shapely.get_coordinates(outline_of_shape(shape))


def _arcs(shape: Shape) -> Iterator[_Arc]:
    if isinstance(shape, Circle):
        yield (*shape.centre, shape.radius, 0.0, WHOLE)
    elif isinstance(shape, Polygon):
        for number, corner in enumerate(shape.points):
            if len(corner) > 2 and corner[2]:
                yield arc(corner, shape.points[(number + 1) % len(shape.points)], corner[2])


def _holds(first: float, turn: float, direction: float) -> bool:
    """Whether an arc that begins at an angle and turns so far passes a direction."""
    gone = (direction - first) if turn > 0.0 else (first - direction)
    return gone % WHOLE <= abs(turn)
