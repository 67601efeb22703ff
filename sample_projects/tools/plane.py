"""Points, turns and circles in the plane: what a draughtsman finds with compasses and a set square."""

from __future__ import annotations

import math

Point = tuple[float, float]


def turned(point: Point, degrees: float, about: Point = (0.0, 0.0)) -> Point:
    angle = math.radians(degrees)
    x, y = point[0] - about[0], point[1] - about[1]
    return (
        about[0] + math.cos(angle) * x - math.sin(angle) * y,
        about[1] + math.sin(angle) * x + math.cos(angle) * y,
    )


def polar(centre: Point, radius: float, degrees: float) -> Point:
    return (
        centre[0] + radius * math.cos(math.radians(degrees)),
        centre[1] + radius * math.sin(math.radians(degrees)),
    )


def distance(one: Point, other: Point) -> float:
    return math.hypot(other[0] - one[0], other[1] - one[1])


def bearing(start: Point, end: Point) -> float:
    """Degrees from the x axis, counter-clockwise, within (-180, 180]."""
    return math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))


def meeting(one: Point, radius: float, other: Point, other_radius: float, *, left: bool) -> Point:
    """Where two circles meet, on the left or the right as one looks from the first centre to the second."""
    apart = distance(one, other)
    along = (radius**2 - other_radius**2 + apart**2) / (2.0 * apart)
    if radius < abs(along):
        raise ValueError(f"circles of {radius:g} and {other_radius:g} mm, {apart:g} mm apart, do not meet")
    across = math.sqrt(radius**2 - along**2) * (1.0 if left else -1.0)
    x, y = (other[0] - one[0]) / apart, (other[1] - one[1]) / apart
    return (one[0] + along * x - across * y, one[1] + along * y + across * x)
