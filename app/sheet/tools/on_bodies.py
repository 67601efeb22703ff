"""Clicks that each mean a body: the one under the hand, one of several, or the airframe that is not drawn there."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from itertools import combinations

from app.sheet.tools.collecting import Collecting
from app.sheet.tools.drafts import line_mark
from app.sheet.tools.tool import Field, Hand, Preview
from core.document.project import Point
from core.drawing.drawing import Line
from core.sketch.snapping import Snap

NOT_DRAWN = ", not drawn there"
"""Said of a part of the airframe that is offered where nothing of it is drawn."""


class OnBodies(Collecting[tuple[str, Point]]):
    """Clicks that each fall on a body, or places that are typed."""

    def fields(self) -> Sequence[Field]:
        x, y = (None, None) if self._hand is None else self._hand.point
        return (Field(id="x", words="x", value=x), Field(id="y", words="y", value=y))

    def enter(self, values: Mapping[str, float]) -> None:
        """A place of which one number is typed is on the hand's line."""
        if {"x", "y"} & set(values):
            x, y = (0.0, 0.0) if self._hand is None else self._hand.point
            at = (values.get("x", x), values.get("y", y))
            self.press(Hand(raw=at, point=at, snap=Snap(at=at), reach=self._bench.reach))
        self._bench.changed.emit()

    def start(self) -> Point | None:
        return self._taken[-1][1] if self._taken else None

    def preview(self) -> Preview:
        if self._hand is None or not self._taken:
            return Preview()
        return Preview(line_mark([self._taken[-1][1], self._hand.point], Line.CENTRE))

    def _under(self, hand: Hand) -> tuple[str, ...]:
        return self._bench.bodies_at(hand.point, 0.5 * hand.reach)

    def _say(self, words: str) -> None:
        self._bench.session.turn_down(words)

    def _on_body(self, hand: Hand, taken: Callable[[str], object], *, but: str | None = None) -> None:
        """Take the body under the hand; where there are several, or the airframe alone can be meant, ask."""
        found = [one for one in self._under(hand) if one != but]
        meant = found or [one for one in self._airframe() if one != but]
        if not meant:
            self._say("There is no body there to connect" if but is None else "There is no other body there")
        elif len(found) == 1:
            taken(found[0])
        else:
            words = "" if found else NOT_DRAWN
            self._offer([(f"{self._bench.name_of(one)}{words}", partial(taken, one)) for one in meant])

    def _airframe(self) -> tuple[str, ...]:
        """The fixed bodies of this view: they reach further than they are drawn, and hold what is pivoted there."""
        bodies = () if self._bench.project is None else self._bench.project.bodies
        return tuple(body.id for body in bodies if body.fixed and body.view == self._bench.view)

    def _offer(self, choices: Sequence[tuple[str, Callable[[], object]]]) -> None:
        self._bench.choices_wanted.emit(tuple(choices), self._bench.pixel)


class BetweenTwo(OnBodies):
    """One click where two bodies lie on each other, or one where the airframe that holds it is not drawn."""

    def _pair(self, hand: Hand, taken: Callable[[str, str], object]) -> None:
        found, fixed = self._under(hand), self._airframe()
        alone = len(found) == 1
        reached = [(one, found[0]) for one in fixed] if alone else combinations(reversed(found), 2)
        pairs = [pair for pair in reached if not set(pair) <= set(fixed)]
        if pairs and (alone or len(pairs) > 1):
            names, words = self._bench.name_of, NOT_DRAWN if alone else ""
            self._offer([(f"{names(b)} – {names(a)}{words}", partial(taken, a, b)) for a, b in pairs])
        elif pairs:
            taken(*pairs[0])
        elif len(found) < 2:
            self._say("Two bodies have to lie on each other there; this connects one to the other")
        else:
            self._say("Both bodies there are fixed, and nothing between them could move")


class TwoEnds(OnBodies):
    """One end on one body, the other on another."""

    hints = ("", "")

    def hint(self) -> str:
        return self.hints[min(len(self._taken), 1)]

    def press(self, hand: Hand) -> None:
        if not self._taken:
            self._on_body(hand, lambda body: self._take(body, hand.point))
        else:
            self._on_body(hand, lambda body: self._take(body, hand.point), but=self._taken[0][0])

    def _take(self, body: str, at: Point) -> None:
        self._taken.append((body, at))
        if len(self._taken) == 2:
            (first, start), (second, end) = self._taken
            if math.dist(start, end) <= 1e-6 and self.needs_length:
                self._say("Both ends are at one place")
                self._taken.pop()
            elif self._make((first, second), (start, end)):
                self._taken = []
        self._bench.changed.emit()

    needs_length = True

    def _mover(self, bodies: tuple[str, str]) -> str:
        """The name of the body that it moves: the one clicked last, unless that stands still."""
        moving = [one for one in bodies if one not in self._airframe()]
        return self._bench.name_of(moving[-1] if moving else bodies[1])

    def _make(self, bodies: tuple[str, str], ends: tuple[Point, Point]) -> bool:
        raise NotImplementedError
