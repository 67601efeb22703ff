"""Where a body ought to be, in the hand: its target is dragged by the middle of its outline, whatever the moment."""

from __future__ import annotations

import math

from msgspec.structs import replace

from app.sheet.bench import Bench
from core.document.names import name_of
from core.document.project import Body, Point, Target
from core.document.target_edits import SetTarget
from core.geometry.outlines import outline
from core.motion.moments import moment_words

DECIMALS = 4
"""Of a millimetre that are kept of where a target is dragged to."""


class TargetInHand:
    """Moves the target as the hand goes; how it is turned stays."""

    why = ""

    def __init__(self, bench: Bench, target: Target, body: Body) -> None:
        self._bench, self._target, self._body = bench, target, body
        self.begun = middle_of(target, body)
        """Where it was taken hold of."""
        self._hand: Point | None = None

    @property
    def words(self) -> str:
        project = self._bench.project
        when = "" if project is None else moment_words(project, self._target.at)
        return f"Drag where {name_of(self._body)} ought to be {when}; how far it is off is measured as it moves"

    @property
    def edit(self) -> SetTarget | None:
        """The target elsewhere; None where it was not dragged."""
        if self._hand is None:
            return None
        right, up = self._hand[0] - self.begun[0], self._hand[1] - self.begun[1]
        x, y = round(self._target.x + right, DECIMALS), round(self._target.y + up, DECIMALS)
        return SetTarget(replace(self._target, x=x, y=y))

    def follow(self, hand: Point) -> None:
        """The hand is at a place of the view."""
        self._hand = hand


def targets_of(bench: Bench) -> tuple[tuple[Target, Body], ...]:
    """Those of the chosen body, which the sheet shows."""
    project, body = bench.project, bench.chosen_body
    if project is None or body is None or not body.shapes:
        return ()
    return tuple((one, body) for one in project.targets if one.body == body.id)


def middle_of(target: Target, body: Body) -> Point:
    """Where the middle of the body's outline ought to be."""
    centre, turn = outline(body).centroid, math.radians(target.turn)
    x = target.x + math.cos(turn) * centre.x - math.sin(turn) * centre.y
    return (x, target.y + math.sin(turn) * centre.x + math.cos(turn) * centre.y)
