"""What there is to snap to in one view: corners, middles, centres, joints, edges and arcs, gathered once as arrays."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from core.document.project import Circle, Connection, Gearing, Pivot, Point, Project, Ring, Shape, Slide, Slot
from core.geometry.curves import arc
from core.geometry.planar import Floats
from core.geometry.poses import carried
from core.sketch.reshaping import bulge_of, edges_of, middle_of_edge, rings

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
                found.points([at], Kind.PIVOT, connection.id, (poses or {}).get(body_id, DRAWN))
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
    """Gathers whole rings at a time: a corner by itself would cost as much as a hundred in a row."""

    def __init__(self) -> None:
        self._points: list[Floats] = []
        self._kinds: list[Kind] = []
        self._owners: list[str] = []
        self._edges: list[Floats] = []
        self._edge_owners: list[str] = []
        self._circles: list[tuple[float, float, float, float, float]] = []
        self._circle_owners: list[str] = []

    def points(self, at: Sequence[Point] | Floats, kind: Kind, owner: str, pose: Pose) -> None:
        self._points.append(_placed(at, pose))
        self._kinds += [kind] * len(at)
        self._owners += [owner] * len(at)

    def shape(self, shape: Shape, owner: str, pose: Pose) -> None:
        if isinstance(shape, Circle):
            self._circle(shape.centre, (shape.radius, 0.0, 2.0 * math.pi), owner, pose)
            return
        for ring, corners in enumerate(rings(shape)):
            self._ring(corners, edges_of(shape, ring), owner, pose)

    def _ring(self, corners: Ring, edges: int, owner: str, pose: Pose) -> None:
        places = np.array([corner[:2] for corner in corners], dtype=float).reshape(-1, 2)
        follow = np.roll(places, -1, axis=0)
        bent = [i for i in range(edges) if bulge_of(corners[i])]
        straight = np.setdiff1d(np.arange(edges), bent)
        self.points(places, Kind.CORNER, owner, pose)
        self.points(0.5 * (places + follow)[straight], Kind.MIDDLE, owner, pose)
        ends = (_placed(places[straight], pose), _placed(follow[straight], pose))
        self._edges.append(np.concatenate(ends, axis=1))
        self._edge_owners += [owner] * len(straight)
        for i in bent:
            start, end = corners[i], corners[(i + 1) % len(corners)]
            self.points([middle_of_edge(start, end)], Kind.MIDDLE, owner, pose)
            x, y, radius, begin, angle = arc(start, end, bulge_of(start))
            self._circle((x, y), (radius, begin if angle > 0.0 else begin + angle, abs(angle)), owner, pose)

    def _circle(self, centre: Point, about: tuple[float, float, float], owner: str, pose: Pose) -> None:
        """`about` is the radius, and of an arc its first angle and its turn."""
        radius, first, turn = about
        self.points([centre], Kind.CENTRE, owner, pose)
        x, y = _placed([centre], pose)[0].tolist()
        self._circles.append((x, y, radius, first + pose[2], turn))
        self._circle_owners.append(owner)

    def targets(self) -> SnapTargets:
        return SnapTargets(
            points=np.concatenate([np.empty((0, 2)), *self._points]),
            kinds=np.array(self._kinds, dtype=np.intp),
            owners=tuple(self._owners),
            edges=np.concatenate([np.empty((0, 4)), *self._edges]),
            edge_owners=tuple(self._edge_owners),
            circles=np.array(self._circles, dtype=float).reshape(-1, 5),
            circle_owners=tuple(self._circle_owners),
        )


def _placed(at: Sequence[Point] | Floats, pose: Pose) -> Floats:
    """(N, 2) points at a pose."""
    points = np.asarray(at, dtype=float).reshape(-1, 2)
    return points if pose == DRAWN else carried(np.array(pose), points)
