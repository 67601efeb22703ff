"""Measuring a moving model: where its points are, and how far a connection has gone, at a moment."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from core.document.measured import sequence_of
from core.document.names import called
from core.document.project import FigurePoint, Jack, Moment, Pivot, Point, Project, Slide, Slot
from core.geometry.planar import Floats
from core.geometry.poses import carried_point
from core.mechanism.build import link_alone
from core.mechanism.mechanism import Link
from core.motion.motion import Motion
from core.motion.schedule import moment_seconds
from core.motion.values import value_of

MotionFor = Callable[[str], Motion]


class NotMeasured(Exception):
    """Why something cannot be measured, as a sentence."""


def motion_at(project: Project, moment: Moment, motion_for: MotionFor) -> tuple[Motion, float]:
    """The motion of the sequence that a moment lies in, and the moment's seconds; raises NotMeasured without one."""
    sequence = sequence_of(project.sequences, moment)
    if sequence is None:
        raise NotMeasured("The project has no sequence for it.")
    motion = motion_for(sequence)
    return motion, min(moment_seconds(motion.schedule, moment), motion.schedule.seconds)


def poses_at(project: Project, moment: Moment, bodies: Sequence[str], motion_for: MotionFor) -> Floats:
    """(len(bodies), 3) poses at a moment; raises NotMeasured where one of the bodies cannot get there."""
    motion, seconds = motion_at(project, moment, motion_for)
    time = np.array([seconds])
    require_assembled(project, bodies, columns_of(motion, bodies), motion.assembled_at(time), time)
    return np.asarray(motion.poses_at(time)[0, columns_of(motion, bodies)], dtype=float)


def columns_of(motion: Motion, bodies: Sequence[str]) -> list[int]:
    return [motion.bodies.index(body) for body in bodies]


def require_assembled(
    project: Project, bodies: Sequence[str], columns: Sequence[int], assembled: NDArray[np.bool_], times: Floats
) -> None:
    """Raise NotMeasured where a body does not get to one of the times; `assembled` is (T, B)."""
    for body, column in zip(bodies, columns, strict=True):
        if not assembled[:, column].all():
            time = times[int(np.argmin(assembled[:, column]))]
            name = called(project.bodies, body)
            raise NotMeasured(f"{name} does not get there: its linkage does not go together at {time:.2f} s.")


def link_of(project: Project, connection_id: str | None) -> tuple[Link, tuple[str, str]]:
    """The connection that a figure is of, with its bodies; raises NotMeasured where it has none that travels."""
    for one in project.connections:
        if one.id == connection_id and isinstance(one, Pivot | Slide | Slot | Jack):
            return link_alone(one), one.bodies
    raise NotMeasured("There is nothing of that name that travels.")


def value_at(link: Link, poses: Floats) -> float:
    """A connection's value in its drive's terms from the (2, 3) poses of its two bodies."""
    return float(value_of(link, poses[:1], poses[1:])[0])


def point_at(project: Project, point: FigurePoint, motion_for: MotionFor) -> Floats:
    """(2,) where a figure's point is at its moment, or as drawn."""
    body, drawn = drawn_at(project, point)
    if point.at is None:
        return np.array(drawn, dtype=float)
    return np.array(carried_point(poses_at(project, point.at, [body], motion_for)[0], drawn))


def drawn_at(project: Project, point: FigurePoint) -> tuple[str, Point]:
    """The body that carries a figure's point, and where on it that is drawn; raises NotMeasured."""
    for connection in project.connections:
        if isinstance(connection, Pivot) and connection.id == point.pivot:
            return connection.bodies[0], connection.at
    if point.body is None or point.point is None:
        raise NotMeasured("It is not clear which point is meant.")
    return point.body, point.point


def angle_between(points: Sequence[Floats]) -> float:
    """Degrees between points.

    Of two points the direction from one to the other, -180 to 180; of three the corner at the middle one, and of four
    how far the second line turns from the first, 0 to 180.
    """
    if len(points) == 2:
        return _direction(points[0], points[1])
    first, second, third, fourth = (points[1], points[0], points[1], points[2]) if len(points) == 3 else points
    one, other = _direction(first, second), _direction(third, fourth)
    return abs((other - one + 180.0) % 360.0 - 180.0)


def _direction(start: Floats, end: Floats) -> float:
    if math.dist(start, end) < 1e-9:
        raise NotMeasured("Two of its points lie on each other, so that they have no direction.")
    return math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))
