"""Pulling a body by hand at the scrubbed moment: the linkage follows as a card model would."""

from __future__ import annotations

import math

from app.sheet.bench import Bench
from app.sheet.pulling import Pulling
from app.sheet.tools.collecting import Following
from app.sheet.tools.drafts import cross_marks, thin_line
from app.sheet.tools.tool import Hand, Preview
from core.document.project import Gearing, Point
from core.drawing.drawing import Label, Line, Mark
from core.geometry.places import Places

LINE_APART = 4.2
"""Millimetres on paper from one reading to the next."""
FAR = 0.3
"""Of the reach: a grabbed point that is farther from the hand has a line to it."""


class PullTool(Following):
    id, words = "pull", "Pull by hand"
    as_drawn, grasps = False, True

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self._pressed: Hand | None = None

    @property
    def _pulling(self) -> Pulling:
        assert self._bench.pulling is not None
        return self._bench.pulling

    def hint(self) -> str:
        pulling = self._pulling
        if pulling.holding:
            setting = f"Setting “{pulling.step_words}” by hand" if pulling.step_words else ""
            said = [setting, pulling.why, pulling.loose_words]
            return " · ".join(one for one in said if one) or "Overlaps do not stop it; they are drawn"
        if pulling.refused:
            return pulling.refused
        if pulling.stands_pulled:
            told = ", ".join(pulling.readings) or "No drive was moved"
            return f"{pulling.loose_words or told} · Enter keeps it, Esc lets go"
        return "Drag a body and the linkage follows; Shift and drag sets the step; click a drive to keep its value"

    def press(self, hand: Hand) -> None:
        self._hand = self._pressed = hand
        body = self._body_under(hand)
        if body is not None:
            self._pulling.take_hold(body, hand.raw, setting=hand.shift)
        self._bench.changed.emit()

    def move(self, hand: Hand) -> None:
        super().move(hand)
        pressed = self._pressed
        if pressed is not None and not self._is_click(pressed, hand):
            self._pressed = None
        if self._pressed is None and self._pulling.holding:
            self._pulling.pull_to(hand.raw)

    def release(self, hand: Hand) -> None:
        pressed, self._pressed = self._pressed, None
        if self._pulling.holding:
            self._pulling.release()
        if pressed is not None and pressed.under:
            self._clicked(pressed.under[0])
        self._bench.changed.emit()

    def finish(self) -> None:
        """The likeliest way to keep it."""
        if self._pulling.stands_pulled:
            self._pulling.keep()

    def cancel(self) -> bool:
        begun = self._pulling.holding or self._pulling.stands_pulled
        self._pressed = None
        if begun:
            self._pulling.let_go()
        return begun

    def preview(self) -> Preview:
        marks, labels = list[Mark](), list[Label]()
        pulling = self._pulling
        if pulling.grabbed_at is not None:
            point, hand = pulling.grabbed_at
            marks += cross_marks(point, 0.35 * self._bench.reach, Line.OUTLINE)
            if math.dist(point, hand) > FAR * self._bench.reach:
                marks.append(thin_line(point, hand))
            labels += [
                Label(text=text, at=hand, offset=(5.0, -5.0 - LINE_APART * at), boxed=True)
                for at, text in enumerate(pulling.readings)
            ]
        found = pulling.resists_at
        if found is not None and found[1] == self._bench.view:
            labels.append(Label(text=found[2], at=found[0], offset=(8.0, 9.0), boxed=True, clash=True))
        labels += [Label(text="kept", at=place, offset=(4.0, 4.0), boxed=True) for place in self._kept_places()]
        return Preview(tuple(marks), tuple(labels))

    # ---- inside ------------------------------------------------------------------------------------------------

    @staticmethod
    def _is_click(pressed: Hand, hand: Hand) -> bool:
        return math.dist(pressed.raw, hand.raw) <= 0.45 * hand.reach

    def _body_under(self, hand: Hand) -> str | None:
        """The body in front; of a connection alone that is not drawn on any, the second of its bodies."""
        project = self._bench.session.shown
        if project is None:
            return None
        bodies = {one.id for one in project.bodies}
        found = next((one for one in hand.under if one in bodies), None)
        if found is not None:
            return found
        joined = [one for one in project.connections if one.id in hand.under and not isinstance(one, Gearing)]
        return next((one.bodies[1] for one in joined), None)

    def _clicked(self, thing: str) -> None:
        """A click without a drag: a drive keeps its value or follows again, anything else is chosen."""
        project = self._bench.session.shown
        drives = () if project is None else project.drives
        drive = next((one.id for one in drives if one.on == thing), None)
        if drive is not None:
            self._pulling.pin(drive)
        else:
            self._bench.session.choose(thing)

    def _kept_places(self) -> list[Point]:
        project = self._bench.session.shown
        if project is None or not self._pulling.pinned:
            return []
        where, poses = Places(project), self._pulling.poses
        kept = [one.on for one in project.drives if one.id in self._pulling.pinned]
        places = [where.connection(one, poses) for one in kept if where.view_of_connection(one) == self._bench.view]
        return [place for place in places if place is not None]
