"""Solids joined, cut and pierced, with arcs left true arcs.

The overlay works on straight edges. So every arc is flattened finely, `FINE` from its course, and marked; in what comes
out, runs of corners that still lie on one of the arcs are made that arc again. What is left of an arc starts and ends
where the overlay cut it, within `FINE`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from core.document.project import Circle, Corner, Polygon, Ring, Shape, Wall
from core.geometry.curves import arc, arc_corners, line_corners
from core.geometry.outlines import MITRE_LIMIT
from core.geometry.planar import Floats
from core.sketch.constructing import full_ring
from core.sketch.reshaping import bulge_of

FINE = 1e-5
"""How far, in mm, an arc may stray while it is combined."""
ONE_CORNER = 1e-7
"""Corners nearer to each other than this, in mm, are one, which outlines that were turned do not quite share."""
SMALLEST = 1e-6
"""Areas below this, in mm2, are what rounding leaves."""


@dataclass(frozen=True, slots=True)
class _Arc:
    x: float
    y: float
    radius: float


def joined(shapes: Sequence[Shape]) -> tuple[Polygon, ...]:
    """The solid that shapes make together, one polygon for each piece that hangs together."""
    return _combined(shapely.union_all(np.array([_fine(shape) for shape in shapes], dtype=object)), shapes)


def cut(shapes: Sequence[Shape], tools: Sequence[Shape]) -> tuple[Polygon, ...]:
    """What is left of a solid where others are taken away from it; nothing where they cover it."""
    whole = shapely.union_all(np.array([_fine(shape) for shape in shapes], dtype=object))
    gone = shapely.union_all(np.array([_fine(shape) for shape in tools], dtype=object))
    return _combined(shapely.difference(whole, gone), (*shapes, *tools))


# ---- to straight edges -----------------------------------------------------------------------------------------------


def _fine(shape: Shape) -> BaseGeometry:
    if isinstance(shape, Circle):
        return shapely.Polygon(_flat(full_ring(shape.centre, shape.radius)))
    if isinstance(shape, Wall):
        middle = shapely.LineString(line_corners(shape.points, FINE))
        return middle.buffer(0.5 * shape.thickness, cap_style="flat", join_style="mitre", mitre_limit=MITRE_LIMIT)
    polygon = shapely.Polygon(_flat(shape.points), [_flat(hole) for hole in shape.holes])
    return polygon if polygon.is_valid else shapely.make_valid(polygon)


def _flat(ring: Ring) -> Floats:
    """(n, 2) corners, on the arcs."""
    parts = [
        arc_corners(corner, ring[(i + 1) % len(ring)], bulge_of(corner), outside=False, deviation=FINE)
        for i, corner in enumerate(ring)
    ]
    return np.concatenate(parts)


# ---- back to arcs ----------------------------------------------------------------------------------------------------


def _combined(geometry: BaseGeometry, sources: Sequence[Shape]) -> tuple[Polygon, ...]:
    arcs = [one for shape in sources for one in _arcs_of(shape)]
    pieces = [one for one in shapely.get_parts(geometry).tolist() if one.geom_type == "Polygon" and one.area > SMALLEST]
    return tuple(
        Polygon(
            points=_with_arcs(one.exterior, arcs),
            holes=tuple(_with_arcs(hole, arcs) for hole in one.interiors if shapely.Polygon(hole).area > SMALLEST),
        )
        for one in sorted(pieces, key=lambda one: (-one.area, *one.bounds))
    )


def _arcs_of(shape: Shape) -> list[_Arc]:
    """The circles that a shape's edges lie on; a wall's arcs have two, one to each side."""
    if isinstance(shape, Circle):
        return [_Arc(*shape.centre, shape.radius)]
    rings = (shape.points, *shape.holes) if isinstance(shape, Polygon) else (shape.points,)
    found = []
    for ring in rings:
        for i, corner in enumerate(ring):
            if bulge_of(corner):
                x, y, radius, _, _ = arc(corner, ring[(i + 1) % len(ring)], bulge_of(corner))
                half = 0.5 * shape.thickness if isinstance(shape, Wall) else 0.0
                found += [_Arc(x, y, one) for one in {radius - half, radius + half} if one > 10.0 * FINE]
    return found


def _with_arcs(ring: BaseGeometry, arcs: Sequence[_Arc]) -> Ring:
    """A ring with its runs along arcs made arcs; straight corners in a line become one edge."""
    corners = _without_straight(shapely.get_coordinates(ring)[:-1])
    count = len(corners)
    edge_arcs = _arc_of_each_edge(corners, arcs)
    if not (edge_arcs >= 0).any():
        return tuple((x, y) for x, y in corners.tolist())
    if (edge_arcs == edge_arcs[0]).all():
        return _whole_circle(corners, arcs[int(edge_arcs[0])])
    first = next(i for i in range(count) if edge_arcs[i] != edge_arcs[i - 1])
    made: list[Corner] = []
    i = 0
    while i < count:
        at = (first + i) % count
        length = 1
        while edge_arcs[at] >= 0 and i + length < count and edge_arcs[(at + length) % count] == edge_arcs[at]:
            length += 1
        if length > 1:
            through = [corners[(at + k) % count] for k in range(length + 1)]
            made += _arc_run(through, arcs[int(edge_arcs[at])])
        else:
            made.append((float(corners[at][0]), float(corners[at][1])))
        i += length
    return tuple(made)


def _arc_run(through: Sequence[Floats], on: _Arc) -> list[Corner]:
    """One corner with its bulge; two halves where the run is nearly a whole turn."""
    turned = np.unwrap([math.atan2(point[1] - on.y, point[0] - on.x) for point in through])
    angle = float(turned[-1] - turned[0])
    start = (float(through[0][0]), float(through[0][1]))
    if abs(angle) < 1.9 * math.pi:
        return [(*start, math.tan(0.25 * angle))]
    half = float(turned[0]) + 0.5 * angle
    middle = (on.x + on.radius * math.cos(half), on.y + on.radius * math.sin(half))
    return [(*start, math.tan(0.125 * angle)), (*middle, math.tan(0.125 * angle))]


def _whole_circle(corners: Floats, on: _Arc) -> Ring:
    ring = full_ring((on.x, on.y), on.radius)
    x, y = corners[:, 0], corners[:, 1]
    left = float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) > 0.0
    return ring if left else tuple((corner[0], corner[1], -bulge_of(corner)) for corner in ring)


def _arc_of_each_edge(corners: Floats, arcs: Sequence[_Arc]) -> NDArray[np.intp]:
    """(n,) the arc that each edge is a chord of; -1 for straight ones."""
    found = np.full(len(corners), -1)
    after = np.roll(corners, -1, axis=0)
    length = np.hypot(*(after - corners).T)
    for i, one in enumerate(arcs):
        off = np.abs(np.hypot(corners[:, 0] - one.x, corners[:, 1] - one.y) - one.radius)
        off_after = np.abs(np.hypot(after[:, 0] - one.x, after[:, 1] - one.y) - one.radius)
        middle = 0.5 * (corners + after)
        sagitta = one.radius - np.hypot(middle[:, 0] - one.x, middle[:, 1] - one.y)
        near = (off < 3.0 * FINE) & (off_after < 3.0 * FINE) & (np.abs(sagitta) < 3.0 * FINE)
        longest = 2.0 * math.sqrt(8.0 * one.radius * 1.5 * FINE)
        found[near & (length <= longest) & (found < 0)] = i
    return found


def _without_straight(corners: Floats) -> Floats:
    """Without corners that lie on the line of their neighbours, as an overlay leaves them where others end.

    Of corners in one place one is left first: each lies on the line through the other, and both would go.
    """
    apart = np.hypot(*(corners - np.roll(corners, 1, axis=0)).T) > ONE_CORNER
    corners = corners[apart] if apart.sum() >= 3 else corners
    before, after = np.roll(corners, 1, axis=0), np.roll(corners, -1, axis=0)
    along, off = after - before, corners - before
    reach = np.maximum(np.hypot(along[:, 0], along[:, 1]), 1e-12)
    beside = np.abs(along[:, 0] * off[:, 1] - along[:, 1] * off[:, 0]) / reach
    kept = beside > 1e-9
    return corners[kept] if kept.sum() >= 3 else corners
