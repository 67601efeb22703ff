"""What is drawn already, changed by hand: corners, edges and arcs pulled; bodies moved, turned, mirrored and copied;
points of connections dragged."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

import numpy as np
from msgspec.structs import replace

from app.sheet.bench import Bench, crossing_of
from app.sheet.tools.collecting import Following
from app.sheet.tools.drafts import cross_marks, length_and_angle, line_mark, shape_marks, thin_line
from app.sheet.tools.tool import Field, Hand, Preview, Tool, Unit
from core.document.edits import Edit
from core.document.fresh import fresh_id, fresh_name
from core.document.joint_edits import MoveEnd, ends_of
from core.document.names import name_of, name_of_all
from core.document.project import Body, Circle, Point, Shape
from core.drawing.drawing import Geometry, Line, Mark
from core.sketch.body_edits import AddBodies, MoveBodies, ReplaceShapes
from core.sketch.moving import Likeness, moved_body, moved_shape
from core.sketch.reshaping import (
    Grip,
    Handle,
    add_corner,
    drag,
    handles,
    remove_corner,
    round_corner,
    sharpen,
    straighten,
)
from core.units import format_number

GRIP_SIZE = 0.32
"""Of the reach: half the side of a handle."""


class ReshapeTool(Following):
    """Handles on the chosen body: drag corners, edges and the middles of arcs; Enter parts an edge, Delete takes a
    corner away. The ends of connections that hang on the body can be dragged too."""

    id, words = "reshape", "Reshape"

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self._held: tuple[int, Handle] | None = None
        self._end: tuple[str, int] | None = None
        self._dragging = False
        self._shape: Shape | None = None
        self._to: Point | None = None

    def hint(self) -> str:
        if self._bench.chosen_body is None:
            return "Click the body to reshape"
        if self._held is None and self._end is None:
            return "Drag a corner, an edge, an arc or a connection's end; click another body to reshape that"
        if self._held is not None and self._held[1].grip is Grip.CORNER:
            return "Drag it, type its place, or: Delete takes it away, a radius rounds it"
        return "Drag it, or press Enter for a corner in the middle, Delete to make an arc straight"

    def press(self, hand: Hand) -> None:
        self._hand = hand
        grip = self._handle_at(hand.raw, hand.reach)
        end = None if grip is not None else self._end_at(hand.raw, hand.reach)
        self._held, self._end, self._shape, self._to = grip, end, None, None
        self._dragging = grip is not None or end is not None
        if not self._dragging:
            found = self._bench.bodies_at(hand.raw, 0.25 * hand.reach)
            self._bench.session.choose(found[0] if found else None)
        elif self._bench.chosen_body is not None:
            self._bench.leave_out((self._bench.chosen_body.id,))
        self._bench.changed.emit()

    def move(self, hand: Hand) -> None:
        self._hand = hand
        body = self._bench.chosen_body
        if self._dragging and self._held is not None and body is not None:
            number, handle = self._held
            self._shape = drag(body.shapes[number], handle, hand.point)
            if self._shape is not None:
                self._bench.session.propose(self._reshaped(body, self._shape))
        elif self._dragging and self._end is not None:
            self._to = hand.point
            self._bench.session.propose(MoveEnd(*self._end, self._to))
        self._bench.changed.emit()

    def release(self, hand: Hand) -> None:
        self._dragging = False
        self._bench.leave_out(())
        shape, to = self._shape, self._to
        self._shape = self._to = None
        if shape is not None and self._held is not None:
            self._put(shape)
        elif to is not None and self._end is not None:
            self._bench.push(MoveEnd(*self._end, to))
        self._bench.changed.emit()

    def finish(self) -> None:
        """A corner in the middle of the edge that is held."""
        body, held = self._bench.chosen_body, self._held
        if body is None or held is None or held[1].grip not in (Grip.EDGE, Grip.ARC):
            return
        shape, handle = body.shapes[held[0]], held[1]
        if not isinstance(shape, Circle):
            self._put(add_corner(shape, handle.ring, handle.corner, handle.at), words="Add a corner")

    def remove(self) -> bool:
        """Takes the held corner away, or makes the held arc straight, or a rounded corner sharp."""
        body, held = self._bench.chosen_body, self._held
        if body is None or held is None:
            return False
        shape, handle = body.shapes[held[0]], held[1]
        if isinstance(shape, Circle):
            return False
        made: Shape | None = None
        if handle.grip is Grip.CORNER:
            made = remove_corner(shape, handle.ring, handle.corner)
        elif handle.grip is Grip.ARC:
            made = sharpen(shape, handle.ring, handle.corner) or straighten(shape, handle.ring, handle.corner)
        if made is not None:
            self._put(made, words="Remove a corner" if handle.grip is Grip.CORNER else "Straighten an arc")
        self._held = None
        return True

    def fields(self) -> Sequence[Field]:
        body, held = self._bench.chosen_body, self._held
        if body is None or held is None or held[0] >= len(body.shapes):
            return ()
        shape, handle = body.shapes[held[0]], held[1]
        if isinstance(shape, Circle):
            centre = (Field(id="x", words="x", value=shape.centre[0]), Field(id="y", words="y", value=shape.centre[1]))
            return (*centre, Field(id="radius", words="Radius", value=shape.radius))
        place = (Field(id="x", words="x", value=handle.at[0]), Field(id="y", words="y", value=handle.at[1]))
        if handle.grip is Grip.CORNER:
            return (*place, Field(id="round", words="Round to", value=0.0))
        return place

    def enter(self, values: Mapping[str, float]) -> None:
        body, held = self._bench.chosen_body, self._held
        if body is None or held is None:
            return
        shape, handle = body.shapes[held[0]], held[1]
        if isinstance(shape, Circle):
            x, y = shape.centre
            made: Shape | None = replace(
                shape, centre=(values.get("x", x), values.get("y", y)), radius=values.get("radius", shape.radius)
            )
        elif values.get("round", 0.0) > 0.0:
            made = round_corner(shape, handle.ring, handle.corner, values["round"])
            if made is None:
                self._bench.session.trouble.emit("There is no room for that radius between straight edges")
        else:
            made = drag(shape, handle, (values.get("x", handle.at[0]), values.get("y", handle.at[1])))
        if made is not None:
            self._put(made)
            self._held = None
        self._bench.changed.emit()

    def cancel(self) -> bool:
        begun = self._held is not None or self._end is not None
        self._held, self._end, self._shape, self._to, self._dragging = None, None, None, None, False
        self._bench.leave_out(())
        self._bench.session.withdraw()
        self._bench.changed.emit()
        return begun

    def preview(self) -> Preview:
        body = self._bench.chosen_body
        if body is None or body.view != self._bench.view:
            return Preview()
        half = GRIP_SIZE * self._bench.reach
        if self._shape is None or self._hand is None:
            marks = grip_marks([handle for shape in body.shapes for handle in handles(shape)], half)
        else:  # what is dragged, and only the grip in hand: the others would hide it
            marks = [*shape_marks(self._shape), *cross_marks(self._hand.point, half, Line.OUTLINE)]
            wrong = crossing_of(self._shape)
            if wrong is not None:
                marks += cross_marks(wrong, 2.0 * half)
        if self._to is not None and self._end is not None:
            marks.append(thin_line(self._end_place(), self._to))
        return Preview(tuple(marks))

    # ---- inside ----------------------------------------------------------------------------------------------------

    def _put(self, shape: Shape, words: str = "Reshape") -> None:
        body = self._bench.chosen_body
        if body is None or self._held is None:
            return
        if wrong := crossing_of(shape):
            place = f"{format_number(wrong[0])}, {format_number(wrong[1])}"
            self._bench.session.withdraw()
            self._bench.session.trouble.emit(f"The outline would cross itself at {place}, and stays as it was")
            return
        self._bench.push(self._reshaped(body, shape, words))

    def _reshaped(self, body: Body, shape: Shape, words: str = "Reshape") -> ReplaceShapes:
        """The body with another shape where the hand holds one."""
        assert self._held is not None
        number = self._held[0]
        shapes = (*body.shapes[:number], shape, *body.shapes[number + 1 :])
        return ReplaceShapes(body.id, shapes, f"{words} of {body.name or body.id}")

    def _handle_at(self, at: Point, reach: float) -> tuple[int, Handle] | None:
        body = self._bench.chosen_body
        if body is None:
            return None
        near = [
            (math.dist(handle.at, at), number, handle)
            for number, shape in enumerate(body.shapes)
            for handle in handles(shape)
            if math.dist(handle.at, at) <= 0.7 * reach
        ]
        if not near:
            return None
        _, number, handle = min(near, key=lambda one: (one[2].grip is not Grip.CORNER, one[0]))
        return number, handle

    def _end_at(self, at: Point, reach: float) -> tuple[str, int] | None:
        project, body = self._bench.project, self._bench.chosen_body
        if project is None:
            return None
        chosen = self._bench.session.selection
        for one in project.connections:
            mine = one.id == chosen or (body is not None and body.id in getattr(one, "bodies", ()))
            for number, place in enumerate(ends_of(one)) if mine else ():
                if math.dist(place, at) <= 0.7 * reach:
                    return one.id, number
        return None

    def _end_place(self) -> Point:
        project = self._bench.project
        assert project is not None
        assert self._end is not None
        one = next(one for one in project.connections if one.id == self._end[0])
        return ends_of(one)[self._end[1]]


def grip_marks(grips: Sequence[Handle], half: float) -> list[Mark]:
    """Corners are square, the middles of edges and arcs round; all in two marks, since a body has hundreds."""
    square = half * np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0)])
    turns = np.linspace(0.0, 2.0 * math.pi, 13)
    ring = 0.85 * half * np.stack([np.cos(turns), np.sin(turns)], axis=-1)
    marks = []
    for form, sharp in ((square, True), (ring, False)):
        lines = tuple(form + np.array(one.at) for one in grips if (one.grip in (Grip.CORNER, Grip.RIM)) is sharp)
        if lines:
            marks.append(Mark(geometry=Geometry(lines=lines), line=Line.OUTLINE))
    return marks


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
                found = self._bench.bodies_at(hand.raw, 0.25 * hand.reach)
                if not found:
                    return
                self._bench.session.choose(found[0])
            self._begin(hand)
        else:
            self._end(hand.point)
        self._bench.changed.emit()

    def _on_chosen(self, hand: Hand) -> bool:
        under = self._bench.bodies_at(hand.raw, 0.25 * hand.reach)
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
            copies.append(replace(moved_body(body, by), id=fresh, name=name))
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


CHANGING: tuple[Callable[[Bench], Tool], ...] = (ReshapeTool, MoveTool, TurnTool, MirrorTool, CopyTool)
