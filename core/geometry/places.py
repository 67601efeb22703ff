"""Where on its view a body or a connection is while the bodies stand somewhere."""

from __future__ import annotations

from core.document.project import Gearing, Jack, Latch, Point, Project, Rod
from core.geometry.outlines import outline
from core.geometry.planar import Floats
from core.geometry.poses import carried_point


class Places:
    """Of the things of one project, at (B, 3) poses of its bodies; None of a connection that it has not got."""

    def __init__(self, project: Project) -> None:
        self._bodies = {body.id: body for body in project.bodies}
        self._connections = {one.id: one for one in project.connections}
        self._index = {body.id: number for number, body in enumerate(project.bodies)}

    def body(self, body_id: str, poses: Floats) -> Point | None:
        """A point within the body's outline; None where it has no shape."""
        body = self._bodies[body_id]
        if not body.shapes:
            return None
        inside = outline(body).representative_point()
        return carried_point(poses[self._index[body_id]], (inside.x, inside.y))

    def connection(self, connection_id: str, poses: Floats) -> Point | None:
        """The joining point; of a rod or jack the middle of its two ends."""
        one = self._connections.get(connection_id)
        if one is None:
            return None
        if isinstance(one, Gearing):
            return self.connection(one.pivots[1], poses)
        first, second = (poses[self._index[body_id]] for body_id in one.bodies)
        if isinstance(one, Rod | Jack):
            (x1, y1), (x2, y2) = carried_point(first, one.ends[0]), carried_point(second, one.ends[1])
            return ((x1 + x2) / 2, (y1 + y2) / 2)
        return carried_point(first, one.ends[0]) if isinstance(one, Latch) else carried_point(second, one.at)

    def view_of_body(self, body_id: str) -> str:
        return self._bodies[body_id].view

    def view_of_connection(self, connection_id: str) -> str | None:
        one = self._connections.get(connection_id)
        if isinstance(one, Gearing):
            return self.view_of_connection(one.pivots[1])
        return None if one is None else self._bodies[one.bodies[0]].view
