"""What the hand does to chosen bodies while no tool is at work: carry them, and gather more with a band."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, Qt

from app.session import Session
from app.sheet.bench import Bench
from app.sheet.moment import ShownMoment
from app.sheet.tools.drafts import cue_label, cue_marks, shape_marks
from app.sheet.tools.pan import SLACK, Film
from app.sheet.tools.tool import Preview
from core.document.lengths import small_unit
from core.document.looks import at_hand
from core.document.names import name_of_all
from core.document.project import Body, Point, Project
from core.drawing.drawing import Line, Mark, Pose
from core.drawing.pieces import lines_of
from core.geometry.outlines import outline
from core.sketch.body_edits import MoveBodies
from core.sketch.carrying import Carried, turned
from core.sketch.moving import Likeness, moved_shape
from core.sketch.snap_targets import Kind
from core.sketch.snapping import Snap
from core.units import LENGTH_UNITS

REACH = 9.0
"""Pixels within which something is near enough to snap to."""
TURNED_ALIKE = 1e-9
"""Radians within which bodies go the same way under the hand."""
WIDE_STEP = 40.0
"""Pixels above which a step of the hand is too coarse, and a tenth of it is taken."""


def nudge_step(project: Project) -> float:
    """Millimetres that a key moves a body by: a millimetre, or a thirty-second of an inch."""
    return LENGTH_UNITS["in"] / 32.0 if small_unit(project) == "in" else 1.0


def chosen_bodies(session: Session, view: str | None = None) -> tuple[Body, ...]:
    """The chosen bodies that are not locked, of one view where one is named, in the project's order."""
    project, chosen = session.project, set(session.chosen)
    if project is None:
        return ()
    return tuple(one for one in project.bodies if one.id in chosen and view in (None, one.view) and not one.locked)


def push_move(session: Session, bodies: tuple[Body, ...], by: Point) -> None:
    """Move bodies in the drawn position, as one edit that says which."""
    session.push(move_of(bodies, by))


def move_of(bodies: tuple[Body, ...], by: Point) -> MoveBodies:
    return MoveBodies(tuple(one.id for one in bodies), Likeness.moving(*by), f"Move {name_of_all(bodies)}")


def choose_next(session: Session, under: tuple[str, ...]) -> None:
    """Choose what is in front under the hand; where that is chosen already, what lies behind it,
    and so on round; nothing where there is nothing."""
    if not under:
        session.choose(None)
    elif session.selection in under:
        session.choose(under[(under.index(session.selection) + 1) % len(under)])
    else:
        session.choose(under[0])


class Carry:
    """Moves the chosen bodies of a view by a drag that begins on one of them. They follow the hand where they stand
    at the shown moment, and their own corners, centres and joints come to rest at those of others; what changes is
    where they are drawn, by as much in that body's own directions."""

    cursor = Qt.CursorShape.SizeAllCursor

    def __init__(
        self,
        film: Film,
        shown: ShownMoment,
        bench: Bench,
        held: str,
        begin: QPointF,
        clicked: Callable[[QPointF], None],
    ) -> None:
        self._film, self._shown, self._bench = film, shown, bench
        self._begin, self._clicked = begin, clicked
        self._bodies = chosen_bodies(shown.session, bench.view)
        project = shown.session.project
        assert project is not None
        self._project = project
        self._standing = {one.id: pose_of(pose) for one, pose in zip(project.bodies, shown.poses, strict=True)}
        self._turn = self._standing[held][2]
        self._carried: Carried | None = None
        self._by: Point | None = None
        self._snap: Snap | None = None
        self.free = False
        """Whether the hand means just where it is."""

    def move(self, at: QPointF) -> None:
        way = at - self._begin
        if self._by is None and way.manhattanLength() <= SLACK:
            return
        scale = self._film.placement.scale
        self._by = self._meant((way.x() / scale, -way.y() / scale), scale)
        if self._shown.session.project is self._project:  # what the hand holds may be gone by now
            self._shown.session.propose(move_of(self._bodies, self._by))

    def _meant(self, way: Point, scale: float) -> Point:
        """By how much the bodies are moved where they are drawn, when the hand has gone so far on the sheet."""
        self._snap = None
        if self.free or not self._bench.snapping.on:
            return turned(way, -self._turn)
        rest = self._gathered().rest(way, REACH / scale, self._bench.grid)
        if rest is not None:
            self._snap = rest.snap
            return turned(rest.way, -self._turn)
        return self._rounded(turned(way, -self._turn), scale)

    def _gathered(self) -> Carried:
        """What is carried and what stays, once the hand has begun to carry."""
        if self._carried is None:
            alike = [one.id for one in self._bodies if abs(self._standing[one.id][2] - self._turn) < TURNED_ALIKE]
            held_at = self._film.placement.to_drawing(self._begin.x(), self._begin.y())
            self._carried = Carried(
                self._project, self._bench.view, [one.id for one in self._bodies], leading=alike,
                held_at=held_at, poses=self._standing, kinds=self._bench.snapping.kinds,
            )  # fmt: skip
        return self._carried

    def _rounded(self, by: Point, scale: float) -> Point:
        step = self._bench.grid if Kind.GRID in self._bench.snapping.kinds else None
        if step is None:
            return by
        step = 0.1 * step if step * scale > WIDE_STEP else step
        return (round(by[0] / step) * step, round(by[1] / step) * step)

    def end(self, at: QPointF) -> None:
        self.move(at)
        if self._by is None:
            self._clicked(self._begin)
        elif self._shown.session.project is self._project:
            push_move(self._shown.session, self._bodies, self._by)

    def cancel(self) -> None:
        self._by = None
        self._shown.session.withdraw()

    def preview(self) -> Preview:
        """The bodies where they would stand at the shown moment, and what they have come to rest at."""
        if self._by is None:
            return Preview()
        by = Likeness.moving(*self._by)
        marks = tuple(
            replace(mark, pose=self._standing[body.id])
            for body in self._bodies
            for shape in body.shapes
            for mark in shape_marks(moved_shape(shape, by))
        )
        if self._snap is None:
            return Preview(marks)
        return Preview((*marks, *cue_marks(self._snap, REACH / self._film.placement.scale)), cue_label(self._snap))


