"""Solid outlines of bodies, rods and jacks, as valid polygons in millimetres.

A curve is flattened so that an outline never has less material than what it stands for, and nowhere reaches more than
`DEVIATION` beyond it: what is found clear is clear, and two curves that fit each other exactly overlap by no more
than twice that.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from core.document.project import Body, Circle, Polygon, Shape, Wall
from core.geometry.curves import DEVIATION, circle_corners, line_corners, ring_corners, signed_area
from core.geometry.planar import Floats

MITRE_LIMIT = 5.0
"""A wall's corner is drawn out to a point up to this many half thicknesses, and cut off beyond."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossing:
    """Where an outline runs through itself, and which of its edges do; edge i runs from corner i to the next."""

    point: tuple[float, float]
    edges: tuple[int, int]


def outline(body: Body) -> BaseGeometry:
    """The solid that a body's shapes make together, in the drawn position: a polygon, a multipolygon, or empty."""
    return solid([outline_of_shape(shape) for shape in body.shapes])


def outline_of_shape(shape: Shape) -> BaseGeometry:
    """One shape as a valid polygon; a shape of no area gives an empty one."""
    if isinstance(shape, Circle):
        return disc(shape.centre, shape.radius)
    if isinstance(shape, Wall):
        return _wall(shape)
    return _polygon(shape)


def disc(centre: Sequence[float], radius: float) -> BaseGeometry:
    if radius <= 0.0:
        return shapely.Polygon()
    return shapely.Polygon(circle_corners(centre, radius))


def bar(length: float, width: float, *, square_end: bool = False) -> BaseGeometry:
    """A bar along the x axis with round ends about (0, 0) and (length, 0).

    With `square_end` it is cut off square at x = length instead.
    """
    half = 0.5 * width
    start_cap = [(0.0, half, 1.0), (0.0, -half)]
    end_cap = [(length, -half), (length, half)] if square_end else [(length, -half, 1.0), (length, half)]
    return shapely.Polygon(ring_corners([*start_cap, *end_cap], material_left=True))


def solid(pieces: Sequence[BaseGeometry]) -> BaseGeometry:
    """The union of pieces, of which only what has area is kept."""
    if len(pieces) == 1:
        return pieces[0]
    return _areas(shapely.union_all(np.array(pieces, dtype=object)))


def crossing(ring: Sequence[Sequence[float]]) -> Crossing | None:
    """The first place where a closed ring of corners (x, y, optional bulge) runs through or back along itself; None
    if sound."""
    corners, edge_of = _flat_ring(ring)
    kept = np.any(corners != np.roll(corners, -1, axis=0), axis=1)
    corners, edge_of = corners[kept], edge_of[kept]
    if len(corners) < 3:
        return Crossing(point=(float(ring[0][0]), float(ring[0][1])), edges=(0, len(ring) - 1))
    segments = shapely.linestrings(np.stack([corners, np.roll(corners, -1, axis=0)], axis=1))
    first, second = shapely.STRtree(segments).query(segments, predicate="intersects")
    keep = first < second
    first, second = first[keep], second[keep]
    common = shapely.intersection(segments[first], segments[second])
    gap = (second - first) % len(segments)
    neighbours = (gap == 1) | (gap == len(segments) - 1)
    wrong = ~neighbours | (shapely.length(common) > 0.0)
    if not wrong.any():
        return None
    at = np.lexsort((second[wrong], first[wrong]))[0]
    point = shapely.point_on_surface(common[wrong][at])
    edges = sorted((int(edge_of[first[wrong][at]]), int(edge_of[second[wrong][at]])))
    return Crossing(point=(float(shapely.get_x(point)), float(shapely.get_y(point))), edges=(edges[0], edges[1]))


def _polygon(shape: Polygon) -> BaseGeometry:
    shell = _oriented(shape.points, hole=False)
    holes = [_oriented(hole, hole=True) for hole in shape.holes]
    if shell is None:
        return shapely.Polygon()
    polygon = shapely.Polygon(shell, [hole for hole in holes if hole is not None])
    return polygon if polygon.is_valid else _areas(shapely.make_valid(polygon))


