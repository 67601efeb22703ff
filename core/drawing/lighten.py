"""Geometry with fewer corners, for painting at a scale at which nobody can see the difference."""

from __future__ import annotations

import numpy as np
import shapely

from core.drawing.drawing import Geometry
from core.geometry.planar import Floats

FEW = 8
"""Corners that are not worth looking at."""


def lightened(geometry: Geometry, deviation: float) -> Geometry:
    """The same geometry within `deviation` mm; itself where there is nothing to leave out."""
    rings = tuple(_ring(ring, deviation) for ring in geometry.rings)
    lines = tuple(_line(line, deviation) for line in geometry.lines)
    same = all(a is b for a, b in zip((*rings, *lines), (*geometry.rings, *geometry.lines), strict=True))
    return geometry if same else Geometry(rings=rings, lines=lines)


def _ring(ring: Floats, deviation: float) -> Floats:
    """Douglas and Peucker keep both ends of a line, so the ring is taken as one line that comes back to its start."""
    if len(ring) <= FEW:
        return ring
    light = _line(np.concatenate([ring, ring[:1]]), deviation)[:-1]
    return light if 3 <= len(light) < len(ring) else ring


def _line(line: Floats, deviation: float) -> Floats:
    if len(line) <= FEW:
        return line
    light = shapely.get_coordinates(shapely.simplify(shapely.LineString(line), deviation, preserve_topology=False))
    return light if 2 <= len(light) < len(line) else line
