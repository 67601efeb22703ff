"""Curves of a body and of any point of it: how it turns, where it goes, how far, how fast."""

from __future__ import annotations

from enum import StrEnum

import numpy as np

from core.curves.series import Series, Unit
from core.document.names import name_of
from core.document.project import Project
from core.findings.sentences import Names
from core.geometry.planar import Complexes, Floats, point_at
from core.interference.placement import Parts
from core.motion.motion import Motion
from core.study import Study

STILL = 1e-6
"""Millimetres and radians below which a body is not said to move."""
STEP = 1e-4
"""Seconds to either side over which a speed is taken: rounding and the bend of the path are both far below 0.001 mm/s.
Where a step begins or ends with a jolt it is the mean of both."""


class Place(StrEnum):
    """What is asked of a body's point."""

    TURN = "turn"
    WAY = "way"
    ACROSS = "across"
    UP = "up"
    SPEED = "speed"


WORDS = {
    Place.TURN: ("turned", Unit.DEGREES),
    Place.WAY: ("way gone", Unit.MM),
    Place.ACROSS: ("across", Unit.MM),
    Place.UP: ("up", Unit.MM),
    Place.SPEED: ("speed", Unit.SPEED),
}


def moving_bodies(motion: Motion) -> tuple[str, ...]:
    """Those that move at any time of the sequence."""
    moves = np.ptp(motion.poses, axis=0).max(axis=1) > STILL
    return tuple(body for body, moved in zip(motion.bodies, moves.tolist(), strict=True) if moved)


def point_name(project: Project, body: str, at: tuple[float, float] | None) -> str:
    """What people call a point of a body: by the path that is drawn of it, or else by its body."""
    path = next((one for one in project.paths if (one.body, one.point) == (body, at)), None)
    return Names(project)(body) if path is None else name_of(path)


def point_series(
    study: Study, motion: Motion, body: str, what: Place, at: tuple[float, float] | None = None
) -> Series | None:
    """Of a body's point, mm as drawn; without one, of the middle of its outline. While the body is held because its
    connections do not meet, nothing is known."""
    if body not in motion.bodies:
        return None
    number = motion.bodies.index(body)
    point = _middle(study.parts, body) if at is None else complex(*at)
    if point is None:
        if what is not Place.TURN:
            return None
        point = 0j
    known = motion.assembled[:, number]
    if not known.any():
        return None
    values = np.where(known, _values(motion, number, point, what), np.nan)
    word, unit = WORDS[what]
    title = f"{point_name(study.project, body, at)}, {word}"
    return Series(title=title, unit=unit, times=motion.times, values=values)


def _values(motion: Motion, number: int, point: complex, what: Place) -> Floats:
    """(F,) in degrees, mm or mm/s."""
    poses = motion.poses[:, number]
    match what:
        case Place.TURN:
            return np.rad2deg(poses[:, 2])
        case Place.WAY:
            return np.concatenate([[0.0], np.cumsum(np.abs(np.diff(point_at(poses, point))))])
        case Place.ACROSS:
            return np.asarray(point_at(poses, point).real)
        case Place.UP:
            return np.asarray(point_at(poses, point).imag)
        case Place.SPEED:
            return speeds(motion, number, point)


def speeds(motion: Motion, number: int, point: complex, times: Floats | None = None) -> Floats:
    """(T,) mm/s of a point of a body at times, or at every frame, from where it is a little before and after each."""
    end, times = float(motion.times[-1]), motion.times if times is None else np.clip(times, 0.0, motion.times[-1])
    if end <= 0.0:
        return np.zeros(len(times))
    step = min(STEP, 0.25 * end)
    before, after = np.maximum(times - step, 0.0), np.minimum(times + step, end)
    there = _points(motion, np.concatenate([before, after]), number, point)
    return np.asarray(np.abs(there[len(before) :] - there[: len(before)]) / (after - before))


def _points(motion: Motion, times: Floats, number: int, point: complex) -> Complexes:
    return point_at(motion.poses_at(times)[:, number], point)


def _middle(parts: Parts, body: str) -> complex | None:
    """The middle of a body's outline, mm as drawn; None of a body that has none."""
    numbers = parts.by_id.get(body, ())
    return complex(*parts.centre[numbers[0]]) if numbers else None
