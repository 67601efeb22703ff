"""A point of a connection in the hand, in the drawn position or where it stands at the moment that is looked at."""

from __future__ import annotations

import math

from app.sheet.bench import Bench
from app.sheet.standing import Stand
from core.document.joint_edits import MoveEnd, carriers, ends_of
from core.document.looks import at_hand
from core.document.project import Connection, Gearing, Pivot, Point, Rod

NEAR = 0.7
"""Of the reach, within which a point is caught."""
AS_DRAWN = 1e-9
"""mm and radians: a body that stands no farther from where it is drawn stands there."""
SHORT = 0.3
"""Of the reach: a point that is farther from the hand does not follow it."""
NOWHERE = "At this moment the linkage does not hold together: scrub to where it does to drag its points"
HELD_OFF = "It comes no nearer at this moment: the drives hold what it hangs on"


class EndInHand:
    """Moves the point where it is drawn, so that it stands under the hand where the hand is."""

    def __init__(self, bench: Bench, connection: Connection, number: int) -> None:
        self._bench, self.connection, self.number = bench, connection, number
        self._moved = not goes_as_drawn(bench.stand(), connection)
        self._held = bench.hold_end(connection.id, number) if self._moved else None
        self._hand: Point | None = None
        self.begun = standing_ends(bench, connection)[number]
        """Where it stood."""

    @property
    def words(self) -> str:
        name = self._bench.name_of(self.connection.id)
        return f"Drag the point of {name}; everything is solved and checked as it moves"

    @property
    def why(self) -> str:
        """Why it does not follow the hand; empty where it does."""
        if self._moved and self._held is None:
            return NOWHERE
        if self._held is None or self._hand is None:
            return ""
        return HELD_OFF if self._held.short_by(self._hand) > SHORT * self._bench.reach else ""

    @property
    def edit(self) -> MoveEnd | None:
        """The point drawn elsewhere; None where it was not dragged, or cannot be."""
        if self._hand is None or (self._moved and self._held is None):
            return None
        return MoveEnd(self.connection.id, self.number, self._hand) if self._held is None else self._held.edit

    def follow(self, hand: Point) -> None:
        """The hand is at a place of the view."""
        self._hand = hand
        if self._held is not None:
            self._held = self._bench.solved(self._held).follow(hand)


def goes_as_drawn(stand: Stand, connection: Connection) -> bool:
    """Whether a point is simply drawn where the hand is: in the drawn position, and at a moment at which everything
    stands as drawn, where a pivot, or a rod as long as it is drawn, is met as drawn wherever it lies."""
    if stand.moment is None:
        return True
    met = isinstance(connection, Pivot) or (isinstance(connection, Rod) and connection.length is None)
    return met and all(abs(part) <= AS_DRAWN for pose in stand.poses.values() for part in pose)


def standing_ends(bench: Bench, connection: Connection) -> tuple[Point, ...]:
    """Where each of a connection's points stands at the moment."""
    if isinstance(connection, Gearing):
        return ()
    stand = bench.stand()
    pairs = zip(carriers(connection), ends_of(connection), strict=True)
    return tuple(stand.placed(body, place) for body, place in pairs)


def chosen_with_ends(bench: Bench) -> Connection | None:
    """The chosen connection, where it has points that can be taken in hand."""
    connections = () if bench.project is None else bench.project.connections
    chosen = (one for one in connections if one.id == bench.session.selection and at_hand(one))
    return next((one for one in chosen if standing_ends(bench, one)), None)


def end_near(bench: Bench, at: Point, reach: float) -> tuple[float, Connection, int] | None:
    """The nearest point to a place of those of a connection that is chosen, or that hangs on the chosen body, with how
    far it is."""
    project, body, chosen = bench.project, bench.chosen_body, bench.session.selection
    near: list[tuple[float, Connection, int]] = []
    for one in () if project is None else project.connections:
        mine = one.id == chosen or (body is not None and body.id in getattr(one, "bodies", ()))
        for number, place in enumerate(standing_ends(bench, one)) if mine and at_hand(one) else ():
            near.append((math.dist(place, at), one, number))
    caught = [one for one in near if one[0] <= NEAR * reach]
    return min(caught, key=lambda one: one[0], default=None)
