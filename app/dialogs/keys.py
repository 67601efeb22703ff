"""All keys in one list, made from the table of actions, and what the mouse does."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QFrame, QGridLayout, QHBoxLayout, QLabel, QScrollArea, QVBoxLayout, QWidget

from app.dialogs.frame import Dialog

COLUMNS = 3
ROW = 23
LARGEST = QSize(1180, 820)
BESIDE = 80
"""Pixels of its width that the dialog's edge and the scroll bar take."""


@dataclass(frozen=True, slots=True)
class KeyGroup:
    """A menu's name, and what its actions are called with their keys."""

    title: str
    rows: tuple[tuple[str, str], ...]


MOUSE = (
    KeyGroup(
        "Mouse on the sheet",
        (
            ("Choose", "click"),
            ("Choose what lies behind it", "click again"),
            ("Choose several, or let one go", "Shift and click"),
            ("Gather bodies with a band", "Shift and drag"),
            ("Carry the chosen body", "drag it"),
            ("Carry it by any distance", "Alt and drag it"),
            ("Drag the film", "drag, or middle button"),
            ("Nearer, further off", "wheel"),
            ("Fit the view", "double click beside things"),
            ("What can be done with it", "right button"),
            ("Snap to nothing while drawing", "Alt and click"),
        ),
    ),
    KeyGroup(
        "Mouse on the lists",
        (
            ("Choose several", "Shift or Ctrl and click"),
            ("Hide or show, lock or free", "click its mark"),
            ("Draw a body over another", "drag it above that"),
        ),
    ),
    KeyGroup(
        "Mouse on the sequence",
        (
            ("Go to a moment", "drag on the ruler or a lane"),
            ("Begin a step later or earlier", "drag its bar"),
            ("Make a step longer or shorter", "drag its right end"),
            ("By thousandths of a second", "Alt and drag"),
            ("Go to a finding", "click its mark"),
            ("Go to where a pair is nearest", "click its name"),
        ),
    ),
)


class KeyList(Dialog):
    def __init__(self, groups: tuple[KeyGroup, ...], parent: QWidget) -> None:
        super().__init__("Keys and mouse", parent)
        self.add_text("The keys that play a sequence lie under the left hand; the right one can keep the mouse.")
        largest = LARGEST.boundedTo(parent.window().size() - QSize(40, 60))
        sheet = _sheet((*MOUSE, *groups), largest.width() - BESIDE)
        self.area = QScrollArea()
        self.area.setAccessibleName("Keys and what the mouse does")
        self.area.setWidgetResizable(True)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.area.setWidget(sheet)
        self.area.setMinimumWidth(sheet.sizeHint().width() + self.area.verticalScrollBar().sizeHint().width())
        self.page.addWidget(self.area, 1)
        self.add_button("Close", default=True).clicked.connect(self.accept)
        self.resize(largest)


def _sheet(groups: tuple[KeyGroup, ...], room: int) -> QWidget:
    """All of them, in as many columns as so many pixels hold, but three at the most."""
    for count in range(COLUMNS, 0, -1):
        sheet = QWidget()
        columns = QHBoxLayout(sheet)
        columns.setContentsMargins(0, 0, 14, 0)
        columns.setSpacing(40)
        for part in _shared_out(groups, count):
            column = QVBoxLayout()
            column.setSpacing(18)
            for group in part:
                column.addLayout(_group(group))
            column.addStretch(1)
            columns.addLayout(column, 1)
        if sheet.sizeHint().width() <= room:
            break
    return sheet


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
    grid.setHorizontalSpacing(20)
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
