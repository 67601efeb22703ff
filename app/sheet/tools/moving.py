"""Bodies that are drawn already, moved, copied, turned, scaled and mirrored by clicks."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from msgspec.structs import replace

from app.sheet.bench import Bench
from app.sheet.tools.collecting import Following
from app.sheet.tools.drafts import length_and_angle, line_mark, shape_marks
from app.sheet.tools.tool import Field, Hand, Preview, Tool, Unit
from core.document.edits import Edit
from core.document.fresh import fresh_id, fresh_name
from core.document.looks import freed
from core.document.names import name_of, name_of_all
from core.document.project import Body, Point
from core.drawing.drawing import Line
from core.sketch.body_edits import AddBodies, MoveBodies
from core.sketch.moving import Likeness, moved_body, moved_shape

LEAST_REACH = 1e-3
"""Millimetres from the point that stays: nearer than this nothing can be scaled by."""
LEAST_FACTOR = 1e-3


class _OnChosen(Following):
    """A gesture on the chosen body: press to choose it and begin, drag or click again to end."""

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self._from: Point | None = None

    def start(self) -> Point | None:
        return self._from

    def press(self, hand: Hand) -> None:
        self._hand = hand
        if self._from is None:
            if self._bench.chosen_body is None or not self._on_chosen(hand):
                found = self._bench.free_at(hand.raw, 0.25 * hand.reach)
                if not found:
                    return
                self._bench.session.choose(found[0])
            self._begin(hand)
        else:
            self._end(hand.point)
        self._bench.changed.emit()

    def _on_chosen(self, hand: Hand) -> bool:
        under = self._bench.free_at(hand.raw, 0.25 * hand.reach)
        return any(body.id in under for body in self._bench.chosen_bodies)

    def _begin(self, hand: Hand) -> None:
        self._from = hand.point
        self._bench.leave_out([one for body in self._bench.chosen_bodies for one in (body.id, *self._carried(body))])

    def _carried(self, body: Body) -> tuple[str, ...]:
        project = self._bench.project
        return (
            ()
            if project is None
            else tuple(one.id for one in project.connections if body.id in getattr(one, "bodies", ()))
        )

    def release(self, hand: Hand) -> None:
        """A drag ends where it is let go; a mere click waits for another."""
        if self._from is not None and math.dist(hand.raw, self._from) > 2.0 * hand.reach:
            self._end(hand.point)

    def move(self, hand: Hand) -> None:
        by = None if self._from is None else self.likeness(hand.point)
        if by is not None and self._bench.chosen_bodies:
            self._bench.session.propose(self._edit(self._bench.chosen_bodies, by))
        super().move(hand)

    def cancel(self) -> bool:
        begun, self._from = self._from is not None, None
        self._bench.leave_out(())
        self._bench.session.withdraw()
        self._bench.changed.emit()
        return begun

    def _end(self, at: Point) -> None:
        bodies, by = self._bench.chosen_bodies, self.likeness(at)
        if bodies and by is not None:
            self._push(bodies, by)
        self.cancel()

    def _push(self, bodies: Sequence[Body], by: Likeness) -> None:
        self._bench.push(self._edit(bodies, by))

    def _edit(self, bodies: Sequence[Body], by: Likeness) -> Edit:
        return MoveBodies(tuple(body.id for body in bodies), by, f"{self.words} {name_of_all(bodies)}")

    def likeness(self, at: Point) -> Likeness | None:
        raise NotImplementedError

    def preview(self) -> Preview:
        bodies = self._bench.chosen_bodies
        if not bodies or self._from is None or self._hand is None:
            return Preview()
        by = self.likeness(self._hand.point)
        if by is None:
            return Preview()
        shapes = [mark for body in bodies for shape in body.shapes for mark in shape_marks(moved_shape(shape, by))]
        return Preview((*shapes, *line_mark([self._from, self._hand.point], Line.THIN)))


class MoveTool(_OnChosen):
    id, words = "move", "Move"

    def hint(self) -> str:
        return (
            "Drag a body, or click a point of it and then where that goes"
            if self._from is None
            else "Click where it goes"
        )

    def likeness(self, at: Point) -> Likeness | None:
        return None if self._from is None else Likeness.moving(at[0] - self._from[0], at[1] - self._from[1])

    def fields(self) -> Sequence[Field]:
        if self._from is None or self._hand is None:
            return ()
        x, y = self._hand.point
        return (
            Field(id="x", words="Right by", value=x - self._from[0]),
            Field(id="y", words="Up by", value=y - self._from[1]),
        )

    def enter(self, values: Mapping[str, float]) -> None:
        if self._from is not None:
            self._end((self._from[0] + values.get("x", 0.0), self._from[1] + values.get("y", 0.0)))


class CopyTool(MoveTool):
    id, words = "copy", "Put a copy"

    def hint(self) -> str:
        return (
            "Click a point of the body to copy, then where that point of the copy goes"
            if self._from is None
            else "Click where the copy goes"
        )

    def _push(self, bodies: Sequence[Body], by: Likeness) -> None:
        edit = self._edit(bodies, by)
        if self._bench.push(edit):
            self._bench.session.choose_several(one.id for one in edit.bodies)

    def _edit(self, bodies: Sequence[Body], by: Likeness) -> AddBodies:
        project = self._bench.project
        assert project is not None
        copies: list[Body] = []
        for body in bodies:
            name = fresh_name({one.name for one in (*project.bodies, *copies)}, name_of(body))
            fresh = fresh_id(project, name, {one.id for one in copies})
            copies.append(replace(freed(moved_body(body, by)), id=fresh, name=name))
        return AddBodies(tuple(copies), words=f"Copy {name_of_all(bodies)}")


class TurnTool(_OnChosen):
    """About the first click; the hand's direction from there is the angle."""

    id, words = "turn", "Turn"

    def hint(self) -> str:
        return (
            "Choose a body by clicking it, at the point to turn it about"
            if self._from is None
            else "Click the direction, or type the angle"
        )

    def release(self, hand: Hand) -> None:
        """The point to turn about is clicked, not dragged."""

    def likeness(self, at: Point) -> Likeness | None:
        if self._from is None or at == self._from:
            return None
        return Likeness.turning(length_and_angle(self._from, at)[1], self._from)

    def fields(self) -> Sequence[Field]:
        if self._from is None or self._hand is None:
            return ()
        return (
            Field(id="angle", words="Angle", unit=Unit.ANGLE, value=length_and_angle(self._from, self._hand.point)[1]),
        )

    def enter(self, values: Mapping[str, float]) -> None:
        bodies = self._bench.chosen_bodies
        if self._from is not None and bodies and "angle" in values:
            self._push(bodies, Likeness.turning(values["angle"], self._from))
            self.cancel()


