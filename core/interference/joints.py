"""What laps by nature: parts that a pivot, slide, slot or latch joins, and whatever shares a pin."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from core.document.project import Jack, Latch, Pivot, Project, Rod, Slide, Slot

PIN_SNAP = 1e-6
"""Points drawn within this many mm of each other on one body are the same pin."""


@dataclass(frozen=True, slots=True)
class Joint:
    """Two parts that lap by nature, and the drawn points at which they do, by the part each moves with.

    A point without a part moves with both.
    """

    points: tuple[tuple[str | None, tuple[float, float]], ...]


def joints_of(project: Project) -> dict[frozenset[str], Joint]:
    """What laps by nature, by the two ids."""
    points: dict[frozenset[str], list[tuple[str | None, tuple[float, float]]]] = {}

    def join(one: str, other: str, *where: tuple[str | None, tuple[float, float]]) -> None:
        if one != other:
            points.setdefault(frozenset((one, other)), []).extend(where)

    for connection in project.connections:
        if isinstance(connection, (Slide, Slot)):
            join(*connection.bodies, (connection.bodies[1], connection.at))
        elif isinstance(connection, Latch):
            hook, held = connection.bodies
            join(hook, held, (hook, connection.ends[0]), (held, connection.ends[1]))
    for pin in _shared_pins(project):
        members = sorted(pin)
        for number, (one, at) in enumerate(members):
            for other, _ in members[number + 1 :]:
                join(one, other, (None, at))
    return {pair: Joint(tuple(dict.fromkeys(found))) for pair, found in points.items()}


def _shared_pins(project: Project) -> Iterable[set[tuple[str, tuple[float, float]]]]:
    """Each pin as the parts on it, with the point where it is drawn on each; pins at one point of one body are one."""
    pins: list[set[tuple[str, tuple[float, float]]]] = []
    for connection in project.connections:
        if isinstance(connection, Pivot):
            pins.append({(body, connection.at) for body in connection.bodies})
        elif isinstance(connection, (Rod, Jack)):
            for body, end in zip(connection.bodies, connection.ends, strict=True):
                pins.append({(connection.id, end), (body, end)})
    merged: list[set[tuple[str, tuple[float, float]]]] = []
    for pin in pins:
        same = [other for other in merged if _meet(pin, other)]
        merged = [other for other in merged if not any(other is one for one in same)]
        merged.append(pin.union(*same))
    return merged


def _meet(one: set[tuple[str, tuple[float, float]]], other: set[tuple[str, tuple[float, float]]]) -> bool:
    """Whether two pins go through one body at one point."""
    return any(
        body == same and abs(at[0] - there[0]) <= PIN_SNAP and abs(at[1] - there[1]) <= PIN_SNAP
        for body, at in one
        for same, there in other
    )
