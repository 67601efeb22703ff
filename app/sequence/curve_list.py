"""What stands beside the plot: buttons for all curves, and a row for each with its value at the moment."""

from __future__ import annotations

import math
from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QMenu, QScrollArea, QVBoxLayout, QWidget

from app.sequence.curve_rows import CurveRow
from app.sequence.curve_work import Shown
from app.sequence.inks import Inks
from app.widgets.button import Button
from app.widgets.scrolled import scrolled
from core.curves.quantities import Quantity


class CurveList(QWidget):
    add_wanted = Signal()
    over_wanted = Signal()
    write_wanted = Signal()
    keep_wanted = Signal(object)
    drop_wanted = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self._rows: list[CurveRow] = []
        self.add_button = Button("Add…", "Another curve beside these", look="quiet")
        self.over_button = Button("Over…", "What the curves are drawn over: time, or another value", look="quiet")
        self.write_button = Button("Write…", "The curves as a table (CSV) or a picture (SVG, PNG)", look="quiet")
        self.add_button.clicked.connect(self.add_wanted)
        self.over_button.clicked.connect(self.over_wanted)
        self.write_button.clicked.connect(self.write_wanted)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addLayout(self._button_row())
        column.addWidget(self._scrolled_rows(), 1)

    def _button_row(self) -> QHBoxLayout:
        buttons = QHBoxLayout()
        buttons.setContentsMargins(4, 3, 0, 0)
        buttons.setSpacing(0)
        for button in (self.add_button, self.over_button, self.write_button):
            buttons.addWidget(button)
        buttons.addStretch(1)
        return buttons

    def _scrolled_rows(self) -> QScrollArea:
        page = QWidget()
        page.setObjectName("page")
        self._column = QVBoxLayout(page)
        self._column.setContentsMargins(10, 0, 0, 2)
        self._column.setSpacing(0)
        self._column.addStretch(1)
        return scrolled(page)

    def fill(self, shown: Shown, kept: tuple[Quantity, ...], inks: Inks) -> None:
        for row in self._rows:
            row.hide()
            row.deleteLater()
        self._rows = []
        for number, (quantity, series) in enumerate(shown):
            row = CurveRow(number, series, kept=quantity in kept, inks=inks)
            row.keep_wanted.connect(partial(self.keep_wanted.emit, quantity))
            row.drop_wanted.connect(partial(self.drop_wanted.emit, quantity))
            self._rows.append(row)
            self._column.insertWidget(number, row)

    def tell(self, moment: float, *, stale: bool) -> None:
        """Each curve's value at the moment; none while it is not known."""
        for row in self._rows:
            value = row.series.at(moment)
            row.tell("…" if stale else "–" if math.isnan(value) else row.series.told(value))

    @property
    def values(self) -> tuple[str, ...]:
        return tuple(row.value for row in self._rows)


def pop_up(menu: QMenu, button: Button) -> None:
    menu.popup(button.mapToGlobal(button.rect().bottomLeft()))
