"""Shapes from the few points that a hand gives."""

from __future__ import annotations

import math
from collections.abc import Sequence

from core.document.project import Circle, Corner, Point, Polygon, Wall

SAME_PLACE = 1e-9
"""Points nearer than this, in mm, are one."""


def circle_by_two_points(first: Point, second: Point) -> Circle | None:
    """The circle that has two points opposite each other; None where they are one."""
    radius = 0.5 * math.dist(first, second)
    if radius <= SAME_PLACE:
        return None
    return Circle(centre=(0.5 * (first[0] + second[0]), 0.5 * (first[1] + second[1])), radius=radius)


def circle_by_three_points(first: Point, second: Point, third: Point) -> Circle | None:
    """The circle through three points; None where they lie on a line.

    Source: the circumcentre from the three squared lengths, as in any handbook of analytic geometry.
    """
    ax, ay = second[0] - first[0], second[1] - first[1]
    bx, by = third[0] - first[0], third[1] - first[1]
    double_area = ax * by - ay * bx
    longest = max(math.hypot(ax, ay), math.hypot(bx, by), math.dist(second, third))
    if abs(double_area) <= 1e-9 * longest * longest or longest <= SAME_PLACE:
        return None
    a, b = ax * ax + ay * ay, bx * bx + by * by
    x = (by * a - ay * b) / (2.0 * double_area)
    y = (ax * b - bx * a) / (2.0 * double_area)
    return Circle(centre=(first[0] + x, first[1] + y), radius=math.hypot(x, y))


def bulge_of_rise(start: Sequence[float], end: Sequence[float], at: Sequence[float]) -> float:
    """The bulge of the arc whose middle is as far from the chord as a point is; positive to the right of the chord."""
    x, y = end[0] - start[0], end[1] - start[1]
    chord = math.hypot(x, y)
    if chord <= SAME_PLACE:
        return 0.0
    middle = (0.5 * (start[0] + end[0]), 0.5 * (start[1] + end[1]))
    rise = ((at[0] - middle[0]) * y - (at[1] - middle[1]) * x) / chord
    return 2.0 * rise / chord


def bulge_of_radius(start: Sequence[float], end: Sequence[float], radius: float, *, right: bool) -> float | None:
    """The bulge of the lesser arc of a radius between two points, standing out to the right of the chord or to the
    left; None where the radius is too small to reach."""
    half = 0.5 * math.dist(start[:2], end[:2])
    if radius < half * (1.0 - 1e-12) or half <= SAME_PLACE:
        return None
    angle = 2.0 * math.asin(min(1.0, half / radius))
    return math.tan(0.25 * angle) * (1.0 if right else -1.0)


def rectangle(first: Point, opposite: Point) -> Polygon | None:
    """The upright rectangle with two points as opposite corners; None where it has no area."""
    left, right = sorted((first[0], opposite[0]))
    low, high = sorted((first[1], opposite[1]))
    if right - left <= SAME_PLACE or high - low <= SAME_PLACE:
        return None
    return Polygon(points=((left, low), (right, low), (right, high), (left, high)))


def bar_between(start: Point, end: Point, width: float) -> Polygon | None:
    """A bar with round ends about two points; None where the points are one or the width is nought."""
    length = math.dist(start, end)
    if length <= SAME_PLACE or width <= SAME_PLACE:
        return None
    half = 0.5 * width / length
    x, y = -(end[1] - start[1]) * half, (end[0] - start[0]) * half  # to the left
    return Polygon(
        points=(
            (start[0] + x, start[1] + y, 1.0),
            (start[0] - x, start[1] - y),
            (end[0] - x, end[1] - y, 1.0),
            (end[0] + x, end[1] + y),
        )
    )


def closed_outline(corners: Sequence[Corner]) -> Polygon | None:
    """The polygon of corners as clicked; corners upon each other are one; None with fewer than encloses an area."""
    kept: list[Corner] = []
    for corner in corners:
        if not kept or math.dist(kept[-1][:2], corner[:2]) > SAME_PLACE:
            kept.append(corner)
        elif len(corner) > 2:
            kept[-1] = corner
    if len(kept) > 1 and math.dist(kept[0][:2], kept[-1][:2]) <= SAME_PLACE:
        kept.pop()
    arched = any(len(corner) > 2 and corner[2] != 0.0 for corner in kept)
    return Polygon(points=tuple(kept)) if len(kept) >= (2 if arched else 3) else None


def wall_along(points: Sequence[Corner], thickness: float) -> Wall | None:
    """A wall along clicked points; None where it has no length or no thickness."""
    kept: list[Corner] = []
    for point in points:
        if not kept or math.dist(kept[-1][:2], point[:2]) > SAME_PLACE:
            kept.append(point)
    return Wall(points=tuple(kept), thickness=thickness) if len(kept) > 1 and thickness > SAME_PLACE else None


def wheel(centre: Point, diameter: float, *, bore: float = 0.0) -> Circle | Polygon | None:
    """A tyre in side view, with a hole for its axle where a bore is given; None where it has no size."""
    radius, inner = 0.5 * diameter, 0.5 * bore
    if radius <= SAME_PLACE or inner >= radius:
        return None
    if inner <= SAME_PLACE:
        return Circle(centre=centre, radius=radius)
    return Polygon(points=full_ring(centre, radius), holes=(full_ring(centre, inner),))


def full_ring(centre: Point, radius: float) -> tuple[Corner, Corner]:
    """A circle as a closed outline: two half arcs."""
    x, y = centre
    return ((x - radius, y, 1.0), (x + radius, y, 1.0))
