"""What is drawn already, pulled by its grips: corners, edges and arcs, and the ends of connections."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from msgspec.structs import replace

from app.sheet.bench import Bench, crossing_of
from app.sheet.tools.collecting import Following
from app.sheet.tools.drafts import cross_marks, shape_marks, thin_line
from app.sheet.tools.grips import GRIP_SIZE, Held, grip_marks, told_apart
from app.sheet.tools.tool import Field, Hand, Preview
from core.document.joint_edits import MoveEnd, ends_of
from core.document.looks import at_hand
from core.document.project import Body, Circle, Point, Shape
from core.drawing.drawing import Line
from core.sketch.body_edits import ReplaceShapes
from core.sketch.reshaping import (
    Grip,
    add_corner,
    drag,
    handles,
    remove_corner,
    round_corner,
    sharpen,
    straighten,
)
from core.units import format_number


class ReshapeTool(Following):
    """Handles on the chosen body: drag corners, edges and the middles of arcs; Enter parts an edge, Delete takes a
    corner away. The ends of connections that hang on the body can be dragged too."""

    id, words = "reshape", "Reshape"

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self._held: Held | None = None
        self._every: tuple[Body, Sequence[Held]] | None = None
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
            found = self._bench.free_at(hand.raw, 0.25 * hand.reach)
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
            marks = grip_marks([handle for _, handle in self._grips(body)], half)
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

    def _grips(self, body: Body) -> Sequence[Held]:
        """Those that can be told apart as the view stands; what is nearest to the hand is always among them."""
        if self._every is None or self._every[0] is not body:
            held = [(number, handle) for number, shape in enumerate(body.shapes) for handle in handles(shape)]
            self._every = (body, held)
        return told_apart(self._every[1], self._bench.reach, None if self._hand is None else self._hand.raw)

    def _handle_at(self, at: Point, reach: float) -> Held | None:
        body = self._bench.chosen_body
        near = [] if body is None else [one for one in self._grips(body) if math.dist(one[1].at, at) <= 0.7 * reach]
        return min(near, key=lambda one: (one[1].grip is not Grip.CORNER, math.dist(one[1].at, at)), default=None)

    def _end_at(self, at: Point, reach: float) -> tuple[str, int] | None:
        project, body = self._bench.project, self._bench.chosen_body
        if project is None:
            return None
        chosen = self._bench.session.selection
        for one in project.connections:
            mine = one.id == chosen or (body is not None and body.id in getattr(one, "bodies", ()))
            mine = mine and at_hand(one)
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
