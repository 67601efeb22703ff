"""Edits of bodies and their shapes, and the removal of things with all that rests on them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import shapely
from msgspec.structs import replace
from shapely.geometry.base import BaseGeometry

from core.document.changing import each, those, with_body
from core.document.joint_edits import carriers, ends_of, with_end, without_drives
from core.document.names import name_of, name_of_all
from core.document.project import Body, Connection, Gearing, Point, Project, Sequence, Shape, Slide, Step, View
from core.geometry.outlines import outline
from core.sketch.moving import Likeness, moved_body, moved_path

ON_BODY = 0.01
"""A connection's point lies on a body that is no farther from it, in mm."""


@dataclass(frozen=True, slots=True)
class AddBodies:
    """New bodies, and their view where the project has none yet; `words` say where they come from."""

    bodies: tuple[Body, ...]
    view: View | None = None
    words: str = ""

    @property
    def label(self) -> str:
        return self.words or f"Draw {name_of_all(self.bodies)}"

    def apply(self, project: Project) -> Project:
        if not self.bodies:
            return project
        views = project.views if self.view is None else (*project.views, self.view)
        return replace(project, views=views, bodies=(*project.bodies, *self.bodies))


@dataclass(frozen=True, slots=True)
class AddShape:
    """One more shape of a body."""

    body: str
    shape: Shape

    @property
    def label(self) -> str:
        return "Draw a shape"

    def apply(self, project: Project) -> Project:
        return with_body(project, self.body, lambda body: replace(body, shapes=(*body.shapes, self.shape)))


@dataclass(frozen=True, slots=True)
class ReplaceShapes:
    """Other shapes for a body; `words` say what is done to it."""

    body: str
    shapes: tuple[Shape, ...]
    words: str = "Reshape"

    @property
    def label(self) -> str:
        return self.words

    def apply(self, project: Project) -> Project:
        return with_body(project, self.body, lambda body: replace(body, shapes=self.shapes))


@dataclass(frozen=True, slots=True)
class ReplaceBody:
    """Another value for the body of the same id; `words` say what is done to it."""

    body: Body
    words: str = "Change body"

    @property
    def label(self) -> str:
        return f"{self.words}: {name_of(self.body)}"

    def apply(self, project: Project) -> Project:
        return with_body(project, self.body.id, lambda _: self.body)


@dataclass(frozen=True, slots=True)
class MoveBodies:
    """Bodies moved, turned, mirrored or scaled in the drawn position, with the points of connections that lie on them
    and those whose paths are drawn.

    A pivot's point goes along where it lies on the body that is moved and not on the other that it joins, or where
    both are moved: a builder who drags a lever out of its bearing means the lever. A rod's or a jack's end goes with
    its own body.
    """

    bodies: tuple[str, ...]
    by: Likeness
    words: str = "Move"

    @property
    def label(self) -> str:
        return self.words

    def apply(self, project: Project) -> Project:
        gone = {body.id for body in project.bodies if body.id in self.bodies}
        if not gone or self.by == Likeness():
            return project
        joined = {
            body for one in project.connections if not isinstance(one, Gearing) and gone & set(one.bodies)
            for body in one.bodies
        }  # fmt: skip
        solids = {body.id: outline(body) for body in project.bodies if body.id in joined}
        bodies = tuple(moved_body(body, self.by) if body.id in gone else body for body in project.bodies)
        connections = tuple(self._moved(one, gone, solids) for one in project.connections)
        paths = each(project.paths, lambda one: moved_path(one, self.by) if one.body in gone else one)
        return replace(project, bodies=bodies, connections=connections, paths=paths)

    def _moved(self, one: Connection, gone: set[str], solids: dict[str, BaseGeometry]) -> Connection:
        if isinstance(one, Gearing) or not gone & set(one.bodies):
            return one
        first, second = one.bodies
        for number, (at, body) in enumerate(zip(ends_of(one), carriers(one), strict=True)):
            other = second if body == first else first
            both = body in gone and other in gone
            if both or self._goes(one, body, other, at, gone, solids):
                one = with_end(one, number, self.by.point(at))
        if isinstance(one, Slide) and {first, second} <= gone:
            one = replace(one, along=self.by.direction(one.along))
        return one

    def _goes(
        self, one: Connection, body: str, other: str, at: Point, gone: set[str], solids: dict[str, BaseGeometry]
    ) -> bool:
        if len(ends_of(one)) > 1:
            return body in gone
        mover = body if body in gone else other
        rest = other if mover == body else body
        return _holds(solids[mover], at) and not _holds(solids[rest], at)


