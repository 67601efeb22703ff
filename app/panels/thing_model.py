"""The list of bodies, connections, drives and steps as Qt's model: what each row says, shows and takes."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QAbstractListModel, QMimeData, QModelIndex, QPersistentModelIndex, Qt

from app.panels.things import Thing, found

Index = QModelIndex | QPersistentModelIndex
ID_ROLE = int(Qt.ItemDataRole.UserRole)
KIND_ROLE = ID_ROLE + 1
LOOSE_ROLE = ID_ROLE + 2
THING_ROLE = ID_ROLE + 3
ROWS = "application/vnd.bayfold.rows"


class ThingModel(QAbstractListModel):
    def __init__(self) -> None:
        super().__init__()
        self._all: tuple[Thing, ...] = ()
        self._rows: tuple[Thing, ...] = ()
        self._text = ""
        self._loose: frozenset[str] = frozenset()

    def show(self, rows: tuple[Thing, ...]) -> None:
        """Other rows; where they are of the same things, those stay where they are and only say something else."""
        if rows == self._all:
            return
        self._all = rows
        new = found(rows, self._text)
        if [row.id for row in new] == [row.id for row in self._rows] and new:
            self._rows = new
            self.dataChanged.emit(self.index(0), self.index(len(new) - 1))
        else:
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
        if not index.isValid():
            return Qt.ItemFlag.ItemIsDropEnabled  # between rows, and never onto one
        row = self._rows[index.row()]
        if row.id is None:
            return Qt.ItemFlag.NoItemFlags
        flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        return flags | Qt.ItemFlag.ItemIsDragEnabled if row.is_body else flags

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        row = self._rows[index.row()]
        loose = row.id in self._loose
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return row.name
            case Qt.ItemDataRole.AccessibleTextRole:
                return row.said(loose=loose)
            case Qt.ItemDataRole.ToolTipRole:
                return row.name if row.id else None
            case role if role == ID_ROLE:
                return row.id
            case role if role == KIND_ROLE:
                return row.kind
            case role if role == LOOSE_ROLE:
                return loose
            case role if role == THING_ROLE:
                return row
        return None

    # ---- bodies dragged among each other -------------------------------------------------------------------------

    def supportedDropActions(self) -> Qt.DropAction:
        return Qt.DropAction.MoveAction

    def mimeTypes(self) -> list[str]:
        return [ROWS]

    def mimeData(self, indexes: Sequence[QModelIndex]) -> QMimeData:
        """The ids of the bodies among some rows."""
        rows = [self._rows[index.row()] for index in indexes]
        data = QMimeData()
        data.setData(ROWS, " ".join(row.id for row in rows if row.id and row.is_body).encode())
        return data

    def under(self, place: int) -> tuple[bool, str | None]:
        """Whether bodies can be dropped before the row at a place, and which body they would lie right over then; None
        for under all that are listed."""
        bodies = [i for i, row in enumerate(self._rows) if row.is_body]
        if not bodies or place > bodies[-1] + 1:
            return False, None
        below = next((i for i in bodies if i >= place), None)
        return True, None if below is None else self._rows[below].id
