"""The rows of the list of findings: what is wrong, and below a heading that folds them what the builder lives with."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, Qt

from app.panels.finding_groups import Group
from core.findings.finding import Finding, Kind

Index = QModelIndex | QPersistentModelIndex
GROUP_ROLE = int(Qt.ItemDataRole.UserRole)
"""The group of a row; None of the heading."""
NOTE_ROLE = GROUP_ROLE + 1
AMOUNT_ROLE = GROUP_ROLE + 2
FOLDED_ROLE = GROUP_ROLE + 3

TITLES: Mapping[Kind, str] = MappingProxyType(
    {
        Kind.JAMMED: "Jammed",
        Kind.CLASH: "Clash",
        Kind.LOOSE: "Loose",
        Kind.LATCH: "Latch does not reach",
        Kind.TRAVEL: "Beyond its travel",
        Kind.EARLY: "Begins too soon",
        Kind.TARGET: "Off its target",
        Kind.TIGHT: "Nearer than wanted",
        Kind.DEAD_CENTRE: "Dead centre",
        Kind.REDUNDANT: "More than needed",
    }
)


class FindingModel(QAbstractListModel):
    def __init__(self) -> None:
        super().__init__()
        self._groups: tuple[Group, ...] = ()
        self._open = 0
        """How many of them are not accepted."""
        self._notes: tuple[str, ...] = ()
        self._amounts: tuple[str, ...] = ()
        self._folded = True

    @property
    def groups(self) -> tuple[Group, ...]:
        return self._groups

    @property
    def folded(self) -> bool:
        """Whether what is accepted is kept out of sight."""
        return self._folded

    @property
    def heading(self) -> int | None:
        """The row of the heading over what is accepted; None where nothing is."""
        return self._open if self._open < len(self._groups) else None

    def show(self, groups: tuple[Group, ...], notes: tuple[str, ...], amounts: tuple[str, ...]) -> None:
        """Those that are accepted come last, as what is noted of them and by how much they are off. Where there are as
        many as before, only the rows that say something else are told of."""
        before, now = self._rows(), tuple(zip(groups, notes, amounts, strict=True))
        if now == before:
            return
        open_ = sum(1 for group in groups if group.accepted is None)
        alike = (len(now), open_) == (len(before), self._open)
        if not alike:
            self.beginResetModel()
        self._groups, self._notes, self._amounts, self._open = groups, notes, amounts, open_
        if not alike:
            self.endResetModel()
            return
        for place, (one, other) in enumerate(zip(now, before, strict=True)):
            if one != other and (row := self._row(place)) is not None:
                self.dataChanged.emit(self.index(row), self.index(row))

    def _rows(self) -> tuple[tuple[Group, str, str], ...]:
        return tuple(zip(self._groups, self._notes, self._amounts, strict=True))

    def fold(self, folded: bool) -> None:
        if folded != self._folded:
            self.beginResetModel()
            self._folded = folded
            self.endResetModel()

    def row_of(self, finding: Finding | None) -> int | None:
        """Where a finding stands, however bad it was when it was listed; None while it is folded away."""
        if finding is None:
            return None
        wanted = (finding.sequence, finding.about)
        places = (
            place
            for place, group in enumerate(self._groups)
            if any((one.sequence, one.about) == wanted for one in group.findings)
        )
        return next((self._row(place) for place in places), None)

    def _row(self, place: int) -> int | None:
        if self.heading is None or place < self.heading:
            return place
        return None if self._folded else place + 1

    def _place_of(self, row: int) -> int | None:
        """The place among the groups; None of the heading."""
        heading = self.heading
        if heading is None or row < heading:
            return row
        return None if row == heading else row - 1

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 (Qt's own signature)
        if parent.isValid():
            return 0
        if self.heading is None:
            return len(self._groups)
        return self.heading + 1 if self._folded else len(self._groups) + 1

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        place = self._place_of(index.row())
        if place is None:
            return self._of_heading(role)
        group = self._groups[place]
        match role:
            case Qt.ItemDataRole.DisplayRole | Qt.ItemDataRole.ToolTipRole:
                return group.sentence
            case Qt.ItemDataRole.AccessibleTextRole:
                said = f"{TITLES[group.kind]}. {group.sentence}"
                return said if group.accepted is None else f"Accepted. {said} {group.accepted}"
            case role if role == GROUP_ROLE:
                return group
            case role if role == NOTE_ROLE:
                return self._notes[place]
            case role if role == AMOUNT_ROLE:
                return self._amounts[place]
        return None

    def _of_heading(self, role: int) -> object:
        count = len(self._groups) - self._open
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return f"Accepted  {count}"
            case Qt.ItemDataRole.ToolTipRole:
                return "Show what you live with" if self._folded else "Fold what you live with"
            case Qt.ItemDataRole.AccessibleTextRole:
                return f"Accepted: {count}, {'folded' if self._folded else 'unfolded'}"
            case role if role == FOLDED_ROLE:
                return self._folded
        return None
