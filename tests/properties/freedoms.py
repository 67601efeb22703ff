"""Freedoms and redundancies by the rank of the velocity equations at the drawn position, written out anew.

Every row says that a point of one body and a point of another have no relative speed along a line, or that two bodies
turn together; a body's velocity is its point's at the origin and its turning.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.document.project import Connection, Gearing, Pivot, Point, Project, Rod, Slide, Slot
from tests.mechanisms.planar import Floats

LEVER = 50.0
"""Millimetres that make a radian comparable, so that the rank is not a matter of units."""


@dataclass(frozen=True, slots=True)
class Count:
    freedoms: int
    redundant: int


def count_freedoms(project: Project, *, driven: bool) -> Count:
    moving = [body.id for body in project.bodies if not body.fixed]
    pivots = {one.id: one for one in project.connections if isinstance(one, Pivot)}
    rows = [row for one in project.connections for row in _rows(one, moving, pivots)]
    if driven:
        rows += [_turn_row(pivots[drive.on].bodies, moving) for drive in project.drives]
    matrix = np.array(rows).reshape(-1, 3 * len(moving))
    sizes = np.linalg.svd(matrix, compute_uv=False)
    rank = int((sizes > 1e-8 * sizes[0]).sum()) if len(sizes) else 0
    return Count(matrix.shape[1] - rank, matrix.shape[0] - rank)


def _rows(one: Connection, moving: list[str], pivots: dict[str, Pivot]) -> list[Floats]:
    match one:
        case Pivot():
            return [_line_row(one.bodies, (one.at, one.at), axis, moving) for axis in (1 + 0j, 1j)]
        case Slide():
            across = 1j * complex(*one.along) / abs(complex(*one.along))
            return [_line_row(one.bodies, (one.at, one.at), across, moving), _turn_row(one.bodies, moving)]
        case Slot():
            along = complex(*one.end) - complex(*one.start)
            return [_line_row(one.bodies, (one.at, one.at), 1j * along / abs(along), moving)]
        case Rod():
            span = complex(*one.ends[1]) - complex(*one.ends[0])
            return [_line_row(one.bodies, one.ends, span / abs(span), moving)]
        case Gearing():
            driver, follower = (_turn_row(pivots[name].bodies, moving) for name in one.pivots)
            return [follower - one.ratio * driver]
    return []


def _line_row(bodies: tuple[str, str], points: tuple[Point, Point], line: complex, moving: list[str]) -> Floats:
    row = np.zeros(3 * len(moving))
    for sign, body, point in zip((-1.0, 1.0), bodies, points, strict=True):
        if body in moving:
            turned = np.real(np.conj(line) * 1j * complex(*point)) / LEVER
            row[3 * moving.index(body) :][:3] += sign * np.array([line.real, line.imag, turned])
    return row


def _turn_row(bodies: tuple[str, str], moving: list[str]) -> Floats:
    row = np.zeros(3 * len(moving))
    for sign, body in zip((-1.0, 1.0), bodies, strict=True):
        if body in moving:
            row[3 * moving.index(body) + 2] += sign
    return row
