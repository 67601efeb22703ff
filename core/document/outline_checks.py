"""Checks of outlines: corners apart, edges that do not cross, holes inside and apart from each other."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely

from core.document.names import problem
from core.document.number_checks import SMALLEST
from core.document.problem import Place, Problem
from core.document.project import Polygon, Project, Ring, Wall
from core.geometry.curves import DEVIATION, line_corners
from core.geometry.outlines import crossing

LARGEST_BULGE = 100.0
"""An arc of 357.7°; a whole circle is a circle."""


def outline_problems(project: Project, before: Project | None = None) -> Iterator[Problem]:
    """Outlines that are none; those that are the very same `before` are passed over."""
    sound = {id(shape) for body in before.bodies for shape in body.shapes} if before is not None else set()
    for index, body in enumerate(project.bodies):
        for number, shape in enumerate(body.shapes):
            path: Place = ("bodies", index, "shapes", number)
            if id(shape) in sound:
                continue
            if isinstance(shape, Polygon):
                yield from _polygon(path, shape, body.id)
            elif isinstance(shape, Wall):
                yield from _corners((*path, "points"), shape.points, body.id, closed=False)


def _polygon(path: Place, polygon: Polygon, thing: str) -> Iterator[Problem]:
    found = list(_ring((*path, "points"), polygon.points, thing))
    for number, hole in enumerate(polygon.holes):
        found += _ring((*path, "holes", number), hole, thing)
    yield from found or _holes(path, polygon, thing)


def _ring(path: Place, ring: Ring, thing: str) -> Iterator[Problem]:
    found = list(_corners(path, ring, thing, closed=True))
    yield from found
    if found:
        return
    crossed = crossing(ring)
    if crossed is not None:
        (x, y), (one, other) = crossed.point, crossed.edges
        wrong = f"edges {one} and {other} of the outline meet at ({x:.4g}, {y:.4g})"
        right = "an outline that does not cross or touch itself; edge n runs from corner n, counted from 0"
        yield problem(path, wrong, right, thing=thing)


def _corners(path: Place, ring: Ring, thing: str, *, closed: bool) -> Iterator[Problem]:
    curved = any(len(corner) > 2 and corner[2] != 0.0 for corner in ring)
    least = 3 if closed and not curved else 2
    different = len({corner[:2] for corner in ring})
    if different < least:
        shape = "an outline" if closed else "a wall"
        wrong = f"{shape} of {different} different corner{'' if different == 1 else 's'}"
        yield problem(path, wrong, f"at least {least} are needed", thing=thing)
        return
    for index, corner in enumerate(ring):
        after = (index + 1) % len(ring)
        if len(corner) > 2 and abs(corner[2]) > LARGEST_BULGE:
            right = f"between -{LARGEST_BULGE:g} and {LARGEST_BULGE:g}, the tangent of a quarter of the arc's angle"
            yield problem((*path, index, 2), f"a bulge of {corner[2]:g}", right, thing=thing)
        if (closed or after) and math.dist(corner[:2], ring[after][:2]) < SMALLEST:
            wrong = f"corners {index} and {after} are at one point"
            yield problem((*path, index), wrong, "leave one of them out", thing=thing)


def _holes(path: Place, polygon: Polygon, thing: str) -> Iterator[Problem]:
    """Holes of rings that are sound in themselves."""
    if not polygon.holes:
        return
    shell = _area(polygon.points)
    holes = np.array([_area(hole) for hole in polygon.holes], dtype=object)
    # Arcs stand here as chords, which may err by their deviation all along the edge; straight edges only by rounding.
    slack = 2.0 * DEVIATION * shapely.length(holes) if _any_arc(polygon) else 1e-9 * (1.0 + shapely.area(holes))
    outside = shapely.area(shapely.difference(holes, shell))
    for number in np.flatnonzero(outside > slack):
        wrong = f"the hole lies outside the outline by {outside[number]:.3g} mm²"
        yield problem((*path, "holes", int(number)), wrong, "a hole within its outline", thing=thing)
    first, second = shapely.STRtree(holes).query(holes, predicate="intersects")
    for one, other in zip(first.tolist(), second.tolist(), strict=True):
        if one < other and shapely.area(shapely.intersection(holes[one], holes[other])) > slack[one]:
            wrong = f"holes {one} and {other} overlap"
            yield problem((*path, "holes", other), wrong, "one hole in their place", thing=thing)
    if shell.area - float(shapely.area(holes).sum()) <= float(slack.sum()):
        yield problem((*path, "holes"), "the holes leave nothing of the outline", "some material", thing=thing)


def _area(ring: Ring) -> shapely.Polygon:
    return shapely.Polygon(line_corners([*ring, ring[0]])[:-1])


def _any_arc(polygon: Polygon) -> bool:
    return any(len(corner) > 2 and corner[2] != 0.0 for ring in (polygon.points, *polygon.holes) for corner in ring)