def _oriented(ring: Sequence[Sequence[float]], *, hole: bool) -> Floats | None:
    """A ring's corners with its arcs flattened towards the material's outside; None where it encloses nothing."""
    chords, _ = _flat_ring(ring)
    if len(chords) < 3:
        return None
    counter_clockwise = signed_area(chords) > 0.0
    return ring_corners(ring, material_left=counter_clockwise != hole)


def _flat_ring(ring: Sequence[Sequence[float]]) -> tuple[Floats, NDArray[np.intp]]:
    """(n, 2) corners of a ring with its arcs as chords, and (n,) which of its edges each begins a part of."""
    if not any(len(corner) > 2 and corner[2] for corner in ring):  # most rings, and a hundred times as fast
        return np.array([corner[:2] for corner in ring], dtype=float), np.arange(len(ring))
    edges = [line_corners([corner, ring[(i + 1) % len(ring)]])[:-1] for i, corner in enumerate(ring)]
    return np.concatenate(edges), np.repeat(np.arange(len(ring)), [len(edge) for edge in edges])


def _wall(shape: Wall) -> BaseGeometry:
    curved = any(len(point) > 2 and point[2] != 0.0 for point in shape.points)
    # Chords shift the middle line by up to half the deviation to one side: both sides are moved out by as much.
    centre_line = line_corners(shape.points, 0.5 * DEVIATION if curved else DEVIATION)
    thickness = shape.thickness + (DEVIATION if curved else 0.0)
    moved = np.any(np.diff(centre_line, axis=0) != 0.0, axis=1)
    centre_line = centre_line[np.concatenate([[True], moved])]
    if len(centre_line) < 2 or thickness <= 0.0:
        return shapely.Polygon()
    line = shapely.LineString(centre_line)
    return _areas(line.buffer(0.5 * thickness, cap_style="flat", join_style="mitre", mitre_limit=MITRE_LIMIT))


def _areas(geometry: BaseGeometry) -> BaseGeometry:
    """Only the polygons of a geometry."""
    if geometry.geom_type in ("Polygon", "MultiPolygon"):
        return geometry
    parts = [part for part in shapely.get_parts(geometry) if part.geom_type in ("Polygon", "MultiPolygon")]
    return shapely.union_all(np.array(parts, dtype=object)) if parts else shapely.Polygon()


def far_point(geometry: BaseGeometry, centre: Sequence[float]) -> float:
    """How far the farthest corner lies from a point, mm."""
    corners = shapely.get_coordinates(geometry)
    return float(np.hypot(corners[:, 0] - centre[0], corners[:, 1] - centre[1]).max(initial=0.0))


def is_round(geometry: BaseGeometry, centre: Sequence[float], radius: float) -> bool:
    """Whether the outer edge of an outline is a whole circle, as it is flattened: turning it about its centre then
    moves nothing by more than twice `DEVIATION`, whatever holes it has."""
    if geometry.geom_type != "Polygon" or geometry.is_empty:
        return False
    corners = shapely.get_coordinates(shapely.get_exterior_ring(geometry))
    sides = 0.5 * (corners[1:] + corners[:-1])
    nearest = min(float(np.hypot(at[:, 0] - centre[0], at[:, 1] - centre[1]).min()) for at in (corners, sides))
    return nearest >= radius - 2.0 * DEVIATION


def without_holes(geometry: BaseGeometry) -> BaseGeometry:
    return shapely.Polygon(shapely.get_exterior_ring(geometry))


def widest_hole(geometry: BaseGeometry) -> float:
    """Half the longest side of the box about the largest hole, mm; 0 without any."""
    pieces = shapely.get_parts(geometry)
    outer = set(shapely.get_exterior_ring(pieces))
    bounds = shapely.bounds([ring for ring in shapely.get_rings(pieces) if ring not in outer]).reshape(-1, 4)
    return 0.5 * float((bounds[:, 2:] - bounds[:, :2]).max(initial=0.0))


def middle(geometry: BaseGeometry) -> tuple[float, float]:
    """The centre of the smallest circle about a geometry, from which its far point is nearest."""
    circle = shapely.minimum_bounding_circle(geometry)
    centre = circle.centroid
    if centre.is_empty or not math.isfinite(centre.x):
        return (0.0, 0.0)
    return (centre.x, centre.y)
