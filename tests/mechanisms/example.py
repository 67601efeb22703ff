"""A mechanism with a known answer, and how far a solved motion is from it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from core.document.project import Project
from core.mechanism.build import build
from core.motion.motion import Motion
from core.motion.schedule import lay_out
from core.motion.solve import solve_motion
from tests.mechanisms.planar import Floats, Points

Drives = Mapping[str, Floats]
Answer = Callable[[Drives, Floats], Mapping[str, Points]]
Mark = tuple[str, complex]
"""A body, and a point of it as drawn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Example:
    """`answer` takes drive values and times, (F,) each, and says where every mark is, (F,) points."""

    name: str
    project: Project
    marks: Mapping[str, Mark]
    answer: Answer
    freedoms: int = 1
    """Of the mechanism with its drives taken away."""
    redundant: int = 0


def solve(project: Project, frames: int = 121) -> Motion:
    """The motion of a project's first sequence at evenly spread frames."""
    schedule = lay_out(project.sequences[0])
    return solve_motion(build(project), schedule, np.linspace(0.0, schedule.seconds, frames))


def point_track(motion: Motion, body: str, drawn: complex, poses: Floats | None = None) -> Points:
    """(F,) where a body's point is."""
    at = (motion.poses if poses is None else poses)[:, motion.bodies.index(body)]
    return np.asarray(at[:, 0] + 1j * at[:, 1] + np.exp(1j * at[:, 2]) * drawn, dtype=complex)


def turn_track(motion: Motion, body: str) -> Floats:
    """(F,) a body's turn from the drawn position, in degrees, continuous."""
    return np.rad2deg(motion.poses[:, motion.bodies.index(body), 2])


def drive_tracks(motion: Motion) -> dict[str, Floats]:
    return {drive: motion.drives[:, at] for at, drive in enumerate(motion.drive_ids)}


def errors(example: Example, motion: Motion) -> dict[str, float]:
    """For every mark, the worst distance from its known place over all frames, in millimetres; a NaN stays one."""
    known = example.answer(drive_tracks(motion), motion.times)
    assert set(known) == set(example.marks)
    return {
        name: float(np.max(np.abs(point_track(motion, body, drawn) - known[name])))
        for name, (body, drawn) in example.marks.items()
    }


def rates(motion: Motion, time: float, step: float, order: int) -> Floats:
    """(B, 3) the first or second derivative of every pose by time, by central differences of eighth order."""
    first = np.array([1 / 280, -4 / 105, 1 / 5, -4 / 5, 0.0, 4 / 5, -1 / 5, 4 / 105, -1 / 280])
    second = np.array([-1 / 560, 8 / 315, -1 / 5, 8 / 5, -205 / 72, 8 / 5, -1 / 5, 8 / 315, -1 / 560])
    poses = motion.poses_at(time + step * np.arange(-4, 5))
    weights = first / step if order == 1 else second / step**2
    return np.asarray(np.tensordot(weights, poses, axes=1), dtype=float)
