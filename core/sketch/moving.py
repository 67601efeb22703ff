"""Shapes, and whole bodies, moved, turned, mirrored and scaled, with their arcs left true arcs."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Self

import msgspec

from core.document.project import Body, Circle, Corner, Point, PointPath, Ring, Shape, Wall


@dataclass(frozen=True, slots=True, kw_only=True)
class Likeness:
    """A map that keeps every shape's form: a point p goes to (a x - s b y + x0, b x + s a y + y0), s being -1 where it
    mirrors."""

    a: float = 1.0
    b: float = 0.0
    x: float = 0.0
    y: float = 0.0
    mirrors: bool = False

    @classmethod
    def moving(cls, x: float, y: float) -> Self:
        return cls(x=x, y=y)

    @classmethod
    def turning(cls, degrees: float, about: Point = (0.0, 0.0)) -> Self:
        """Counter-clockwise about a point; quarters of a turn are exact."""
        cosine, sine = _exact_turn(degrees)
        return cls(a=cosine, b=sine)._about(about)

    @classmethod
    def scaling(cls, factor: float, about: Point = (0.0, 0.0)) -> Self:
        return cls(a=factor)._about(about)

    @classmethod
    def mirroring(cls, first: Point, second: Point) -> Self:
        """Over the line through two points, which must not be one."""
        x, y = second[0] - first[0], second[1] - first[1]
        square = x * x + y * y
        return cls(a=(x * x - y * y) / square, b=2.0 * x * y / square, mirrors=True)._about(first)

    @classmethod
    def joining(cls, start: Point, end: Point, to_start: Point, to_end: Point) -> Self:
        """That which brings one stretch onto another, turning and scaling it; start and end must not be one."""
        x, y = end[0] - start[0], end[1] - start[1]
        u, v = to_end[0] - to_start[0], to_end[1] - to_start[1]
        square = x * x + y * y
        a, b = (x * u + y * v) / square, (x * v - y * u) / square
        return cls(a=a, b=b, x=to_start[0] - a * start[0] + b * start[1], y=to_start[1] - b * start[0] - a * start[1])

    @property
    def scale(self) -> float:
        return math.hypot(self.a, self.b)

    def point(self, at: Point) -> Point:
        side = -1.0 if self.mirrors else 1.0
        return (
            self.a * at[0] - side * self.b * at[1] + self.x,
            self.b * at[0] + side * self.a * at[1] + self.y,
        )

    def direction(self, along: Point) -> Point:
        """A direction turned, of the length it had."""
        side = -1.0 if self.mirrors else 1.0
        return (
            (self.a * along[0] - side * self.b * along[1]) / self.scale,
            (self.b * along[0] + side * self.a * along[1]) / self.scale,
        )

    def corner(self, corner: Corner) -> Corner:
        """A mirrored arc bends the other way."""
        place = self.point((corner[0], corner[1]))
        if len(corner) < 3:
            return place
        return (*place, -corner[2] if self.mirrors else corner[2])

    def _about(self, at: Point) -> Self:
        moved = self.point(at)
        return replace(self, x=at[0] - moved[0], y=at[1] - moved[1])


def moved_shape(shape: Shape, by: Likeness) -> Shape:
    if isinstance(shape, Circle):
        return msgspec.structs.replace(shape, centre=by.point(shape.centre), radius=shape.radius * by.scale)
    if isinstance(shape, Wall):
        return msgspec.structs.replace(shape, points=_ring(shape.points, by), thickness=shape.thickness * by.scale)
    return msgspec.structs.replace(
        shape, points=_ring(shape.points, by), holes=tuple(_ring(hole, by) for hole in shape.holes)
    )


def moved_body(body: Body, by: Likeness) -> Body:
    """A body's shapes and its centre of mass; a mass is weighed and stays as it is."""
    centre = None if body.centre_of_mass is None else by.point(body.centre_of_mass)
    return msgspec.structs.replace(
        body, shapes=tuple(moved_shape(shape, by) for shape in body.shapes), centre_of_mass=centre
    )


def moved_path(path: PointPath, by: Likeness) -> PointPath:
    """Of the same point of a body that has been moved."""
    return msgspec.structs.replace(path, point=by.point(path.point))


def _ring(ring: Ring, by: Likeness) -> Ring:
    return tuple(by.corner(corner) for corner in ring)


def _exact_turn(degrees: float) -> tuple[float, float]:
    quarters = degrees / 90.0
    if quarters == round(quarters):
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[round(quarters) % 4]
    return math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
