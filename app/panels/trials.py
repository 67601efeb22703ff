"""What may fail of a sequence: what is to be tried, and what every fault or pair of faults came to, worst first."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.panels.trial_form import TrialForm
from app.session import Session
from app.widgets.button import Button
from app.widgets.progress_line import progress_line
from app.widgets.row_table import row_table
from core.trials.told import verdict
from core.trials.trying import Outcome

HEADINGS = ("Fault", "Brings", "The worst of it")
OUTDATED = "These are of the aircraft as it was before it was changed; try every fault again."
NONE_YET = (
    "Every fault: each drive late by 1 s, at half speed, not moving, and stuck half way through each of its moves; "
    "each latch failing; and the sequence run back from the middle of each step."
)


class TrialsPanel(QWidget):
    every_wanted = Signal(bool)
    """Whether what follows a step waits for it."""
    pairs_wanted = Signal(bool)
    stop_wanted = Signal()

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._outcomes: tuple[Outcome, ...] = ()
        self.form = TrialForm(session)
        self.table = row_table(HEADINGS, "What every fault brings, worst first", wide=(0, 2))
        self.said = QLabel(NONE_YET)
        self.said.setObjectName("soft")
        self.said.setWordWrap(True)
        self.progress = progress_line("How many faults have been tried")
        self.every = Button("Try every fault", "Try every fault of this sequence, and list them worst first")
        self.every.setObjectName("segment")
        self.pairs = Button("Try every pair", "Try every two of these faults at once, and list them worst first")
        self.pairs.setObjectName("segment")
        self.stop = Button("Stop", "Give up trying", look="segment")
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(self.every)
        row.addWidget(self.pairs)
        row.addWidget(self.stop)
        row.addWidget(self.progress, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(10)
        column.addWidget(self.form)
        column.addLayout(row)
        column.addWidget(self.said)
        column.addWidget(self.table, 1)
        self.every.clicked.connect(lambda: self.every_wanted.emit(self.form.waits.isChecked()))
        self.pairs.clicked.connect(lambda: self.pairs_wanted.emit(self.form.waits.isChecked()))
        self.stop.clicked.connect(self.stop_wanted)
        self.table.itemSelectionChanged.connect(self._on_row)
        self.table.itemActivated.connect(lambda _item: self._on_row())
        self.show_working(False)

    # ---- what is shown -------------------------------------------------------------------------------------------

    def show_outcomes(self, outcomes: tuple[Outcome, ...]) -> None:
        """The list of all that was tried; empty before that."""
        if outcomes is not self._outcomes:
            self._outcomes = outcomes
            self._fill()

    def show_standing(self, *, outdated: bool, pairs: str) -> None:
        """What there is to know while nothing is tried; `pairs` says how many pairs there are."""
        known = OUTDATED if outdated else "" if self._outcomes else NONE_YET
        self._say(" ".join(one for one in (known, pairs) if one))

    def _say(self, words: str) -> None:
        self.said.setText(words)
        self.said.setVisible(bool(words))

    def _fill(self) -> None:
        self.table.blockSignals(True)
        self.table.clearSelection()
        self.table.setRowCount(len(self._outcomes))
        for row, outcome in enumerate(self._outcomes):
            worst = outcome.worst.sentence if outcome.worst is not None else ""
            for column, words in enumerate((outcome.words, verdict(outcome), worst)):
                item = QTableWidgetItem(words)
                item.setToolTip(words)
                self.table.setItem(row, column, item)
        self.table.blockSignals(False)

    def show_working(self, working: bool) -> None:
        self.every.setEnabled(not working)
        self.pairs.setEnabled(not working)
        self.stop.setEnabled(working)
        self.progress.setVisible(working)

    def show_progress(self, words: str, share: float, left: str) -> None:
        """What is being tried, and how much is left to do."""
        self.progress.setValue(round(1000 * share))
        self.progress.setToolTip(words)
        self._say(f"{left}: {words}" if left and words else left)

    def show_trial(self, trial: object) -> None:
        """The row of the trial that is shown; none where it is not among them."""
        row = next((row for row, one in enumerate(self._outcomes) if one.trial == trial), None)
        self.table.blockSignals(True)
        if row is None:
            self.table.clearSelection()
        else:
            self.table.selectRow(row)
        self.table.blockSignals(False)

    def _on_row(self) -> None:
        rows = {index.row() for index in self.table.selectedIndexes()}
        if len(rows) == 1:
            self.form.wanted.emit(self._outcomes[rows.pop()].trial)
