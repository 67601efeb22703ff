"""How many built models would work, what it hangs on, and how well things are made in the workshop."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QBrush
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.panels.built_rows import HEADINGS, TIPS, BuiltRow, rows_of, unbroken
from app.panels.entry_form import EntryForm
from app.panels.workshop_entries import entries_of_workshop
from app.session import Session
from app.widgets.button import Button
from app.widgets.progress_line import progress_line
from app.widgets.row_table import row_table
from app.widgets.side_column import side_column
from core.document.project import Project
from core.tolerance.spread import MODELS, Spread, Spreads
from core.tolerance.told import summary

FORM_WIDTH = 300
NONE_YET = "No models are built yet."
CHECKING = "The aircraft is being checked; models are built after that."
OUTDATED = "▲ These are of the aircraft, or the sequence, as it was before."
ASSUMED = (
    "The workshop: how things are made where nothing else is said of a body, rod, jack, pivot or slot. "
    "A row left empty is as usual. What is made scatters normally, three standard deviations to its tolerance; "
    "a pin lies against its hole and a gear against its mate, on a side that is not known. How exactly a drive comes "
    "to its value is in its details."
)
LEAST = (680, 180)
"""Pixels: a smaller table shows nothing that can be read."""


class BuiltModelsPanel(QWidget):
    build_wanted = Signal()
    stop_wanted = Signal()
    row_chosen = Signal(object)
    """The spread of the row."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._shown: tuple[Spreads | None, bool] | None = None
        self._rows: tuple[BuiltRow, ...] = ()
        self.summary = _words("How many models would work")
        self.state = _words("How the work stands")
        self.state.setObjectName("soft")
        tip = f"Build {MODELS} models of this sequence at random, each as the workshop may make it"
        self.build = Button("Build models", tip, look="segment")
        self.stop = Button("Stop", "Give up building", look="segment")
        self.progress = progress_line("How many models are built")
        self.table = self._make_table()
        self.form = EntryForm(session)
        self._lay_out()
        self.build.clicked.connect(self.build_wanted)
        self.stop.clicked.connect(self.stop_wanted)
        self.table.itemSelectionChanged.connect(self._on_row)
        self.table.itemActivated.connect(lambda _item: self._on_row())
        session.project_changed.connect(self.show_workshop)
        self.show_workshop()

    def _make_table(self) -> QTableWidget:
        name = "What has to be so, the weakest first, and where parts come to stand"
        table = row_table(HEADINGS, name, wide=(0, len(HEADINGS) - 1), tips=TIPS)
        table.setMinimumSize(*LEAST)
        return table

    def _lay_out(self) -> None:
        buttons = QHBoxLayout()
        buttons.setSpacing(8)
        buttons.addWidget(self.build)
        buttons.addWidget(self.stop)
        buttons.addWidget(self.progress, 1)
        left = QVBoxLayout()
        left.setSpacing(8)
        left.addWidget(self.summary)
        left.addLayout(buttons)
        left.addWidget(self.state)
        left.addWidget(self.table, 1)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(12)
        row.addLayout(left, 1)
        row.addWidget(self._make_workshop())

    def _make_workshop(self) -> QScrollArea:
        about = _words("What the workshop's values mean")
        about.setText(ASSUMED)
        about.setObjectName("soft")
        return side_column(FORM_WIDTH, "The workshop", about, self.form)

    # ---- what is shown -------------------------------------------------------------------------------------------

    def show_workshop(self) -> None:
        project = self._session.project
        if project is not None:
            self.form.show_entries("workshop", entries_of_workshop(project))

    def show_found(self, project: Project | None, found: Spreads | None, *, outdated: bool) -> None:
        """What became of the models of a project; pale where that is not of what is looked at."""
        if self._shown == (found, outdated):
            return
        anew = self._shown is None or self._shown[0] is not found
        self._shown = (found, outdated)
        self.summary.setText(NONE_YET if project is None or found is None else unbroken(summary(project, found)))
        if anew:
            self._rows = () if project is None or found is None else rows_of(project, found)
            self._fill()
        self._fade(outdated)

    def _fill(self) -> None:
        heading = self.table.font()
        heading.setBold(True)
        self.table.blockSignals(True)
        self.table.clearSelection()
        self.table.clearSpans()
        self.table.setRowCount(len(self._rows))
        for number, row in enumerate(self._rows):
            for column, text in enumerate(row.texts):
                item = QTableWidgetItem(text)
                item.setToolTip(row.tip or text)
                if row.spread is None:
                    item.setFlags(Qt.ItemFlag.ItemIsEnabled)
                    item.setFont(heading)
                self.table.setItem(number, column, item)
            if row.spread is None:
                self.table.setSpan(number, 0, 1, len(HEADINGS))
        self.table.blockSignals(False)

    def _fade(self, on: bool) -> None:
        """Pale rows are of what is past; `show_state` says so in words."""
        ink = self.palette().placeholderText() if on else QBrush()
        self.table.blockSignals(True)
        for number in range(self.table.rowCount()):
            for column in range(self.table.columnCount()):
                item = self.table.item(number, column)
                if item is not None:
                    item.setForeground(ink)
        self.table.blockSignals(False)
        font = self.table.font()
        font.setItalic(on)
        self.summary.setFont(font)

    def show_state(self, words: str, *, working: bool, possible: bool) -> None:
        """How the work stands; an empty line where there is nothing to be said."""
        self.state.setText(words)
        self.build.setEnabled(possible and not working)
        self.stop.setEnabled(working)
        self.progress.setVisible(working)

    def show_progress(self, share: float) -> None:
        self.progress.setValue(round(1000 * share))

    # ---- what is done --------------------------------------------------------------------------------------------

    @property
    def chosen(self) -> Spread | None:
        """Of the row that is chosen."""
        rows = {index.row() for index in self.table.selectedIndexes()}
        return self._rows[rows.pop()].spread if len(rows) == 1 else None

    def _on_row(self) -> None:
        if self.chosen is not None:
            self.row_chosen.emit(self.chosen)


def _words(name: str) -> QLabel:
    label = QLabel()
    label.setWordWrap(True)
    label.setAccessibleName(name)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return label
