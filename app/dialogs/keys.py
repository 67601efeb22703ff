"""All keys in one list, made from the table of actions."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app.dialogs.frame import Dialog

COLUMNS = 2
ROW = 23


@dataclass(frozen=True, slots=True)
class KeyGroup:
    """A menu's name, and what its actions are called with their keys."""

    title: str
    rows: tuple[tuple[str, str], ...]


class KeyList(Dialog):
    def __init__(self, groups: tuple[KeyGroup, ...], parent: QWidget) -> None:
        super().__init__("Keys", parent)
        self.setMinimumWidth(660)
        self.add_text("The keys that play a sequence lie under the left hand; the right one can keep the mouse.")
        columns = QHBoxLayout()
        columns.setSpacing(44)
        for part in _shared_out(groups, COLUMNS):
            column = QVBoxLayout()
            column.setSpacing(18)
            for group in part:
                column.addLayout(_group(group))
            column.addStretch(1)
            columns.addLayout(column)
        self.page.addLayout(columns)
        self.add_button("Close", default=True).clicked.connect(self.accept)


def _shared_out(groups: tuple[KeyGroup, ...], columns: int) -> list[list[KeyGroup]]:
    """Into columns of about the same height, in their order."""
    heights = [len(group.rows) + 2 for group in groups]
    shared: list[list[KeyGroup]] = [[] for _ in range(columns)]
    done = 0
    for group, height in zip(groups, heights, strict=True):
        column = min(columns - 1, int((done + height / 2) / sum(heights) * columns))
        shared[column].append(group)
        done += height
    return shared


def _group(group: KeyGroup) -> QGridLayout:
    grid = QGridLayout()
    grid.setHorizontalSpacing(28)
    grid.setVerticalSpacing(0)
    grid.setColumnStretch(0, 1)
    title = QLabel(group.title)
    title.setObjectName("heading")
    grid.addWidget(title, 0, 0, 1, 2)
    for row, (words, keys) in enumerate(group.rows, 1):
        grid.addWidget(QLabel(words), row, 0)
        grid.setRowMinimumHeight(row, ROW)
        shown = QLabel(keys)
        shown.setObjectName("soft")
        grid.addWidget(shown, row, 1, Qt.AlignmentFlag.AlignRight)
    return grid