class ScaleTool(_OnChosen):
    """About the first click; how far the hand is from there, against the second, is the factor."""

    id, words = "scale", "Scale"

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self._reach: float | None = None
        """How far the second click is from the first, mm."""

    def hint(self) -> str:
        if self._from is None:
            return "Click a body, at the point that stays where it is"
        if self._reach is None:
            return "Click a point of the body, or type how many times as large"
        return "Click where that point goes, or type how many times as large"

    def press(self, hand: Hand) -> None:
        if self._from is not None and self._reach is None:
            reach = math.dist(hand.point, self._from)
            self._reach = reach if reach > LEAST_REACH else None
            self._bench.changed.emit()
            return
        super().press(hand)

    def release(self, hand: Hand) -> None:
        """Its points are clicked, not dragged."""

    def cancel(self) -> bool:
        self._reach = None
        return super().cancel()

    def likeness(self, at: Point) -> Likeness | None:
        if self._from is None or self._reach is None:
            return None
        factor = math.dist(at, self._from) / self._reach
        return Likeness.scaling(factor, self._from) if factor > LEAST_FACTOR else None

    def fields(self) -> Sequence[Field]:
        if self._from is None or self._hand is None:
            return ()
        times = 1.0 if self._reach is None else math.dist(self._hand.point, self._from) / self._reach
        return (Field(id="times", words="Times", unit=Unit.COUNT, value=times, positive=True),)

    def enter(self, values: Mapping[str, float]) -> None:
        bodies, times = self._bench.chosen_bodies, values.get("times", 1.0)
        if self._from is not None and bodies and times > LEAST_FACTOR:
            self._push(bodies, Likeness.scaling(times, self._from))
            self.cancel()


class MirrorTool(_OnChosen):
    """Over a line through two clicks."""

    id, words = "mirror", "Mirror"

    def hint(self) -> str:
        return (
            "Click a body, at a point of the line to mirror it over"
            if self._from is None
            else "Click another point of that line"
        )

    def release(self, hand: Hand) -> None:
        """The line is clicked, not dragged."""

    def likeness(self, at: Point) -> Likeness | None:
        if self._from is None or math.dist(at, self._from) < 1e-9:
            return None
        return Likeness.mirroring(self._from, at)


MOVING: tuple[Callable[[Bench], Tool], ...] = (MoveTool, TurnTool, ScaleTool, MirrorTool, CopyTool)
