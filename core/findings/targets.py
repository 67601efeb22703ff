"""How far a body is from where its target says it ought to be."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.document.project import Body, Project, Sequence, Target
from core.geometry.outlines import outline
from core.motion.motion import Motion
from core.motion.schedule import Schedule, moment_seconds

Floats = NDArray[np.float64]


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


def measure_targets(project: Project, sequence: Sequence, motion: Motion) -> tuple[TargetResult, ...]:
    """Every target whose moment lies in this sequence.

    A target that names no sequence belongs to those that have its step, or to the first of the project.
    """
    bodies = {body.id: (number, body) for number, body in enumerate(project.bodies)}
    results = []
    for target in project.targets:
        if not belongs(target, sequence, project):
            continue
        time = _moment(target, motion.schedule)
        number, body = bodies[target.body]
        pose = motion.poses_at(np.array([time]))[0, number]
        miss, at = _farthest(body, pose, np.array([target.x, target.y, math.radians(target.turn)]))
        results.append(TargetResult(target, time, miss, at))
    return tuple(results)


def _moment(target: Target, schedule: Schedule) -> float:
    return min(max(0.0, moment_seconds(schedule, target.at)), schedule.seconds)


def belongs(target: Target, sequence: Sequence, project: Project) -> bool:
    if target.at.sequence is not None:
        return target.at.sequence == sequence.id
    if target.at.after is not None:
        return any(step.id == target.at.after for step in sequence.steps)
    return bool(project.sequences) and project.sequences[0].id == sequence.id


def _farthest(body: Body, pose: Floats, wanted: Floats) -> tuple[float, tuple[float, float]]:
    """The largest distance of any of the body's points between two poses; it stands at a corner of the convex hull,
    since the distance between two rigid placements of a point is a convex function of the point."""
    corners = np.asarray(outline(body).convex_hull.exterior.coords) if body.shapes else np.zeros((1, 2))
    here, there = _placed(corners, pose), _placed(corners, wanted)
    distances = np.hypot(*(here - there).T)
    worst = int(np.argmax(distances))
    return float(distances[worst]), (float(here[worst, 0]), float(here[worst, 1]))


def _placed(corners: Floats, pose: Floats) -> Floats:
    cosine, sine = np.cos(pose[2]), np.sin(pose[2])
    return corners @ np.array([[cosine, sine], [-sine, cosine]]) + pose[:2]
