"""How much of what a connection could travel a sequence uses, and what is left of it at either end."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from core.document.measured import moments_of
from core.document.project import Figure, Project
from core.figures.measure import Floats, MotionFor, NotMeasured, columns_of, link_of, motion_at, require_assembled
from core.figures.result import StrokeUse
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

    values = _values(link, columns, poses)
    low, high = -_peak(lambda at: -value(at), times, -values), _peak(value, times, values)
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


def _peak(value: Callable[[Floats], Floats], times: Floats, values: Floats) -> float:
    """The greatest value; looked for between the moments about it only where it still grows towards one of them."""
    top = int(np.argmax(values))
    low, at, high = (float(times[min(max(one, 0), len(times) - 1)]) for one in (top - 1, top, top + 1))
    beside = value(np.array([at + BESIDE * (low - at), at + BESIDE * (high - at)]))
    if (beside <= values[top] + AT_REST).all():
        return float(values[top])
    return float(value(np.array([greatest(value, low, at, high)]))[0])
