"""Where on the view a connection or a body stands at a moment, so that a finding can be shown there."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from core.document.project import Body, Connection, Gearing, Jack, Latch, Point, Project, Rod
from core.geometry.outlines import outline
from core.motion.motion import Motion

Floats = NDArray[np.float64]


def carried(pose: Floats, point: Point) -> tuple[float, float]:
    """Where a body's point drawn at `point` is when the body stands at pose (3,)."""
    x, y, turn = (float(value) for value in pose)
    cosine, sine = math.cos(turn), math.sin(turn)
    return (cosine * point[0] - sine * point[1] + x, sine * point[0] + cosine * point[1] + y)


class Places:
    """Answers where things are at a moment of one solved sequence."""

    def __init__(self, project: Project, motion: Motion) -> None:
        self._motion = motion
        self._bodies: Mapping[str, Body] = {body.id: body for body in project.bodies}
        self._connections: Mapping[str, Connection] = {one.id: one for one in project.connections}
        self._index = {body_id: number for number, body_id in enumerate(motion.bodies)}

    def poses(self, time: float) -> Floats:
        """(B, 3) at a moment."""
        return self._motion.poses_at(np.array([time]))[0]

    def body(self, body_id: str, time: float) -> tuple[float, float] | None:
        """A point within the body's outline."""
        body = self._bodies[body_id]
        if not body.shapes:
            return None
        inside = outline(body).representative_point()
        return carried(self.poses(time)[self._index[body_id]], (inside.x, inside.y))

    def connection(self, connection_id: str, time: float) -> tuple[float, float] | None:
        """The joining point; of a rod or jack the middle of its two ends."""
        one = self._connections[connection_id]
        if isinstance(one, Gearing):
            return self.connection(one.pivots[1], time)
        poses = self.poses(time)
        first, second = (poses[self._index[body_id]] for body_id in one.bodies)
        if isinstance(one, Rod | Jack):
            (x1, y1), (x2, y2) = carried(first, one.ends[0]), carried(second, one.ends[1])
            return ((x1 + x2) / 2, (y1 + y2) / 2)
        if isinstance(one, Latch):
            return carried(first, one.ends[0])
        return carried(second, one.at)

    def view_of_body(self, body_id: str) -> str:
        return self._bodies[body_id].view

    def view_of_connection(self, connection_id: str) -> str:
        one = self._connections[connection_id]
        if isinstance(one, Gearing):
            return self.view_of_connection(one.pivots[1])
        return self._bodies[one.bodies[0]].view
