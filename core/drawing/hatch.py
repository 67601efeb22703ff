"""Hatching: parallel lines that fill an area, worked out as lines so that no device has to know how to clip."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from core.geometry.planar import Floats

SLOPE = math.radians(45.0)
"""ISO 128-3 hatches at 45 degrees to the outlines or to the sheet's axes."""
FEWEST = 3
"""Lines that an area gets at the least, however small it is beside the spacing."""
MOST = 4000
"""Lines beyond which the spacing is opened, so that a far zoom into a large area stays quick."""


def hatching(rings: Sequence[Floats], spacing: float) -> Floats:
    """(n, 2, 2) lines within rings (each (m, 2), filled odd-even), `spacing` apart in the rings' unit.

    Lines stand on a lattice through the origin, so that areas side by side are hatched as one.
    """
    sound = [ring for ring in rings if len(ring) >= 3]
    if not sound or spacing <= 0.0:
        return np.empty((0, 2, 2))
    cosine, sine = math.cos(SLOPE), math.sin(SLOPE)
    # A corner is worked out once for both its edges: a last digit's difference would lose or gain a crossing.
    edges_along = [_edges(cosine * ring[:, 0] + sine * ring[:, 1]) for ring in sound]
    edges_across = [_edges(cosine * ring[:, 1] - sine * ring[:, 0]) for ring in sound]
    along, across = np.concatenate(edges_along, axis=1), np.concatenate(edges_across, axis=1)
    height = float(np.ptp(across))
    if height <= 0.0:
        return np.empty((0, 2, 2))
    spacing = max(min(spacing, height / FEWEST), height / MOST)
    level, position = _crossings(along, across, spacing)
    a, b = position[0::2], position[1::2]
    rise = level[0::2]
    return np.stack(
        [
            np.column_stack([a * cosine - rise * sine, a * sine + rise * cosine]),
            np.column_stack([b * cosine - rise * sine, b * sine + rise * cosine]),
        ],
        axis=1,
    )


def _edges(values: Floats) -> Floats:
    """(2, n) of each edge's start and end, from (n,) of a ring's corners."""
    return np.stack([values, np.roll(values, -1)])


def _crossings(along: Floats, across: Floats, spacing: float) -> tuple[Floats, Floats]:
    """Where levels a whole number of spacings from the origin cross edges, sorted by level and then along it.

    An edge holds its lower end and not its upper one, so that each level crosses each ring an even number of times.
    """
    low, high = across.min(axis=0), across.max(axis=0)
    first = np.ceil(low / spacing).astype(np.int64)
    count = np.ceil(high / spacing).astype(np.int64) - first
    edge = np.repeat(np.arange(len(count)), count)
    nth = np.arange(len(edge)) - np.repeat(np.cumsum(count) - count, count)
    number = first[edge] + nth
    share = (number * spacing - across[0, edge]) / (across[1, edge] - across[0, edge])
    position = along[0, edge] + share * (along[1, edge] - along[0, edge])
    order = np.lexsort((position, number))
    return number[order] * spacing, position[order]
