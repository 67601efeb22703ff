"""How much of what a connection could travel a sequence uses, and what is left of it at either end."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from core.document.measured import moments_of
from core.document.project import Figure, Project
from core.figures.measure import MotionFor, NotMeasured, columns_of, link_of, motion_at, require_assembled
from core.figures.result import StrokeUse
from core.geometry.planar import Floats
from core.mechanism.mechanism import Link
from core.motion.motion import Motion
from core.motion.travels import greatest
from core.motion.values import value_of

AT_REST = 1e-9
"""By how many millimetres or degrees a connection that stands still may seem to move."""
BESIDE = 1e-4
"""How near to a moment it is looked whether a value still grows, as a share of the way to the next."""


def stroke_of(project: Project, figure: Figure, motion_for: MotionFor) -> tuple[float, StrokeUse]:
    """The size that is compared, used or available, and both of them; raises NotMeasured."""
    link, bodies = link_of(project, figure.of)
    if figure.compared == "available" and link.limits is None:
        raise NotMeasured("It has no limits, so that there is no telling how far it could go.")
    ends = [motion_at(project, one, motion_for) for one in moments_of(figure)]
    motion, (begin, end) = ends[0][0], sorted(seconds for _, seconds in ends)
    times, poses, assembled = _course(motion, begin, end)
    columns = columns_of(motion, bodies)
    require_assembled(project, bodies, columns, assembled, times)

    def value(at: Floats) -> Floats:
        return _values(link, columns, motion.poses_at(at))

    low, high = _reached(value, times, _values(link, columns, poses))
    if link.limits is None:
        return high - low, StrokeUse(used=high - low)
    lower, upper = link.limits
    use = StrokeUse(used=high - low, available=upper - lower, left=(low - lower, upper - high))
    return (high - low if figure.compared == "used" else upper - lower), use


def _course(motion: Motion, begin: float, end: float) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Times (T,) from one moment to another, the poses (T, B, 3) then, and what is assembled (T, B).

    They are the frames between, and where a step begins or ends, since what it moves may turn there.
    """
    turning = [time for step in motion.schedule.steps for time in (step.begin, step.end) if begin < time < end]
    added = np.unique([begin, *turning, end])
    kept = (motion.times > begin) & (motion.times < end) & ~np.isin(motion.times, added)
    times = np.concatenate([motion.times[kept], added])
    order = np.argsort(times)
    poses = np.concatenate([motion.poses[kept], motion.poses_at(added)])
    assembled = np.concatenate([motion.assembled[kept], motion.assembled_at(added)])
    return times[order], poses[order], assembled[order]


def _values(link: Link, columns: list[int], poses: Floats) -> Floats:
    return value_of(link, poses[:, columns[0]], poses[:, columns[1]])


def _reached(value: Callable[[Floats], Floats], times: Floats, values: Floats) -> tuple[float, float]:
    """The least and the greatest value.

    One is looked for between the moments about it only where it still grows towards one of them; that is asked of both
    at once, since a pose costs little and asking for one costs much.
    """
    tops = np.array([np.argmin(values), np.argmax(values)])
    about = times[np.clip(tops[:, None] + np.array([-1, 0, 1]), 0, len(times) - 1)]
    probes = about[:, [1]] + BESIDE * (about[:, [0, 2]] - about[:, [1]])
    grows = np.array([[-1.0], [1.0]]) * (value(probes.ravel()).reshape(2, 2) - values[tops][:, None]) > AT_REST
    least, most = (float(one) for one in values[tops])
    if grows[0].any():
        least = _at(value, greatest(lambda at: -value(at), *about[0].tolist()))
    if grows[1].any():
        most = _at(value, greatest(value, *about[1].tolist()))
    return least, most


def _at(value: Callable[[Floats], Floats], time: float) -> float:
    return float(value(np.array([time]))[0])
