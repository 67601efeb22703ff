"""Outlines that parts are really made with: rounded corners, tapered links, door skins. Arcs stay arcs, as bulges."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from core.document.project import Circle, Corner, Polygon, Ring, Shape, Wall
from sample_projects.tools.plane import Point, bearing, distance, polar, turned


def neat(value: float) -> float:
    """To a tenth of a micron: finer than any shop works, and short enough to read."""
    return round(value, 4) + 0.0


def spot(point: Sequence[float]) -> Point:
    return (neat(point[0]), neat(point[1]))


def corner(point: Sequence[float], bulge: float = 0.0) -> Corner:
    return (*spot(point), round(bulge, 9)) if bulge else spot(point)


def disc(centre: Point, radius: float) -> Circle:
    return Circle(centre=spot(centre), radius=neat(radius))


def rounded(corners: Iterable[tuple[float, float, float]]) -> Polygon:
    """A polygon whose corners (x, y, radius) are rounded off; radius 0 leaves a corner sharp."""
    return Polygon(points=rounded_ring(corners))


def rounded_ring(corners: Iterable[tuple[float, float, float]]) -> Ring:
    given = list(corners)
    points: list[Corner] = []
    for i, (x, y, radius) in enumerate(given):
        at, before, after = (x, y), given[i - 1][:2], given[(i + 1) % len(given)][:2]
        if radius <= 0.0:
            points.append(corner(at))
            continue
        turn = (bearing(at, after) - bearing(before, at) + 180.0) % 360.0 - 180.0
        back = radius * math.tan(math.radians(abs(turn)) / 2.0)
        start = polar(at, back, bearing(at, before))
        points.append(corner(start, math.tan(math.radians(turn) / 4.0)))
        points.append(corner(polar(at, back, bearing(at, after))))
    return tuple(points)


def link(start: Point, start_radius: float, end: Point, end_radius: float) -> Polygon:
    """Two round ends and the two straight sides that touch both."""
    along = bearing(start, end)
    half = math.degrees(math.acos((start_radius - end_radius) / distance(start, end)))
    return Polygon(
        points=(
            corner(polar(start, start_radius, along + half), math.tan(math.radians(360.0 - 2.0 * half) / 4.0)),
            corner(polar(start, start_radius, along - half)),
            corner(polar(end, end_radius, along - half), math.tan(math.radians(2.0 * half) / 4.0)),
            corner(polar(end, end_radius, along + half)),
        )
    )


def wheel(centre: Point, radius: float, holes: int, on_radius: float, hole_radius: float) -> Polygon:
    """A disc with lightening holes, by which one sees it turn."""
    around = [polar(centre, on_radius, 90.0 + 360.0 * i / holes) for i in range(holes)]
    return Polygon(points=round_ring(centre, radius), holes=tuple(round_ring(at, hole_radius) for at in around))


def round_ring(centre: Point, radius: float) -> Ring:
    """A whole circle as two half arcs."""
    return (corner((centre[0] - radius, centre[1]), 1.0), corner((centre[0] + radius, centre[1]), 1.0))


def band(centre: Point, radius: float, begin: float, end: float, thickness: float) -> Polygon:
    """A strip along an arc, from one bearing counter-clockwise to another, `radius` to its middle."""
    bulge = math.tan(math.radians(end - begin) / 4.0)
    outer, inner = radius + thickness / 2.0, radius - thickness / 2.0
    return Polygon(
        points=(
            corner(polar(centre, outer, begin), bulge),
            corner(polar(centre, outer, end)),
            corner(polar(centre, inner, end), -bulge),
            corner(polar(centre, inner, begin)),
        )
    )


def arc_wall(centre: Point, radius: float, begin: float, end: float, thickness: float) -> Wall:
    bulge = math.tan(math.radians(end - begin) / 4.0)
    points = (corner(polar(centre, radius, begin), bulge), corner(polar(centre, radius, end)))
    return Wall(points=points, thickness=thickness)


def wall(points: Iterable[Sequence[float]], thickness: float) -> Wall:
    return Wall(points=tuple(corner(point[:2], *point[2:]) for point in points), thickness=thickness)


def turned_shape(shape: Shape, degrees: float, about: Point) -> Shape:
    """The shape turned about a point; a bulge stays what it is."""
    if isinstance(shape, Circle):
        return disc(turned(shape.centre, degrees, about), shape.radius)
    if isinstance(shape, Wall):
        return Wall(points=_turned_ring(shape.points, degrees, about), thickness=shape.thickness)
    holes = tuple(_turned_ring(hole, degrees, about) for hole in shape.holes)
    return Polygon(points=_turned_ring(shape.points, degrees, about), holes=holes)


def _turned_ring(ring: Ring, degrees: float, about: Point) -> Ring:
    return tuple(corner(turned((x, y), degrees, about), *rest) for x, y, *rest in ring)
