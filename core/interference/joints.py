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
    return _merged(pins)


def _merged(pins: list[set[tuple[str, tuple[float, float]]]]) -> list[set[tuple[str, tuple[float, float]]]]:
    """Pins that go through one body at one point as one; each stands where the last of those that it is made of did."""
    through: dict[str, list[tuple[tuple[float, float], int]]] = {}
    last = list(range(len(pins)))
    """Of each pin, a later one that it is one with; itself where there is none."""

    def newest(number: int) -> int:
        while last[number] != number:
            number = last[number]
        return number

    for number, pin in enumerate(pins):
        for body, at in pin:
            for there, other in through.get(body, ()):
                if abs(at[0] - there[0]) <= PIN_SNAP and abs(at[1] - there[1]) <= PIN_SNAP:
                    last[newest(other)] = number
        for body, at in pin:
            through.setdefault(body, []).append((at, number))
    found: dict[int, set[tuple[str, tuple[float, float]]]] = {}
    for number, pin in enumerate(pins):
        found.setdefault(newest(number), set()).update(pin)
    return [found[number] for number in sorted(found)]
