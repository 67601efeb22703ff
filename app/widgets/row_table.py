"""A table whose rows are read and chosen, one at a time, and never typed in."""

from __future__ import annotations

from itertools import zip_longest

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableWidget, QTableWidgetItem


def row_table(
    headings: tuple[str, ...], name: str, *, wide: tuple[int, ...] = (0,), tips: tuple[str, ...] = ()
) -> QTableWidget:
    """An empty one with a column a heading, where given with a tip; the columns `wide` take the room that is left."""
    table = QTableWidget(0, len(headings))
    for column, (words, tip) in enumerate(zip_longest(headings, tips, fillvalue="")):
        heading = QTableWidgetItem(words)
        heading.setToolTip(tip)
        table.setHorizontalHeaderItem(column, heading)
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
    return table
