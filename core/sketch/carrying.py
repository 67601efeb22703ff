"""A body that is carried comes to rest with its own corners, centres and joints at those of others, or in line with
where it was."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from msgspec.structs import replace

from core.document.project import Connection, Gearing, Pivot, Point, Project, Slide
from core.sketch.snap_targets import Kind, Pose, SnapTargets, snap_targets
from core.sketch.snapping import Snap, snap

OWN = frozenset({Kind.PIVOT, Kind.CORNER, Kind.CENTRE})
"""What of a body is brought to other bodies' places."""
BY_THE_LEAD = frozenset({Kind.CROSSING, Kind.EDGE, Kind.DIRECTION})
"""Where no own point meets a place of others, that which the hand holds is brought to these."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest:
    """Where a carry comes to rest: how far it has gone, mm, and what it met there."""

    way: Point
    snap: Snap


class Carried:
    """What is carried and what stays, gathered once; each question is one look into a tree."""

    def __init__(
        self,
        project: Project,
        view: str,
        bodies: Iterable[str],
        *,
        leading: Iterable[str],
        held_at: Point,
        poses: Mapping[str, Pose],
        kinds: frozenset[Kind],
    ) -> None:
        """`held_at` is where the hand took hold, and `poses` are where the bodies stand, as the view shows them. Only
        the `leading` ones of those that are carried are brought to places: the others go another way."""
        gone = set(bodies)
        hung = [one.id for one in project.connections if not isinstance(one, Gearing) and gone & set(one.bodies)]
        self._kinds = kinds
        self._others = snap_targets(project, view, poses).without([*gone, *hung])
        places = self._others.of_kinds(kinds)
        self._places: SnapTargets = places
        from scipy.spatial import KDTree  # here, as core/sketch/solvers.py says

        self._tree = KDTree(places.points) if len(places.points) else None
        self._own = _own_points(project, view, set(leading), poses)
        near = np.hypot(*(self._own - np.array(held_at)).T)
        self._lead: Point | None = None if not len(near) else _point(self._own[int(np.argmin(near))])

    def rest(self, way: Point, reach: float, grid: float | None) -> Rest | None:
        """Where a carry by so much comes to rest, `reach` mm about; None where nothing is near."""
        return self._at_a_place(way, reach) or self._by_the_lead(way, reach, grid)

    def _at_a_place(self, way: Point, reach: float) -> Rest | None:
        """The own point and the place of another body that are nearest to each other."""
        if self._tree is None or not len(self._own):
            return None
        away, places = self._tree.query(self._own + np.array(way), distance_upper_bound=reach)
        if not np.isfinite(away).any():
            return None
        kinds = self._places.kinds[np.minimum(places, len(self._places.kinds) - 1)]
        own = int(np.lexsort((kinds, np.round(away, 6)))[0])
        place = int(places[own])
        at = _point(self._places.points[place])
        start = self._own[own]
        found = Snap(at=at, kind=Kind(int(self._places.kinds[place])), owner=self._places.owners[place])
        return Rest(way=(at[0] - float(start[0]), at[1] - float(start[1])), snap=found)

    def _by_the_lead(self, way: Point, reach: float, grid: float | None) -> Rest | None:
        if self._lead is None:
            return None
        x, y = self._lead
        kinds = self._kinds & (BY_THE_LEAD | {Kind.GRID})
        found = snap(
            (x + way[0], y + way[1]), targets=self._others, reach=reach, start=self._lead, grid=grid, kinds=kinds
        )
        if found.kind not in BY_THE_LEAD:  # by the grid a body goes in whole steps from where it was
            return None
        return Rest(way=(found.at[0] - x, found.at[1] - y), snap=found)


def _own_points(project: Project, view: str, gone: set[str], poses: Mapping[str, Pose]) -> np.ndarray:
    """(N, 2) the corners, centres and joints of the carried bodies where they stand."""
    bodies = tuple(body for body in project.bodies if body.id in gone)
    joints = tuple(
        _carried_by(one, gone) for one in project.connections if not isinstance(one, Gearing) and gone & set(one.bodies)
    )
    return snap_targets(replace(project, bodies=bodies, connections=joints), view, poses).of_kinds(OWN).points


def _carried_by(one: Connection, gone: set[str]) -> Connection:
    """A pivot's or slide's point is of both its bodies, and here of the one that is carried."""
    if isinstance(one, Pivot | Slide) and one.bodies[0] not in gone:
        return replace(one, bodies=(one.bodies[1], one.bodies[0]))
    return one


def _point(row: np.ndarray) -> Point:
    return (float(row[0]), float(row[1]))


def turned(way: Point, turn: float) -> Point:
    """A way turned counter-clockwise, radians."""
    cosine, sine = math.cos(turn), math.sin(turn)
    return (cosine * way[0] - sine * way[1], sine * way[0] + cosine * way[1])
