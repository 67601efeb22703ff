"""What is drawn already, pulled by its grips: corners, edges and arcs, and the ends of connections."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace as with_pose

from msgspec.structs import replace

from app.sheet.bench import Bench, crossing_of
from app.sheet.tools.collecting import Following
from app.sheet.tools.drafts import cross_marks, shape_marks, thin_line
from app.sheet.tools.end_in_hand import EndInHand, chosen_with_ends, end_near
from app.sheet.tools.grips import CATCH, GRIP_SIZE, Held, grip_marks, told_apart
from app.sheet.tools.target_in_hand import TargetInHand, middle_of, targets_of
from app.sheet.tools.tool import Field, Hand, Preview
from core.document.lengths import shown_point
from core.document.names import name_of
from core.document.project import Body, Circle, Point, Shape
from core.drawing.drawing import Line, Mark
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


class ReshapeTool(Following):
    """Handles on the chosen body: drag corners, edges and the middles of arcs; Enter parts an edge, Delete takes a
    corner away. The points of connections that hang on the body can be dragged too, and where it ought to be. All of it
    where things stand at the moment that is looked at: what changes is where they are drawn."""

    id, words = "reshape", "Reshape"
    as_drawn = False

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self._held: Held | None = None
        self._every: tuple[Body, Sequence[Held]] | None = None
        self._end: EndInHand | TargetInHand | None = None
        self._dragging = False
        self._shape: Shape | None = None

    def hint(self) -> str:
        if self._end is not None:
            return self._end.why or self._end.words
        where = "" if self._bench.stand().moment is None else ", where it stands at this moment"
        if self._bench.chosen_body is None:
            one = chosen_with_ends(self._bench)
            if one is not None:
                return f"Drag a point of {name_of(one)}{where}, or click the body to reshape"
            return "Click the body to reshape, or whose connections' points are to be dragged"
        if self._held is None:
            return f"Drag a corner, an edge, an arc or a connection's point{where}; click another body to reshape that"
        if self._held is not None and self._held[1].grip is Grip.CORNER:
            return "Drag it, type its place, or: Delete takes it away, a radius rounds it"
        return "Drag it, or press Enter for a corner in the middle, Delete to make an arc straight"

    def press(self, hand: Hand) -> None:
        self._hand = hand
        grip = self._handle_at(hand.raw, hand.reach)
        end = self._point_at(hand, math.inf if grip is None else self._away(grip, hand.raw))
        grip = grip if end is None else None
        self._held, self._end, self._shape = grip, end, None
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
            self._shape = drag(body.shapes[number], handle, self._bench.stand().drawn(body.id, hand.point))
            if self._shape is not None:
                self._bench.session.propose(self._reshaped(body, self._shape))
        elif self._dragging and self._end is not None:
            self._end.follow(hand.point)
            if self._end.edit is not None:
                self._bench.session.propose(self._end.edit)
        self._bench.changed.emit()

    def release(self, hand: Hand) -> None:
        self._dragging = False
        self._bench.leave_out(())
        shape, end = self._shape, self._end
        self._shape = self._end = None
        if shape is not None and self._held is not None:
            self._put(shape)
        elif end is not None and end.edit is not None:
            self._bench.push(end.edit)
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
            return (
                *self._place(body, shape.centre),
                Field(id="radius", words="Radius", value=shape.radius, positive=True),
            )
        place = self._place(body, handle.at)
        if handle.grip is Grip.CORNER:
            return (*place, Field(id="round", words="Round to", value=0.0))
        return place

    def _place(self, body: Body, at: Point) -> tuple[Field, Field]:
        """Where something is drawn; its words say so where it stands elsewhere."""
        as_drawn = "" if self._bench.stand().placed(body.id, at) == at else " as drawn"
        return (Field(id="x", words=f"x{as_drawn}", value=at[0]), Field(id="y", words=f"y{as_drawn}", value=at[1]))

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
                self._bench.session.turn_down("There is no room for that radius between straight edges")
        else:
            made = drag(shape, handle, (values.get("x", handle.at[0]), values.get("y", handle.at[1])))
        if made is not None:
            self._put(made)
            self._held = None
        self._bench.changed.emit()

    def cancel(self) -> bool:
        begun = self._held is not None or self._end is not None
        self._held, self._end, self._shape, self._dragging = None, None, None, False
        self._bench.leave_out(())
        self._bench.session.withdraw()
        self._bench.changed.emit()
        return begun

    def look_elsewhere(self) -> None:
        if self._dragging:
            self.cancel()

    def preview(self) -> Preview:
        body = self._bench.chosen_body
        if body is None or body.view != self._bench.view or self._end is not None:
            return Preview(tuple(self._end_marks()))
        half = GRIP_SIZE * self._bench.reach
        if self._shape is None or self._hand is None:
            marks = self._standing(body, grip_marks([handle for _, handle in self._grips(body)], half))
            for target, _ in targets_of(self._bench):
                marks += cross_marks(middle_of(target, body), half, Line.OUTLINE)
        else:  # what is dragged, and only the grip in hand: the others would hide it
            marks = self._standing(body, shape_marks(self._shape))
            marks += cross_marks(self._hand.point, half, Line.OUTLINE)
            wrong = crossing_of(self._shape)
            if wrong is not None:
                marks += self._standing(body, cross_marks(wrong, 2.0 * half))
        return Preview(tuple(marks))

    def _end_marks(self) -> list[Mark]:
        """From where the point stood to the hand that has it."""
        end, hand = self._end, self._hand
        return [] if end is None or end.edit is None or hand is None else [thin_line(end.begun, hand.point)]

    # ---- inside ----------------------------------------------------------------------------------------------------

    def _put(self, shape: Shape, words: str = "Reshape") -> None:
        body, project = self._bench.chosen_body, self._bench.project
        if body is None or project is None or self._held is None:
            return
        if wrong := crossing_of(shape):
            place = shown_point(project, wrong)
            self._bench.session.withdraw()
            self._bench.session.turn_down(f"The outline would cross itself at {place}, and stays as it was")
            return
        self._bench.push(self._reshaped(body, shape, words))

    def _reshaped(self, body: Body, shape: Shape, words: str = "Reshape") -> ReplaceShapes:
        """The body with another shape where the hand holds one."""
        assert self._held is not None
        number = self._held[0]
        shapes = (*body.shapes[:number], shape, *body.shapes[number + 1 :])
        return ReplaceShapes(body.id, shapes, f"{words} of {name_of(body)}")

    def _grips(self, body: Body) -> Sequence[Held]:
        """Those that can be told apart as the view stands; what is nearest to the hand is always among them."""
        if self._every is None or self._every[0] is not body:
            held = [(number, handle) for number, shape in enumerate(body.shapes) for handle in handles(shape)]
            self._every = (body, held)
        hand = None if self._hand is None else self._bench.stand().drawn(body.id, self._hand.raw)
        return told_apart(self._every[1], self._bench.reach, hand)

    def _standing(self, body: Body, marks: Sequence[Mark]) -> list[Mark]:
        """Marks that are drawn on the body, where it stands."""
        pose = self._bench.stand().poses.get(body.id)
        return list(marks) if pose is None else [with_pose(mark, pose=pose) for mark in marks]

    def _handle_at(self, at: Point, reach: float) -> Held | None:
        body = self._bench.chosen_body
        if body is None:
            return None
        near = [one for one in self._grips(body) if self._away(one, at) <= CATCH * reach]
        return min(near, key=lambda one: (one[1].grip is not Grip.CORNER, self._away(one, at)), default=None)

    def _point_at(self, hand: Hand, nearer: float) -> EndInHand | TargetInHand | None:
        """The nearest point of a connection or a target that the hand catches, no farther than a grip that it does."""
        end = end_near(self._bench, hand.raw, hand.reach)
        away = min(nearer, math.inf if end is None else end[0], CATCH * hand.reach)
        for target, body in targets_of(self._bench):
            if math.dist(middle_of(target, body), hand.raw) < away:
                return TargetInHand(self._bench, target, body)
        return None if end is None or end[0] > nearer else EndInHand(self._bench, *end[1:])

    def _away(self, one: Held, at: Point) -> float:
        """Millimetres from a place of the view to where a grip stands."""
        body = self._bench.chosen_body
        return math.inf if body is None else math.dist(one[1].at, self._bench.stand().drawn(body.id, at))
