"""Checks of outlines: corners apart, edges that do not cross, holes inside."""

from __future__ import annotations

import math
from collections.abc import Iterator

from core.document.names import problem
from core.document.number_checks import SMALLEST
from core.document.problem import Place, Problem
from core.document.project import Circle, Polygon, Project, Ring, Wall


def outline_problems(project: Project) -> Iterator[Problem]:
    for index, body in enumerate(project.bodies):
        for number, shape in enumerate(body.shapes):
            path: Place = ("bodies", index, "shapes", number)
            match shape:
                case Polygon():
                    yield from _polygon(path, shape, body.id)
                case Wall():
                    yield from _corners((*path, "points"), shape.points, body.id, least=2, closed=False)
                case Circle():
                    pass


def _polygon(path: Place, polygon: Polygon, thing: str) -> Iterator[Problem]:
    yield from _corners((*path, "points"), polygon.points, thing, least=3, closed=True)
    for number, hole in enumerate(polygon.holes):
        yield from _corners((*path, "holes", number), hole, thing, least=3, closed=True)


def _corners(path: Place, ring: Ring, thing: str, *, least: int, closed: bool) -> Iterator[Problem]:
    if len({corner[:2] for corner in ring}) < least:
        yield problem(path, f"there are {len(ring)} corners", f"at least {least} different ones", thing=thing)
        return
    for index in range(len(ring) if closed else len(ring) - 1):
        after = (index + 1) % len(ring)
        if math.dist(ring[index][:2], ring[after][:2]) < SMALLEST:
            wrong = f"corners {index} and {after} are at one point"
            yield problem((*path, index), wrong, "leave one of them out", thing=thing)
