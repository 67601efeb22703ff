"""What is listed of bodies, connections, drives and steps: their rows under headings, and which of them words find."""

from __future__ import annotations

from dataclasses import dataclass, replace

from core.document.names import kind_of
from core.document.project import Body, Connection, Drawn, Gearing, Ink, Project, Sequence


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """A row: a heading where `id` is None."""

    id: str | None
    name: str
    kind: str = ""
    search: str = ""
    is_body: bool = False
    hidden: bool | None = None
    """None of what is never drawn."""
    locked: bool | None = None
    tint: Ink | None = None

    def said(self, *, loose: bool = False) -> str:
        """The row as it is read out."""
        return ", ".join((self.name, *(["loose"] if loose else []), *self.looks, self.kind)) if self.id else self.name

    @property
    def looks(self) -> tuple[str, ...]:
        """How it is shown and kept, in words, where that is not as usual."""
        tint = (f"tint {self.tint}",) if self.tint else ()
        return (*(("hidden",) if self.hidden else ()), *(("locked",) if self.locked else ()), *tint)


def things(project: Project, sequence: Sequence | None = None) -> tuple[Thing, ...]:
    """Everything that can be chosen, under its headings, in the file's order, but what is drawn over another body above
    that; of one sequence its steps as well."""
    bodies = tuple(_body(one) for one in reversed(project.bodies))
    connections = tuple(_connection(one, project) for one in project.connections)
    drives = tuple(_row(one.id, one.name, "drive", "") for one in project.drives)
    steps = tuple(_row(one.id, one.name, "step", "") for one in sequence.steps) if sequence is not None else ()
    return (
        *_under("Bodies, topmost first", bodies),
        *_under("Connections", connections),
        *_under("Drives", drives),
        *_under("Steps", steps),
        *_under("Paths", tuple(_row(one.id, one.name, "path", f"point {one.body}") for one in project.paths)),
    )


def _under(heading: str, rows: tuple[Thing, ...]) -> tuple[Thing, ...]:
    return (Thing(id=None, name=heading, kind=str(len(rows))), *rows) if rows else ()


def _row(thing_id: str, name: str, kind: str, more: str) -> Thing:
    shown = name or thing_id
    return Thing(id=thing_id, name=shown, kind=kind, search=f"{shown} {thing_id} {kind} {more}".casefold())


def _body(body: Body) -> Thing:
    role = "fixed" if body.fixed else body.role
    row = _row(body.id, body.name, role, f"body {body.role} {body.view}")
    return _with_looks(replace(row, is_body=True, tint=body.tint), body)


def _connection(one: Connection, project: Project) -> Thing:
    joined = one.pivots if isinstance(one, Gearing) else one.bodies
    names = {thing.id: thing.name for thing in (*project.bodies, *project.connections)}
    row = _row(one.id, one.name, kind_of(one), "connection " + " ".join(f"{i} {names.get(i, '')}" for i in joined))
    return _with_looks(row, one)


def _with_looks(row: Thing, one: Drawn) -> Thing:
    row = replace(row, hidden=one.hidden, locked=one.locked)
    return replace(row, search=" ".join((row.search, *row.looks)))


def found(rows: tuple[Thing, ...], text: str) -> tuple[Thing, ...]:
    """The rows that hold every word of the text, and the headings that still have a row."""
    words = text.casefold().split()
    kept: list[Thing] = []
    for heading, group in _groups(rows):
        hits = [row for row in group if all(word in row.search for word in words)]
        if hits:
            kept += [Thing(id=None, name=heading.name, kind=str(len(hits))), *hits]
    return tuple(kept)


def _groups(rows: tuple[Thing, ...]) -> list[tuple[Thing, list[Thing]]]:
    groups: list[tuple[Thing, list[Thing]]] = []
    for row in rows:
        if row.id is None:
            groups.append((row, []))
        else:
            groups[-1][1].append(row)
    return groups
