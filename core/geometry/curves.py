"""Arcs and circles as corners, with a stated deviation, on the side of the curve that the caller asks for.

An edge that carries a bulge b, the tangent of a quarter of its arc's angle, is an arc that runs counter-clockwise from
start to end where b is positive: it stands out to the right of the chord.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from core.geometry.planar import Floats

DEVIATION = 0.002
"""How far, in mm, a flattened curve strays from the true one, to one side only."""


def pieces_of_arc(radius: float, angle: float, deviation: float = DEVIATION) -> int:
    """How many pieces keep an arc of `angle` radians within `deviation`, by chords or by tangents.

    A piece of angle a strays by r (1 - cos a/2) with a chord and by r (1 / cos a/2 - 1), a little more, with tangents.
    """
    widest = 2.0 * math.acos(radius / (radius + deviation)) if radius > 0.0 else math.pi
    return max(1, math.ceil(abs(angle) / min(widest, math.pi / 2.0) - 1e-9))


def arc(start: Sequence[float], end: Sequence[float], bulge: float) -> tuple[float, float, float, float, float]:
    """Centre x and y, radius, start angle and signed angle (radians, counter-clockwise positive) of a bulged edge."""
    angle = 4.0 * math.atan(bulge)
    chord_x, chord_y = end[0] - start[0], end[1] - start[1]
    # From the chord's middle the centre lies to the left by half the chord over tan(half the arc's angle).
    rise = (1.0 - bulge * bulge) / (4.0 * bulge)
    x = 0.5 * (start[0] + end[0]) - rise * chord_y
    y = 0.5 * (start[1] + end[1]) + rise * chord_x
    return x, y, math.hypot(start[0] - x, start[1] - y), math.atan2(start[1] - y, start[0] - x), angle


def arc_corners(
    start: Sequence[float],
    end: Sequence[float],
    bulge: float,
    *,
    outside: bool,
    deviation: float = DEVIATION,
) -> Floats:
    """(n, 2) corners of a bulged edge from its start up to, and without, its end.

    `outside` puts them on tangents, so that the flattened edge lies on or beyond the arc as seen from its centre;
    without it they are chords, on or within the arc.
    """
    if bulge == 0.0 or (start[0] == end[0] and start[1] == end[1]):
        return np.array([[start[0], start[1]]], dtype=float)
    x, y, radius, begin, angle = arc(start, end, bulge)
    count = pieces_of_arc(radius, angle, deviation)
    if outside:
        count += count % 2  # so that a side touches the arc at its middle, where a round end is farthest out
        angles = begin + angle * (np.arange(count) + 0.5) / count
        reach = radius / math.cos(0.5 * angle / count)
    else:
        angles = begin + angle * np.arange(1, count) / count
        reach = radius
    corners = np.empty((len(angles) + 1, 2))
    corners[0] = start[0], start[1]
    corners[1:, 0] = x + reach * np.cos(angles)
    corners[1:, 1] = y + reach * np.sin(angles)
    return corners


def circle_corners(centre: Sequence[float], radius: float) -> Floats:
    """(n, 2) corners, counter-clockwise, of a polygon about the circle, whose sides touch it at 0, 90, 180 and 270
    degrees too."""
    count = 4 * pieces_of_arc(radius, math.pi / 2.0)
    angles = 2.0 * math.pi * (np.arange(count) + 0.5) / count
    reach = radius / math.cos(math.pi / count)
    return np.column_stack([centre[0] + reach * np.cos(angles), centre[1] + reach * np.sin(angles)])


def ring_corners(ring: Sequence[Sequence[float]], *, material_left: bool) -> Floats:
    """(n, 2) corners of a closed ring with its arcs flattened to the side that never takes material away.

    `material_left` says on which side of the ring, as it runs, the solid lies.
    """
    parts = []
    for index, corner in enumerate(ring):
        bulge = corner[2] if len(corner) > 2 else 0.0
        following = ring[(index + 1) % len(ring)]
        parts.append(arc_corners(corner, following, bulge, outside=(bulge > 0.0) == material_left))
    return np.concatenate(parts)


def line_corners(points: Sequence[Sequence[float]], deviation: float = DEVIATION) -> Floats:
    """(n, 2) corners of an open line with its arcs flattened to chords."""
    parts = []
    for start, end in pairwise(points):
        bulge = start[2] if len(start) > 2 else 0.0
        parts.append(arc_corners(start, end, bulge, outside=False, deviation=deviation))
    parts.append(np.array([points[-1][:2]], dtype=float))
    return np.concatenate(parts)


def signed_area(corners: Floats) -> float:
    """Area within a closed ring of corners, positive where it runs counter-clockwise."""
    x, y = corners[:, 0] - corners[0, 0], corners[:, 1] - corners[0, 1]
    return 0.5 * float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))