def _holds(solid: BaseGeometry, at: Point) -> bool:
    return bool(solid.distance(shapely.Point(at)) <= ON_BODY)


@dataclass(frozen=True, slots=True)
class RemoveThings:
    """Without bodies, connections, drives and paths, and without what cannot be there without them: connections of a
    body, the drive on a connection, what steps ask of a drive or a latch, rules of a pair, targets, figures, paths."""

    ids: tuple[str, ...]
    words: str = ""

    @property
    def label(self) -> str:
        if self.words:
            return self.words
        return "Remove" if len(self.ids) == 1 else f"Remove {len(self.ids)} things"

    def apply(self, project: Project) -> Project:
        gone = {body.id for body in project.bodies if body.id in self.ids}
        lost = _lost_connections(project, gone, set(self.ids))
        drives = {drive.id for drive in project.drives if drive.id in self.ids or drive.on in lost}
        paths = those(project.paths, lambda one: one.id not in self.ids and one.body not in gone)
        if not gone | lost | drives and paths is project.paths:
            return project
        left = without_drives(project, drives)
        every = gone | lost
        sequences = tuple(_without_latches(one, lost) for one in left.sequences)
        return replace(
            left,
            bodies=those(project.bodies, lambda one: one.id not in gone),
            connections=those(project.connections, lambda one: one.id not in lost),
            sequences=left.sequences if sequences == left.sequences else sequences,
            pairs=those(project.pairs, lambda one: not every & set(one.bodies)),
            targets=those(project.targets, lambda one: one.body not in gone),
            paths=paths,
            figures=those(project.figures, lambda one: one.of not in every and not every & _named_in(one.between)),
            accepted=those(
                project.accepted,
                lambda one: not every & {*one.bodies, *one.connections} and one.drive not in drives
                and (one.target is None or any(t.id == one.target and t.body not in gone for t in project.targets)),
            ),
        )  # fmt: skip


def _lost_connections(project: Project, bodies: set[str], named_: set[str]) -> set[str]:
    lost = {
        one.id for one in project.connections
        if one.id in named_ or (not isinstance(one, Gearing) and bodies & set(one.bodies))
    }  # fmt: skip
    return lost | {one.id for one in project.connections if isinstance(one, Gearing) and lost & set(one.pivots)}


def _without_latches(sequence: Sequence, lost: set[str]) -> Sequence:
    def without(step: Step) -> Step:
        return replace(
            step,
            engage=those(step.engage, lambda one: one not in lost),
            release=those(step.release, lambda one: one not in lost),
            needs=those(step.needs, lambda one: one.latch not in lost),
        )

    steps = each(sequence.steps, without)
    return sequence if steps is sequence.steps else replace(sequence, steps=steps)


def _named_in(between: object) -> set[str]:
    """The bodies and pivots that a figure's points are on; it stands as the file has it."""
    found: set[str] = set()
    for one in between if isinstance(between, list | tuple) else ():
        if isinstance(one, str):
            found.add(one)
        elif isinstance(one, dict):
            found |= {one[key] for key in ("body", "pivot") if isinstance(one.get(key), str)}
    return found


def bodies_at(
    project: Project,
    view: str,
    at: Point,
    within: float = ON_BODY,
    *,
    drawn: Callable[[str, Point], Point] = lambda _body, at: at,
) -> tuple[str, ...]:
    """The bodies in sight whose outline, in a view, holds a point or comes so near; the last drawn first.

    `drawn` answers where a place of the view is drawn on a body, where bodies stand elsewhere than as drawn.
    """
    return tuple(
        body.id
        for body in reversed(project.bodies)
        if body.view == view
        and body.shapes
        and not body.hidden
        and outline(body).distance(shapely.Point(drawn(body.id, at))) <= within
    )
