"""A table whose rows are read and chosen, one at a time, and never typed in; each is as high as its words need."""

from __future__ import annotations

from itertools import zip_longest

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QSize, Qt, QTimer
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableWidget,
    QTableWidgetItem,
)

PADDING = 6
"""Pixels beside a cell's words, as the style sheet has them."""
AIR = 5
"""Pixels above a cell's words and below them."""


class _Padded(QStyledItemDelegate):
    """Qt leaves the padding out when it asks how high words stand that are broken into lines: the last is cut off."""

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        narrower = QStyleOptionViewItem(option)
        narrower.rect.setWidth(max(0, option.rect.width() - PADDING))
        return super().sizeHint(narrower, index) + QSize(0, 2 * AIR)


def row_table(
    headings: tuple[str, ...], name: str, *, wide: tuple[int, ...] = (0,), tips: tuple[str, ...] = ()
) -> QTableWidget:
    """An empty one with a column a heading, where given with a tip; the columns `wide` take the room that is left."""
    table = QTableWidget(0, len(headings))
    for column, (words, tip) in enumerate(zip_longest(headings, tips, fillvalue="")):
        heading = QTableWidgetItem(words)
        heading.setToolTip(tip)
        table.setHorizontalHeaderItem(column, heading)
    table.setItemDelegate(_Padded(table))
    table.setAccessibleName(name)
    table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
    table.setTabKeyNavigation(False)
    table.setShowGrid(False)
    table.setAlternatingRowColors(True)
    table.verticalHeader().hide()
    header = table.horizontalHeader()
    header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
    for column in wide:
        header.setSectionResizeMode(column, QHeaderView.ResizeMode.Stretch)
    header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
    _keep_heights(table)
    return table


def _keep_heights(table: QTableWidget) -> None:
    """Once all columns are as wide as they will be, whatever changes in how many cells at once."""
    soon = QTimer(table)
    soon.setSingleShot(True)
    soon.setInterval(0)
    soon.timeout.connect(table.resizeRowsToContents)
    for signal in (table.horizontalHeader().sectionResized, table.model().dataChanged, table.model().rowsInserted):
        signal.connect(lambda *_: soon.start())