class Band:
    """A rectangle drawn by dragging: the bodies that stand wholly in it are chosen too."""

    cursor = Qt.CursorShape.CrossCursor

    def __init__(
        self, film: Film, shown: ShownMoment, view: str, begin: QPointF, clicked: Callable[[QPointF], None]
    ) -> None:
        self._film, self._shown, self._view, self._begin, self._clicked = film, shown, view, begin, clicked
        self._to: QPointF | None = None

    def move(self, at: QPointF) -> None:
        if self._to is not None or (at - self._begin).manhattanLength() > SLACK:
            self._to = at

    def end(self, at: QPointF) -> None:
        self.move(at)
        if self._to is None:
            self._clicked(self._begin)
            return
        session, (low, high) = self._shown.session, self._corners()
        session.choose_several((*session.chosen, *bodies_within(self._shown, self._view, low, high)))

    def cancel(self) -> None:
        self._to = None

    def preview(self) -> Preview:
        if self._to is None:
            return Preview()
        (left, low), (right, high) = self._corners()
        ring = ((left, low), (right, low), (right, high), (left, high), (left, low))
        return Preview((Mark(geometry=lines_of(ring), line=Line.THIN),))

    def _corners(self) -> tuple[Point, Point]:
        assert self._to is not None
        place = self._film.placement
        x1, y1 = place.to_drawing(self._begin.x(), self._begin.y())
        x2, y2 = place.to_drawing(self._to.x(), self._to.y())
        return (min(x1, x2), min(y1, y2)), (max(x1, x2), max(y1, y2))


def bodies_within(shown: ShownMoment, view: str, low: Point, high: Point) -> tuple[str, ...]:
    """The bodies of a view in sight and free that stand wholly in a rectangle at the shown moment."""
    project = shown.session.project
    if project is None:
        return ()
    return tuple(
        body.id
        for body, pose in zip(project.bodies, shown.poses, strict=True)
        if body.view == view and body.shapes and at_hand(body) and _within(placed_corners(body, pose), low, high)
    )


def pose_of(row: NDArray[np.float64]) -> Pose:
    x, y, turn = (float(value) for value in row)
    return (x, y, turn)


def placed_corners(body: Body, pose: NDArray[np.float64]) -> NDArray[np.float64]:
    """(N, 2) the corners of a body's outline at a pose."""
    corners = shapely.get_coordinates(outline(body))
    cosine, sine = math.cos(pose[2]), math.sin(pose[2])
    return corners @ np.array([[cosine, sine], [-sine, cosine]]) + pose[:2]


def _within(corners: NDArray[np.float64], low: Point, high: Point) -> bool:
    return bool((corners >= np.array(low)).all() and (corners <= np.array(high)).all())
