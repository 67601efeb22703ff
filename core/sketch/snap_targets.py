"""What there is to snap to in one view: corners, middles, centres, joints, edges and arcs, gathered once as arrays."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass, replace
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from core.document.project import Circle, Connection, Gearing, Pivot, Point, Project, Shape, Slide, Slot
from core.geometry.curves import arc
from core.sketch.reshaping import bulge_of, edges_of, middle_of_edge, rings

Floats = NDArray[np.float64]
Pose = tuple[float, float, float]
"""x, y in mm and turn in radians."""
DRAWN: Pose = (0.0, 0.0, 0.0)


class Kind(IntEnum):
    """What was snapped to, the most wanted first."""

    PIVOT = 0
    CORNER = 1
    CENTRE = 2
    MIDDLE = 3
    CROSSING = 4
    EDGE = 5
    DIRECTION = 6
    GRID = 7
    NOTHING = 8


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SnapTargets:
    """Everything there is to snap to in one view."""

    points: Floats
    """(N, 2) mm."""
    kinds: NDArray[np.intp]
    """(N,) of `Kind`."""
    owners: tuple[str, ...]
    """(N,) ids."""
    edges: Floats
    """(M, 4) straight edges, x and y of both ends."""
    edge_owners: tuple[str, ...]
    circles: Floats
    """(K, 5) centre, radius, and of an arc its first angle and its turn, radians counter-clockwise."""
    circle_owners: tuple[str, ...]

    def of_kinds(self, kinds: Set[Kind]) -> SnapTargets:
        """With those of its points that are of some kinds; edges and arcs stay, since lines cross on them."""
        wanted = np.isin(self.kinds, [int(kind) for kind in kinds])
        if wanted.all():
            return self
        owners = tuple(one for one, is_wanted in zip(self.owners, wanted.tolist(), strict=True) if is_wanted)
        return replace(self, points=self.points[wanted], kinds=self.kinds[wanted], owners=owners)

    def without(self, owners: Iterable[str]) -> SnapTargets:
        """Without what moves along with the hand."""
        gone = set(owners)
        points = np.array([one not in gone for one in self.owners], dtype=bool)
        edges = np.array([one not in gone for one in self.edge_owners], dtype=bool)
        circles = np.array([one not in gone for one in self.circle_owners], dtype=bool)
        return SnapTargets(
            points=self.points[points],
            kinds=self.kinds[points],
            owners=tuple(one for one in self.owners if one not in gone),
            edges=self.edges[edges],
            edge_owners=tuple(one for one in self.edge_owners if one not in gone),
            circles=self.circles[circles],
            circle_owners=tuple(one for one in self.circle_owners if one not in gone),
        )


def snap_targets(project: Project, view: str, poses: Mapping[str, Pose] | None = None) -> SnapTargets:
    """The corners, middles, centres, edges and joints of a view's bodies where they stand; as drawn without poses."""
    found = _Found()
    seen = {body.id: body for body in project.bodies if body.view == view}
    for body in seen.values():
        pose = (poses or {}).get(body.id, DRAWN)
        for shape in body.shapes:
            found.shape(shape, body.id, pose)
    for connection in project.connections:
        for body_id, at in joints_of(connection):
            if body_id in seen:
                found.point(at, Kind.PIVOT, connection.id, (poses or {}).get(body_id, DRAWN))
    return found.targets()


def joints_of(connection: Connection) -> list[tuple[str, Point]]:
    """A connection's points, each with the body that carries it."""
    if isinstance(connection, Gearing):
        return []
    first, second = connection.bodies
    if isinstance(connection, Pivot | Slide):
        return [(first, connection.at)]
    if isinstance(connection, Slot):
        return [(second, connection.at), (first, connection.start), (first, connection.end)]
    return [(first, connection.ends[0]), (second, connection.ends[1])]


class _Found:
    def __init__(self) -> None:
        self._points: list[tuple[Point, Kind, str]] = []
        self._edges: list[tuple[float, float, float, float]] = []
        self._edge_owners: list[str] = []
        self._circles: list[tuple[float, float, float, float, float]] = []
        self._circle_owners: list[str] = []

    def point(self, at: Point, kind: Kind, owner: str, pose: Pose) -> None:
        self._points.append((_placed(at, pose), kind, owner))

    def shape(self, shape: Shape, owner: str, pose: Pose) -> None:
        if isinstance(shape, Circle):
            self.point(shape.centre, Kind.CENTRE, owner, pose)
            self._circles.append((*_placed(shape.centre, pose), shape.radius, 0.0, 2.0 * math.pi))
            self._circle_owners.append(owner)
            return
        for ring, corners in enumerate(rings(shape)):
            for corner in corners:
                self.point((corner[0], corner[1]), Kind.CORNER, owner, pose)
            for i in range(edges_of(shape, ring)):
                start, end = corners[i], corners[(i + 1) % len(corners)]
                self.point(middle_of_edge(start, end), Kind.MIDDLE, owner, pose)
                if bulge_of(start):
                    x, y, radius, begin, angle = arc(start, end, bulge_of(start))
                    self.point((x, y), Kind.CENTRE, owner, pose)
                    first = begin if angle > 0.0 else begin + angle
                    self._circles.append((*_placed((x, y), pose), radius, first + pose[2], abs(angle)))
                    self._circle_owners.append(owner)
                else:
                    self._edges.append((*_placed((start[0], start[1]), pose), *_placed((end[0], end[1]), pose)))
                    self._edge_owners.append(owner)

    def targets(self) -> SnapTargets:
        return SnapTargets(
            points=np.array([at for at, _, _ in self._points], dtype=float).reshape(-1, 2),
            kinds=np.array([kind for _, kind, _ in self._points], dtype=np.intp),
            owners=tuple(owner for _, _, owner in self._points),
            edges=np.array(self._edges, dtype=float).reshape(-1, 4),
            edge_owners=tuple(self._edge_owners),
            circles=np.array(self._circles, dtype=float).reshape(-1, 5),
            circle_owners=tuple(self._circle_owners),
        )


def _placed(at: Point, pose: Pose) -> Point:
    if pose == DRAWN:
        return (at[0], at[1])
    cosine, sine = math.cos(pose[2]), math.sin(pose[2])
    return (cosine * at[0] - sine * at[1] + pose[0], sine * at[0] + cosine * at[1] + pose[1])
