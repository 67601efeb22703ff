"""What may be named in a project, and where: ids, and what each of them stands for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from collections.abc import Sequence as SequenceOf
from dataclasses import dataclass
from typing import Protocol, TypeVar

from core.document.json_text import shown
from core.document.problem import Place, Problem, nearest, place_text
from core.document.project import Body, Connection, Jack, Latch, Pivot, Project, Rod, Sequence, Slide

DRIVEN = (Pivot, Slide, Jack)


def problem(path: Place, wrong: str, right: str = "", *, thing: str = "") -> Problem:
    """A problem at a place; `thing` is the id of what the place belongs to."""
    return Problem(place_text(path, thing), wrong, right, path)


class Identified(Protocol):
    @property
    def id(self) -> str: ...


class Called(Identified, Protocol):
    @property
    def name(self) -> str: ...


Thing = TypeVar("Thing", bound=Identified)


def by_id(things: Iterable[Thing], wanted: str | None) -> Thing | None:
    """The one of some things that has an id; None where none has it."""
    return next((one for one in things if one.id == wanted), None)


def name_of(thing: Called) -> str:
    """What people call a thing: its name, or its id where it has none."""
    return thing.name or thing.id


def called(things: Iterable[Called], wanted: str) -> str:
    """What people call the one of some things that has an id; the id where none has it."""
    return next((name_of(one) for one in things if one.id == wanted), wanted)


def name_of_all(things: SequenceOf[Called]) -> str:
    """The name of the only one, or how many bodies they are."""
    return name_of(things[0]) if len(things) == 1 else f"{len(things)} bodies"


def kind_of(connection: Connection) -> str:
    """The connection's kind in a word: pivot, slide, slot, rod, jack, gearing, latch."""
    return str(connection.__struct_config__.tag)


@dataclass(frozen=True, slots=True)
class Ids:
    """The ids of a project, by what they stand for."""

    kinds: dict[str, str]
    """What each id stands for, in a word."""
    bodies: dict[str, Body]
    connections: dict[str, Connection]
    sequences: dict[str, Sequence]

    def unknown(self, path: Place, word: str, known: set[str], what: str, thing: str) -> Problem:
        """The problem of a name that is not among the known ones of its sort."""
        if word in self.kinds:
            return problem(
                path, f"{shown(word)} is a {self.kinds[word]}, not a {what}", nearest(word, known), thing=thing
            )
        return problem(path, f"there is no {what} {shown(word)}", nearest(word, known), thing=thing)


def ids_of(project: Project) -> Ids:
    kinds: dict[str, str] = {}
    for path, thing_id in all_ids(project):
        kinds.setdefault(thing_id, "step" if len(path) > 2 else _SORTS[str(path[0])])
    for connection in project.connections:
        kinds[connection.id] = kind_of(connection)
    return Ids(
        kinds,
        {body.id: body for body in project.bodies},
        {connection.id: connection for connection in project.connections},
        {sequence.id: sequence for sequence in project.sequences},
    )


_SORTS = {
    "views": "view",
    "bodies": "body",
    "connections": "connection",
    "drives": "drive",
    "sequences": "sequence",
    "targets": "target",
    "figures": "figure",
    "paths": "path",
}


def all_ids(project: Project) -> Iterator[tuple[Place, str]]:
    """Every id of the file with the place it stands at, in the file's order."""
    return ((path, thing.id) for path, thing in all_things(project))


def all_things(project: Project) -> Iterator[tuple[Place, Identified]]:
    """Everything that has an id, with the place it stands at, in the file's order; targets have no names."""
    for section in _SORTS:
        for index, thing in enumerate(getattr(project, section)):
            yield (section, index), thing
            if isinstance(thing, Sequence):
                for number, step in enumerate(thing.steps):
                    yield (section, index, "steps", number), step


def is_part(connection: Connection) -> bool:
    """Whether a connection takes part in the checks as a solid of its own: a rod or a jack that has a width."""
    if isinstance(connection, Rod):
        return connection.width is not None
    return isinstance(connection, Jack) and (connection.barrel is not None or connection.rod is not None)


def joined(connection: Connection) -> tuple[str, str] | None:
    """The two bodies a connection joins; a gearing joins pivots."""
    return getattr(connection, "bodies", None)


def latches(project: Project) -> set[str]:
    return {connection.id for connection in project.connections if isinstance(connection, Latch)}
