"""Bodies taken out of a project with what connects them, and put into the same or another one as new things."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from msgspec.structs import replace

from core.document.fresh import fresh_id, fresh_name
from core.document.joint_edits import ends_of, with_end
from core.document.looks import freed
from core.document.names import by_id, name_of_all
from core.document.project import Aircraft, Body, Connection, Drive, Gearing, Point, PointPath, Project, View
from core.geometry.outlines import outline
from core.sketch.moving import Likeness, moved_body, moved_path

STEP = 0.1
"""How far what is pasted is moved, of its size."""
MOST_STEPS = 100


@dataclass(frozen=True, slots=True)
class AddParts:
    """New bodies with the connections between them, their drives and paths, and views where the project has none for
    them."""

    bodies: tuple[Body, ...]
    connections: tuple[Connection, ...] = ()
    drives: tuple[Drive, ...] = ()
    views: tuple[View, ...] = ()
    paths: tuple[PointPath, ...] = ()

    @property
    def label(self) -> str:
        return f"Paste {name_of_all(self.bodies)}"

    def apply(self, project: Project) -> Project:
        return replace(
            project,
            views=(*project.views, *self.views),
            bodies=(*project.bodies, *self.bodies),
            connections=(*project.connections, *self.connections),
            drives=(*project.drives, *self.drives),
            paths=(*project.paths, *self.paths),
        )


def taken_out(project: Project, chosen: Collection[str]) -> Project | None:
    """The chosen bodies as a project by themselves, with the connections that join no others, their drives, and
    their points' paths.

    None where no body is chosen. Pictures under the views are left behind.
    """
    bodies = tuple(one for one in project.bodies if one.id in chosen)
    if not bodies:
        return None
    ids, views = {one.id for one in bodies}, {one.view for one in bodies}
    between = {
        one.id for one in project.connections if not isinstance(one, Gearing) and set(one.bodies) <= ids
    }  # fmt: skip
    connections = tuple(
        one for one in project.connections
        if one.id in between or (isinstance(one, Gearing) and set(one.pivots) <= between)
    )  # fmt: skip
    return Project(
        version=project.version,
        aircraft=Aircraft(name=project.aircraft.name, scale=project.aircraft.scale),
        length_unit=project.length_unit,
        views=tuple(View(id=one.id, name=one.name, plane=one.plane) for one in project.views if one.id in views),
        bodies=bodies,
        connections=connections,
        drives=tuple(one for one in project.drives if one.on in between),
        paths=tuple(one for one in project.paths if one.body in ids),
    )


def put_in(project: Project, parts: Project, worked_in: str | None) -> AddParts:
    """The edit that puts parts into a project under new ids and names, a little beside what lies there already, in
    sight and free.

    A body goes to the view of its plane, that which is worked in before others, else to the one worked in. `parts`
    must have bodies.
    """
    views, new_views = _views(project, parts, worked_in)
    ids = _Ids(project, {one.id for one in new_views})
    by = _beside(project, parts, views)
    bodies = {
        one.id: ids.fresh(freed(replace(moved_body(one, by), view=views[one.view])), "bodies") for one in parts.bodies
    }
    # Names before gearings, which may stand before the pivots they gear.
    made = {one.id: ids.fresh(freed(_moved(one, by)), "connections") for one in parts.connections}
    connections = []
    for one in made.values():
        if isinstance(one, Gearing):
            first, second = (made[pivot].id for pivot in one.pivots)
            connections.append(replace(one, pivots=(first, second)))
        else:
            first, second = (bodies[body].id for body in one.bodies)
            connections.append(replace(one, bodies=(first, second)))
    drives = tuple(ids.fresh(replace(one, on=made[one.on].id), "drives") for one in parts.drives)
    paths = tuple(
        ids.fresh(replace(moved_path(one, by), body=bodies[one.body].id), "paths") for one in parts.paths
    )  # fmt: skip
    return AddParts(tuple(bodies.values()), tuple(connections), drives, new_views, paths)


class _Ids:
    """Ids and names given out, so that no two new things have the same."""

    def __init__(self, project: Project, taken: set[str]) -> None:
        self._project, self._taken = project, set(taken)
        self._names = {
            sort: {one.name for one in getattr(project, sort)} for sort in ("bodies", "connections", "drives", "paths")
        }

    def fresh(self, thing: Any, sort: str) -> Any:
        name = fresh_name(self._names[sort], thing.name) if thing.name else ""
        new = fresh_id(self._project, name or thing.id, self._taken)
        self._names[sort].add(name)
        self._taken.add(new)
        return replace(thing, id=new, name=name)


def _views(project: Project, parts: Project, worked_in: str | None) -> tuple[dict[str, str], tuple[View, ...]]:
    """Where the bodies of each view go, and the views that come along into a project that has none."""
    if not project.views:
        taken: set[str] = set()
        new = []
        for view in parts.views:
            fresh = fresh_id(project, view.id, taken)
            taken.add(fresh)
            new.append(View(id=fresh, name=view.name, plane=view.plane))
        return {old.id: one.id for old, one in zip(parts.views, new, strict=True)}, tuple(new)
    here = by_id(project.views, worked_in) or project.views[0]
    order = (here, *(one for one in project.views if one is not here))
    found = {}
    for view in parts.views:
        same = [one for one in order if one.plane == view.plane and (view.plane != "other" or one.id == view.id)]
        found[view.id] = (same[0] if same else here).id
    return found, ()


def _beside(project: Project, parts: Project, views: dict[str, str]) -> Likeness:
    """A move to the right and down by a tenth of the size, as often as it takes for nothing to lie exactly on what is
    there already."""
    placed = [(views[one.view], outline(one).bounds) for one in parts.bodies if one.shapes]
    boxes = np.array([box for _, box in placed]).reshape(-1, 4)
    size = float(max(np.ptp(boxes[:, [0, 2]]), np.ptp(boxes[:, [1, 3]]))) if placed else 0.0
    step = max(1.0, float(round(STEP * size)))
    there = {
        _corner(one.view, outline(one).bounds) for one in project.bodies if one.shapes and one.view in views.values()
    }
    number = 1
    while number < MOST_STEPS and any(_corner(view, box, step * number) in there for view, box in placed):
        number += 1
    return Likeness.moving(step * number, -step * number)


def _corner(view: str, box: Sequence[float], by: float = 0.0) -> tuple[str, tuple[float, ...]]:
    """Where a body lies, to a micron: two that lie on each other and are alike have the same."""
    moves = (by, -by, by, -by)
    return view, tuple(round(one + move, 3) + 0.0 for one, move in zip(box, moves, strict=True))


def _moved(connection: Connection, by: Likeness) -> Connection:
    places: tuple[Point, ...] = tuple(by.point(at) for at in ends_of(connection))
    for number, at in enumerate(places):
        connection = with_end(connection, number, at)
    return connection
