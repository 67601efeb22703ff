"""Edits of connections and drives."""

from __future__ import annotations

import math
from dataclasses import dataclass

from msgspec.structs import replace

from core.document.changing import each, those, with_connection, with_drive
from core.document.names import kind_of, name_of
from core.document.project import (
    Connection,
    Drive,
    Gearing,
    Jack,
    Latch,
    Pivot,
    Point,
    Project,
    Rod,
    Slide,
    Slot,
    Step,
)


def ends_of(connection: Connection) -> tuple[Point, ...]:
    """The points that a hand can take hold of, in the drawn position."""
    match connection:
        case Pivot() | Slide():
            return (connection.at,)
        case Slot():
            return (connection.at, connection.start, connection.end)
        case Rod() | Jack() | Latch():
            return connection.ends
        case Gearing():
            return ()


def carriers(one: Connection) -> tuple[str, ...]:
    """The body that carries each of a connection's `ends_of`; of a pivot's and a slide's point the first."""
    assert not isinstance(one, Gearing)
    first, second = one.bodies
    count = len(ends_of(one))
    if count == 1:
        return (first,)
    return (first, second) if count == 2 else (second, first, first)


def with_end(connection: Connection, number: int, at: Point) -> Connection:
    """The connection with one of its `ends_of` elsewhere."""
    match connection:
        case Pivot() | Slide():
            return replace(connection, at=at)
        case Slot():
            return replace(connection, **{("at", "start", "end")[number]: at})
        case Rod() | Jack() | Latch():
            ends = (at, connection.ends[1]) if number == 0 else (connection.ends[0], at)
            return replace(connection, ends=ends)
        case Gearing():
            return connection


@dataclass(frozen=True, slots=True)
class AddConnection:
    """A new connection, and its drive where it has one."""

    connection: Connection
    drive: Drive | None = None

    @property
    def label(self) -> str:
        return f"Add {kind_of(self.connection)} {name_of(self.connection)}"

    def apply(self, project: Project) -> Project:
        drives = project.drives if self.drive is None else (*project.drives, self.drive)
        return replace(project, connections=(*project.connections, self.connection), drives=drives)


@dataclass(frozen=True, slots=True)
class ReplaceConnection:
    """Another value for the connection of the same id; `words` say what is done to it."""

    connection: Connection
    words: str = "Change"

    @property
    def label(self) -> str:
        return f"{self.words} {name_of(self.connection)}"

    def apply(self, project: Project) -> Project:
        return with_connection(project, self.connection.id, lambda _: self.connection)


@dataclass(frozen=True, slots=True)
class MoveEnd:
    """One of a connection's points elsewhere in the drawn position; a rod's or jack's length goes with it."""

    connection: str
    number: int
    to: Point

    @property
    def label(self) -> str:
        return "Move end"

    def apply(self, project: Project) -> Project:
        if not all(math.isfinite(one) for one in self.to):
            return project
        return with_connection(project, self.connection, lambda one: with_end(one, self.number, self.to))


@dataclass(frozen=True, slots=True)
class AddDrive:
    """A drive on a connection that has none."""

    drive: Drive

    @property
    def label(self) -> str:
        return f"Drive {self.drive.name or self.drive.on}"

    def apply(self, project: Project) -> Project:
        if any(one.on == self.drive.on for one in project.drives):
            return project
        return replace(project, drives=(*project.drives, self.drive))


@dataclass(frozen=True, slots=True)
class RenameDrive:
    drive: str
    name: str

    @property
    def label(self) -> str:
        return "Rename drive"

    def apply(self, project: Project) -> Project:
        return with_drive(project, self.drive, lambda one: replace(one, name=self.name))


@dataclass(frozen=True, slots=True)
class ReplaceDrive:
    """Another value for the drive of the same id."""

    drive: Drive

    @property
    def label(self) -> str:
        return f"Change {name_of(self.drive)}"

    def apply(self, project: Project) -> Project:
        return with_drive(project, self.drive.id, lambda _: self.drive)


def without_drives(project: Project, gone: set[str]) -> Project:
    """The project without some drives and every mention of them; the same where it has none of them."""
    if not any(drive.id in gone for drive in project.drives):
        return project
    sequences = tuple(
        replace(
            sequence,
            start={drive: value for drive, value in sequence.start.items() if drive not in gone},
            steps=each(sequence.steps, lambda step: _without_drives(step, gone)),
        )
        for sequence in project.sequences
    )
    drives = tuple(drive for drive in project.drives if drive.id not in gone)
    accepted = tuple(one for one in project.accepted if one.drive not in gone)
    return replace(project, drives=drives, sequences=sequences, accepted=accepted)


def _without_drives(step: Step, gone: set[str]) -> Step:
    moves = those(step.moves, lambda move: move.drive not in gone)
    needs = those(step.needs, lambda need: need.drive not in gone)
    return step if moves is step.moves and needs is step.needs else replace(step, moves=moves, needs=needs)
