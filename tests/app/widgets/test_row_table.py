"""Tables whose rows are as high as their words need."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QTableWidget, QTableWidgetItem

from app.widgets.row_table import AIR, PADDING, row_table

LONG = "Door jack of the upper forward drag brace stuck from 4.00 s"


@pytest.fixture
def table(qtbot) -> QTableWidget:
    table = row_table(("Fault", "Brings"), "Faults")
    qtbot.addWidget(table)
    table.setStyleSheet(f"QTableView::item {{ padding: 0 {PADDING}px 0 0; }}")  # as the window's
    table.resize(700, 300)
    table.show()
    qtbot.waitExposed(table)
    table.setRowCount(2)
    for row, words in enumerate((LONG, "Leg stuck")):
        table.setItem(row, 0, QTableWidgetItem(words))
        table.setItem(row, 1, QTableWidgetItem("2 new"))
    return table


def lines(table: QTableWidget, row: int) -> int:
    """In which its words stand."""
    return (table.rowHeight(row) - 2 * AIR) // table.fontMetrics().lineSpacing()


def test_a_row_is_as_high_as_its_words_need_in_the_width_that_they_have(qtbot, table: QTableWidget):
    qtbot.waitUntil(lambda: (lines(table, 0), lines(table, 1)) == (1, 1))
    table.resize(280, 300)
    qtbot.waitUntil(lambda: lines(table, 0) > 1)
    assert lines(table, 1) == 1
    table.resize(700, 300)
    qtbot.waitUntil(lambda: lines(table, 0) == 1)


def test_so_it_is_when_its_words_change(qtbot, table: QTableWidget):
    table.resize(280, 300)
    table.item(1, 0).setText(LONG)
    qtbot.waitUntil(lambda: lines(table, 1) > 1)
    table.item(1, 0).setText("Leg")
    qtbot.waitUntil(lambda: lines(table, 1) == 1)


def test_and_when_rows_come(qtbot, table: QTableWidget):
    table.resize(280, 300)
    table.blockSignals(True)  # as while it is filled
    table.setRowCount(3)
    table.setItem(2, 0, QTableWidgetItem(LONG))
    table.blockSignals(False)
    qtbot.waitUntil(lambda: lines(table, 2) > 1)
