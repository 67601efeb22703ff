"""The list of bodies, connections and drives: a model with headings, and the words for kinds and roles."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, Qt

from core.document.names import kind_of
from core.document.project import Body, Connection, Gearing, Project, Sequence

Index = QModelIndex | QPersistentModelIndex
ID_ROLE = int(Qt.ItemDataRole.UserRole)
KIND_ROLE = ID_ROLE + 1
LOOSE_ROLE = ID_ROLE + 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """A row: a heading where `id` is None."""

    id: str | None
    name: str
    kind: str = ""
    search: str = ""


def things(project: Project, sequence: Sequence | None = None) -> tuple[Thing, ...]:
    """Everything that can be chosen, under its headings, in the file's order; of one sequence its steps as well."""
    bodies = tuple(_body(one) for one in project.bodies)
    connections = tuple(_connection(one, project) for one in project.connections)
    drives = tuple(_row(one.id, one.name, "drive", "") for one in project.drives)
    steps = tuple(_row(one.id, one.name, "step", "") for one in sequence.steps) if sequence is not None else ()
    return (
        *_under("Bodies", bodies),
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
    return _row(body.id, body.name, role, f"body {body.role} {body.view}")


def _connection(one: Connection, project: Project) -> Thing:
    joined = one.pivots if isinstance(one, Gearing) else one.bodies
    names = {thing.id: thing.name for thing in (*project.bodies, *project.connections)}
    return _row(one.id, one.name, kind_of(one), "connection " + " ".join(f"{i} {names.get(i, '')}" for i in joined))


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


class ThingModel(QAbstractListModel):
    def __init__(self) -> None:
        super().__init__()
        self._all: tuple[Thing, ...] = ()
        self._rows: tuple[Thing, ...] = ()
        self._text = ""
        self._loose: frozenset[str] = frozenset()

    def show(self, rows: tuple[Thing, ...]) -> None:
        if rows != self._all:
            self._all = rows
            self._refill()

    def search(self, text: str) -> None:
        self._text = text
        self._refill()

    def mark_loose(self, bodies: frozenset[str]) -> None:
        """Bodies that nothing drives or holds say so in their row."""
        if bodies != self._loose:
            self._loose = bodies
            if self._rows:
                self.dataChanged.emit(self.index(0), self.index(len(self._rows) - 1))

    def row_of(self, thing_id: str | None) -> int | None:
        return next((i for i, row in enumerate(self._rows) if row.id is not None and row.id == thing_id), None)

    def _refill(self) -> None:
        self.beginResetModel()
        self._rows = found(self._all, self._text)
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 (Qt's own signature)
        return 0 if parent.isValid() else len(self._rows)

    def flags(self, index: Index) -> Qt.ItemFlag:
        if self._rows[index.row()].id is None:
            return Qt.ItemFlag.NoItemFlags
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        row = self._rows[index.row()]
        loose = row.id in self._loose
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return row.name
            case Qt.ItemDataRole.AccessibleTextRole:
                return f"{row.name}, {'loose, ' if loose else ''}{row.kind}" if row.id else row.name
            case Qt.ItemDataRole.ToolTipRole:
                return row.name if row.id else None
            case role if role == ID_ROLE:
                return row.id
            case role if role == KIND_ROLE:
                return row.kind
            case role if role == LOOSE_ROLE:
                return loose
        return None
