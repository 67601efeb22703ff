"""What an edit touched: of two projects with the same bodies and connections, which of them are others."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from core.document.names import Identified, joined
from core.document.project import Body, Connection, Project


@dataclass(frozen=True, slots=True)
class Touched:
    """Their numbers; a connection is touched where a body that it joins is."""

    bodies: tuple[int, ...]
    connections: tuple[int, ...]


def touched(before: Project, after: Project) -> Touched | None:
    """What is not the very same in both; None where the one has more of them than the other, or in another order."""
    bodies, connections = _others(before.bodies, after.bodies), _others(before.connections, after.connections)
    if bodies is None or connections is None:
        return None
    ids = {after.bodies[number].id for number in bodies}
    with_them = [n for n, one in enumerate(after.connections) if ids and not ids.isdisjoint(joined(one) or ())]
    return Touched(tuple(bodies), tuple(sorted({*connections, *with_them})))


LIES = frozenset({"shapes", "at", "ends", "start", "end", "along", "limits", "length"})
"""Keys of bodies and connections that say where something lies, and how far it goes."""


def only_lies_elsewhere(before: Project, after: Project) -> bool:
    """Whether what is another in one of two projects is where bodies and connections lie, and nothing that is named or
    that names."""
    which = touched(before, after)
    keys = (key for key in Project.__struct_fields__ if key not in ("bodies", "connections"))
    if which is None or any(getattr(before, key) is not getattr(after, key) for key in keys):
        return False
    bodies = ((before.bodies[number], after.bodies[number]) for number in which.bodies)
    connections = ((before.connections[number], after.connections[number]) for number in which.connections)
    return all(_lies_elsewhere(one, other) for one, other in (*bodies, *connections))


def _lies_elsewhere(one: Body | Connection, other: Body | Connection) -> bool:
    keys = (key for key in type(one).__struct_fields__ if key not in LIES)
    return all(getattr(one, key) == getattr(other, key) for key in keys)


def _others(before: Sequence[Identified], after: Sequence[Identified]) -> list[int] | None:
    if len(before) != len(after):
        return None
    others = [number for number, one in enumerate(after) if one is not before[number]]
    alike = all(before[n].id == after[n].id and type(before[n]) is type(after[n]) for n in others)
    return others if alike else None
