"""How far a body is from where its target says it ought to be."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from core.document.project import Body, Project, Sequence, Target
from core.geometry.outlines import outline
from core.geometry.planar import Complexes, Floats, point_at
from core.interference.placement import Parts
from core.motion.motion import Motion
from core.motion.schedule import Schedule, moment_seconds


@dataclass(frozen=True, slots=True)
class TargetResult:
    """How far the farthest point of the body is from where it ought to be, mm, and where that point is."""

    target: Target
    time: float
    miss: float
    at: tuple[float, float]

    @property
    def met(self) -> bool:
        return self.miss <= self.target.within


def measure_targets(
    project: Project, sequence: Sequence, motion: Motion, parts: Parts | None = None
) -> tuple[TargetResult, ...]:
    """Every target whose moment lies in this sequence; the project's `parts`, where they are known, lend outlines.

    A target that names no sequence belongs to those that have its step, or to the first of the project.
    """
    bodies = {body.id: (number, body) for number, body in enumerate(project.bodies)}
    results = []
    for target in project.targets:
        if not belongs(target, sequence, project):
            continue
        time = _moment(target, motion.schedule)
        number, body = bodies[target.body]
        pose, corners = motion.poses_at(np.array([time]))[0, number], corners_of(body, parts)
        misses = np.abs(misses_at(pose, target, corners))
        worst = int(np.argmax(misses))
        at = complex(point_at(pose, corners[worst]))
        results.append(TargetResult(target, time, float(misses[worst]), (at.real, at.imag)))
    return tuple(results)


def _moment(target: Target, schedule: Schedule) -> float:
    return min(max(0.0, moment_seconds(schedule, target.at)), schedule.seconds)


def belongs(target: Target, sequence: Sequence, project: Project) -> bool:
    if target.at.sequence is not None:
        return target.at.sequence == sequence.id
    if target.at.after is not None:
        return any(step.id == target.at.after for step in sequence.steps)
    return bool(project.sequences) and project.sequences[0].id == sequence.id


def corners_of(body: Body, parts: Parts | None = None) -> Complexes:
    """(N,) the corners of the convex hull about a body as drawn: what is farthest from anything is one of them. Of a
    body without an outline its view's origin."""
    if not body.shapes:
        return np.zeros(1, dtype=complex)
    known = () if parts is None else parts.by_id.get(body.id, ())
    drawn = parts.polygons[known[0]] if parts is not None and known else outline(body)
    corners = np.asarray(drawn.convex_hull.exterior.coords)
    return np.asarray(corners[:, 0] + 1j * corners[:, 1])


def misses_at(poses: Floats, target: Target, corners: Complexes) -> Complexes:
    """(..., N) from where its target wants a body's corners to where they are at poses (..., 3).

    The longest of them is that of all the body's points, since the distance between two rigid placements of a point is
    a convex function of the point.
    """
    wanted = np.array([target.x, target.y, math.radians(target.turn)])
    return np.asarray(point_at(poses[..., None, :], corners) - point_at(wanted, corners))
