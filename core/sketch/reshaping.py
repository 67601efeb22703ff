"""Shapes pulled about by their handles: corners, edges, arcs, centres and rims.

Every function answers a new shape and leaves the old one alone; None where nothing sensible would be left. A ring is
0 for the outline, and 1, 2 ... for the holes of a polygon. Edge i runs from corner i to the next.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import msgspec

from core.document.project import Circle, Corner, Point, Polygon, Ring, Shape, Wall
from core.geometry.curves import arc
from core.sketch.constructing import SAME_PLACE, bulge_of_rise


class Grip(StrEnum):
    """What a hand can take hold of."""

    CORNER = "corner"
    EDGE = "edge"  # the middle of a straight edge: moves the edge along
    ARC = "arc"  # the middle of an arc: bends it
    CENTRE = "centre"
    RIM = "rim"


@dataclass(frozen=True, slots=True, kw_only=True)
class Handle:
    grip: Grip
    at: Point
    """In the drawn position."""
    ring: int = 0
    corner: int = 0


def handles(shape: Shape) -> tuple[Handle, ...]:
    """Everything of a shape that a hand can take hold of, corners first."""
    if isinstance(shape, Circle):
        x, y = shape.centre
        rims = [(x + shape.radius, y), (x, y + shape.radius), (x - shape.radius, y), (x, y - shape.radius)]
        return (
            Handle(grip=Grip.CENTRE, at=shape.centre),
            *(Handle(grip=Grip.RIM, at=at, corner=i) for i, at in enumerate(rims)),
        )
    corners = [
        Handle(grip=Grip.CORNER, at=(corner[0], corner[1]), ring=ring, corner=i)
        for ring, corners in enumerate(rings(shape))
        for i, corner in enumerate(corners)
    ]
    return (*corners, *_edge_handles(shape))


def _edge_handles(shape: Polygon | Wall) -> Iterator[Handle]:
    for ring, corners in enumerate(rings(shape)):
        for i in range(edges_of(shape, ring)):
            start, end = corners[i], corners[(i + 1) % len(corners)]
            grip = Grip.ARC if bulge_of(start) else Grip.EDGE
            yield Handle(grip=grip, at=middle_of_edge(start, end), ring=ring, corner=i)


def rings(shape: Polygon | Wall) -> tuple[Ring, ...]:
    return (shape.points, *shape.holes) if isinstance(shape, Polygon) else (shape.points,)


def edges_of(shape: Polygon | Wall, ring: int) -> int:
    """How many edges a ring has; a wall is open."""
    count = len(rings(shape)[ring])
    return count if isinstance(shape, Polygon) else count - 1


def bulge_of(corner: Corner) -> float:
    return corner[2] if len(corner) > 2 else 0.0


def middle_of_edge(start: Corner, end: Corner) -> Point:
    """Half way along an edge, on its arc where it has one."""
    x, y, bulge = end[0] - start[0], end[1] - start[1], bulge_of(start)
    return (0.5 * (start[0] + end[0]) + 0.5 * bulge * y, 0.5 * (start[1] + end[1]) - 0.5 * bulge * x)


def drag(shape: Shape, handle: Handle, to: Point) -> Shape | None:
    """The shape with a handle brought to a place."""
    if isinstance(shape, Circle):
        if handle.grip is Grip.CENTRE:
            return msgspec.structs.replace(shape, centre=to)
        radius = math.dist(shape.centre, to)
        return msgspec.structs.replace(shape, radius=radius) if radius > SAME_PLACE else None
    ring = rings(shape)[handle.ring]
    if handle.grip is Grip.CORNER:
        return with_ring(shape, handle.ring, _replaced(ring, handle.corner, _at(ring[handle.corner], to)))
    if handle.grip is Grip.ARC:
        return bend(shape, handle.ring, handle.corner, to)
    after = (handle.corner + 1) % len(ring)
    by = (to[0] - handle.at[0], to[1] - handle.at[1])
    moved = _replaced(ring, handle.corner, _moved(ring[handle.corner], by))
    return with_ring(shape, handle.ring, _replaced(moved, after, _moved(ring[after], by)))


def bend(shape: Polygon | Wall, ring: int, edge: int, through: Point) -> Shape:
    """An edge made the arc that rises as far from its chord as a point lies; a rounded corner stays tangent instead."""
    corners = rings(shape)[ring]
    rounded = rounding(shape, ring, edge)
    if rounded is not None:
        bent = _bent_rounding(shape, ring, edge, rounded, through)
        if bent is not None:
            return bent
    start, end = corners[edge], corners[(edge + 1) % len(corners)]
    bulge = bulge_of_rise(start, end, through)
    return with_ring(shape, ring, _replaced(corners, edge, _bulged(start, bulge)))


def straighten(shape: Polygon | Wall, ring: int, edge: int) -> Shape:
    """An arc made a straight edge."""
    corners = rings(shape)[ring]
    return with_ring(shape, ring, _replaced(corners, edge, _bulged(corners[edge], 0.0)))


# ---- corners more and fewer --------------------------------------------------------------------------------------


def add_corner(shape: Polygon | Wall, ring: int, edge: int, at: Point) -> Shape:
    """A corner put into an edge; an arc is parted at the nearest place on it, and stays the same arc."""
    corners = rings(shape)[ring]
    start, end = corners[edge], corners[(edge + 1) % len(corners)]
    if not bulge_of(start):
        return with_ring(shape, ring, (*corners[: edge + 1], at, *corners[edge + 1 :]))
    x, y, _, begin, angle = arc(start, end, bulge_of(start))
    turned = (math.atan2(at[1] - y, at[0] - x) - begin) % (2.0 * math.pi)
    share = turned / angle if angle > 0.0 else (turned - 2.0 * math.pi) / angle
    share = min(max(share if share <= 1.0 else 0.5, 0.02), 0.98)
    return with_ring(shape, ring, (*corners[:edge], *_parted(start, end, (share,)), *corners[edge + 1 :]))


def _parted(start: Corner, end: Corner, shares: tuple[float, ...]) -> list[Corner]:
    """The start and the corners at these shares of an edge, with the bulges that leave its course as it is."""
    bulge = bulge_of(start)
    if not bulge:
        return [start, *((start[0] + t * (end[0] - start[0]), start[1] + t * (end[1] - start[1])) for t in shares)]
    x, y, radius, begin, angle = arc(start, end, bulge)
    bounds = (0.0, *shares, 1.0)
    bulges = [math.tan(0.25 * angle * (after - before)) for before, after in pairwise(bounds)]
    places = [(begin + angle * t) for t in shares]
    corners = [(x + radius * math.cos(a), y + radius * math.sin(a)) for a in places]
    points = [(start[0], start[1]), *corners]
    return [(px, py, bulge) for (px, py), bulge in zip(points, bulges, strict=True)]


def remove_corner(shape: Polygon | Wall, ring: int, corner: int) -> Shape | None:
    """Without a corner; a hole that has too few left is closed, an outline is None."""
    corners = rings(shape)[ring]
    before = (corner - 1) % len(corners)
    left = tuple(
        _bulged(one, 0.0) if i == before and bulge_of(one) else one for i, one in enumerate(corners) if i != corner
    )
    fewest = 2 if isinstance(shape, Wall) or any(bulge_of(one) for one in left) else 3
    if len(left) >= fewest:
        return with_ring(shape, ring, left)
    if ring and isinstance(shape, Polygon):
        return msgspec.structs.replace(shape, holes=(*shape.holes[: ring - 1], *shape.holes[ring:]))
    return None


# ---- rounded corners ---------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Rounding:
    """A corner that is rounded: an arc that touches the straight edges on both its sides."""

    point: Point
    """Where the edges would meet."""
    radius: float


def round_corner(shape: Polygon | Wall, ring: int, corner: int, radius: float) -> Shape | None:
    """A corner between straight edges rounded to a radius; None where the edges are too short or not straight."""
    corners = rings(shape)[ring]
    open_end = isinstance(shape, Wall) and corner in (0, len(corners) - 1)
    before, here, after = corners[corner - 1], corners[corner], corners[(corner + 1) % len(corners)]
    if open_end or bulge_of(before) or bulge_of(here):
        return None
    arc_of = _rounded(before, here, after, radius)
    if arc_of is None:
        return None
    return with_ring(shape, ring, (*corners[:corner], *arc_of, *corners[corner + 1 :]))


def _rounded(before: Corner, here: Corner, after: Corner, radius: float) -> tuple[Corner, Corner] | None:
    """The two corners of an arc that touches both edges of a corner."""
    to_before, to_after = math.dist(before[:2], here[:2]), math.dist(here[:2], after[:2])
    if min(to_before, to_after) <= SAME_PLACE or radius <= SAME_PLACE:
        return None
    ux, uy = (before[0] - here[0]) / to_before, (before[1] - here[1]) / to_before
    vx, vy = (after[0] - here[0]) / to_after, (after[1] - here[1]) / to_after
    cross, dot = ux * vy - uy * vx, ux * vx + uy * vy
    if abs(cross) < 1e-9:
        return None
    between = math.atan2(abs(cross), dot)
    reach = radius / math.tan(0.5 * between)
    if reach > min(to_before, to_after) * (1.0 + 1e-12):
        return None
    bulge = math.tan(0.25 * (math.pi - between)) * (1.0 if cross < 0.0 else -1.0)
    return (
        (here[0] + reach * ux, here[1] + reach * uy, bulge),
        (here[0] + reach * vx, here[1] + reach * vy),
    )


def rounding(shape: Polygon | Wall, ring: int, edge: int) -> Rounding | None:
    """What an arc rounds, where it touches straight edges on both sides; None where it does not."""
    corners = rings(shape)[ring]
    count = len(corners)
    if not bulge_of(corners[edge]) or count < 4 or (isinstance(shape, Wall) and not 0 < edge < count - 2):
        return None
    before, start, end, after = (corners[(edge + i) % count] for i in (-1, 0, 1, 2))
    if bulge_of(before) or bulge_of(end):
        return None
    x, y, radius, begin, angle = arc(start, end, bulge_of(start))
    for near, far, turn in ((start, before, begin), (end, after, begin + angle)):
        length = math.dist(near[:2], far[:2])
        along = (near[0] - far[0]) * math.cos(turn) + (near[1] - far[1]) * math.sin(turn)
        if length <= SAME_PLACE or abs(along) > 1e-6 * length:
            return None
    if abs(angle) >= math.pi - 1e-9:
        return None
    # The edges meet on the line from the centre through the arc's middle.
    reach, middle = radius / math.cos(0.5 * angle), begin + 0.5 * angle
    return Rounding(point=(x + reach * math.cos(middle), y + reach * math.sin(middle)), radius=radius)


def sharpen(shape: Polygon | Wall, ring: int, edge: int) -> Shape | None:
    """A rounded corner made sharp again; None where the arc rounds nothing."""
    rounded = rounding(shape, ring, edge)
    if rounded is None:
        return None
    corners = list(rings(shape)[ring])
    corners[edge] = rounded.point
    del corners[(edge + 1) % len(corners)]
    return with_ring(shape, ring, tuple(corners))


def _bent_rounding(shape: Polygon | Wall, ring: int, edge: int, rounded: Rounding, through: Point) -> Shape | None:
    """A rounded corner of another radius, so that its arc's middle is as far from the sharp corner as a point is."""
    corners = rings(shape)[ring]
    count = len(corners)
    before, start, end, after = (corners[(edge + i) % count] for i in (-1, 0, 1, 2))
    between = math.pi - abs(4.0 * math.atan(bulge_of(start)))
    away = math.dist(rounded.point, through)
    radius = away / (1.0 / math.sin(0.5 * between) - 1.0)
    room = min(math.dist(before[:2], rounded.point), math.dist(rounded.point, after[:2]))
    radius = min(radius, room * math.tan(0.5 * between) * (1.0 - 1e-9))
    arc_of = _rounded(before, rounded.point, after, radius)
    if arc_of is None:
        return None
    changed = _replaced(corners, edge, arc_of[0])
    return with_ring(shape, ring, _replaced(changed, (edge + 1) % count, _at(end, (arc_of[1][0], arc_of[1][1]))))


# ---- pieces ------------------------------------------------------------------------------------------------------


def with_ring(shape: Polygon | Wall, ring: int, corners: Ring) -> Shape:
    """The shape with other corners in one of its rings."""
    if ring == 0:
        return msgspec.structs.replace(shape, points=corners)
    assert isinstance(shape, Polygon)
    return msgspec.structs.replace(shape, holes=(*shape.holes[: ring - 1], corners, *shape.holes[ring:]))


def _replaced(ring: Ring, index: int, corner: Corner) -> Ring:
    return (*ring[:index], corner, *ring[index + 1 :])


def _at(corner: Corner, to: Point) -> Corner:
    return (*to, *corner[2:])


def _moved(corner: Corner, by: Point) -> Corner:
    return (corner[0] + by[0], corner[1] + by[1], *corner[2:])


def _bulged(corner: Corner, bulge: float) -> Corner:
    return (corner[0], corner[1], bulge) if bulge else (corner[0], corner[1])
