"""Freedoms and redundancies by the rank of the velocity equations, written out anew.

Every row says that a point of one body and a point of another have no relative speed along a line, or that two bodies
turn together; a body's velocity is that of its point at the view's origin, and its turning.
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


@dataclass(frozen=True, slots=True)
class Stance:
    """Where bodies are: x, y and turn of each, as in a motion; a body that is not named stands as drawn."""

    poses: dict[str, Floats]

    def at(self, body: str, point: Point) -> complex:
        x, y, turn = self.poses.get(body, np.zeros(3))
        return complex(x + 1j * y + np.exp(1j * turn) * complex(*point))

    def line(self, body: str, along: complex) -> complex:
        return complex(np.exp(1j * self.poses.get(body, np.zeros(3))[2]) * along / abs(along))


AS_DRAWN = Stance({})


def count_freedoms(project: Project, *, driven: bool) -> Count:
    """At the drawn position."""
    matrix = velocity_equations(project, AS_DRAWN, driven=driven)
    sizes = np.linalg.svd(matrix, compute_uv=False)
    rank = int((sizes > 1e-8 * sizes[0]).sum()) if len(sizes) else 0
    return Count(matrix.shape[1] - rank, matrix.shape[0] - rank)


def firmness(project: Project, stance: Stance) -> float:
    """The least singular value over the largest, with the drives held: nought at a dead end."""
    sizes = np.linalg.svd(velocity_equations(project, stance, driven=True), compute_uv=False)
    return float(sizes[-1] / sizes[0])


def velocity_equations(project: Project, stance: Stance, *, driven: bool) -> Floats:
    """(R, 3 x moving bodies)"""
    moving = [body.id for body in project.bodies if not body.fixed]
    pivots = {one.id: one for one in project.connections if isinstance(one, Pivot)}
    rows = [row for one in project.connections for row in _rows(one, moving, pivots, stance)]
    if driven:
        rows += [_turn_row(pivots[drive.on].bodies, moving) for drive in project.drives]
    return np.array(rows).reshape(-1, 3 * len(moving))


def _rows(one: Connection, moving: list[str], pivots: dict[str, Pivot], stance: Stance) -> list[Floats]:
    def along(points: tuple[Point, Point], line: complex) -> Floats:
        first, second = (stance.at(body, point) for body, point in zip(one.bodies, points, strict=True))
        return _line_row(one.bodies, (first, second), line, moving)

    match one:
        case Pivot():
            return [along((one.at, one.at), axis) for axis in (1 + 0j, 1j)]
        case Slide():
            across = 1j * stance.line(one.bodies[0], complex(*one.along))
            # The line stands on the first body, so that it is the second's point on it that counts for both.
            there = stance.at(one.bodies[1], one.at)
            return [_line_row(one.bodies, (there, there), across, moving), _turn_row(one.bodies, moving)]
        case Slot():
            across = 1j * stance.line(one.bodies[0], complex(*one.end) - complex(*one.start))
            there = stance.at(one.bodies[1], one.at)
            return [_line_row(one.bodies, (there, there), across, moving)]
        case Rod():
            span = stance.at(one.bodies[1], one.ends[1]) - stance.at(one.bodies[0], one.ends[0])
            return [along(one.ends, span / abs(span))]
        case Gearing():
            driver, follower = (_turn_row(pivots[name].bodies, moving) for name in one.pivots)
            return [follower - one.ratio * driver]
    return []


def _line_row(bodies: tuple[str, str], points: tuple[complex, complex], line: complex, moving: list[str]) -> Floats:
    row = np.zeros(3 * len(moving))
    for sign, body, point in zip((-1.0, 1.0), bodies, points, strict=True):
        if body in moving:
            turned = np.real(np.conj(line) * 1j * point) / LEVER
            row[3 * moving.index(body) :][:3] += sign * np.array([line.real, line.imag, turned])
    return row


def _turn_row(bodies: tuple[str, str], moving: list[str]) -> Floats:
    row = np.zeros(3 * len(moving))
    for sign, body in zip((-1.0, 1.0), bodies, strict=True):
        if body in moving:
            row[3 * moving.index(body) + 2] += sign
    return row
