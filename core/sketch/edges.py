"""Edges of shapes by themselves: the one that is meant by a place on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely

from core.document.project import Circle, Point, Ring, Shape
from core.geometry.curves import line_corners
from core.sketch.reshaping import edges_of, rings


def edge_near(shapes: Sequence[Shape], at: Point) -> Ring | None:
    """The edge that a place is nearest to, from corner to corner, or the rim of a circle; None of no shapes."""
    place = shapely.Point(at)
    every = [edge for shape in shapes for edge in _edges(shape)]
    return min(every, key=lambda edge: shapely.LineString(line_corners(edge)).distance(place), default=None)


def rim_of(circle: Circle) -> Ring:
    """A circle as two halves."""
    (x, y), radius = circle.centre, circle.radius
    return ((x - radius, y, 1.0), (x + radius, y, 1.0), (x - radius, y))


def _edges(shape: Shape) -> Iterator[Ring]:
    if isinstance(shape, Circle):
        yield rim_of(shape)
        return
    for number, ring in enumerate(rings(shape)):
        for at in range(edges_of(shape, number)):
            yield (ring[at], ring[(at + 1) % len(ring)][:2])
