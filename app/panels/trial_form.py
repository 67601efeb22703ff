"""Which fault to try, or which several at once."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QGridLayout, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app.panels.fault_row import WHOLE, FaultRow, Things, Ways, ways_to_fail
from app.session import Session
from app.widgets.button import Button
from app.widgets.choice import Choice
from app.widgets.value_field import ValueField
from core.document.names import by_id, name_of
from core.document.project import Project, Sequence
from core.motion.schedule import lay_out
from core.trials.fault import together
from core.trials.trial import Trial

MOST = 4
"""Faults at once: more are no trial of anything that happens."""


class TrialForm(QWidget):
    wanted = Signal(object)
    """A trial to show."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._things: Things = ()
        self._ways: Mapping[str, Ways] = {}
        self._rows: list[FaultRow] = []
        self._grid = QGridLayout()
        self.waits = QCheckBox("What follows &waits until it has arrived")
        self.waits.setToolTip(
            "On: as by a sequencing valve, a step begins when what it follows is done. Off: as by a timer, it begins "
            "when it would have begun."
        )
        self.waits.setStatusTip(self.waits.toolTip())
        self.more = Button("And another fault", "Try one more fault at once with it", look="segment")
        self.show_it = Button("Try it", "Show the sequence as it would run with this fault", look="segment")
        self._lay_out()
        self._add_row()
        self.more.clicked.connect(self.add_fault)
        self.show_it.clicked.connect(self._try)
        for signal in (session.project_changed, session.sequence_changed):
            signal.connect(self.refresh)
        self.refresh()

    def _lay_out(self) -> None:
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(12)
        self._grid.setVerticalSpacing(8)
        for column, words in enumerate(("What fails", "How", "By how much")):
            label = QLabel(words)
            label.setObjectName("factLabel")
            self._grid.addWidget(label, 0, column)
        for column, stretch in enumerate((3, 3, 2, 0)):
            self._grid.setColumnStretch(column, stretch)
        below = QHBoxLayout()
        below.setSpacing(12)
        below.addWidget(self.waits, 1)
        below.addWidget(self.more)
        page = QVBoxLayout(self)
        page.setContentsMargins(0, 0, 0, 0)
        page.setSpacing(8)
        page.addLayout(self._grid)
        page.addLayout(below)

    # ---- the first fault -----------------------------------------------------------------------------------------

    @property
    def what(self) -> Choice:
        return self._rows[0].what

    @property
    def how(self) -> Choice:
        return self._rows[0].how

    @property
    def amount(self) -> ValueField:
        return self._rows[0].amount

    @property
    def thing(self) -> str | None:
        return self._rows[0].thing

    # ---- several -------------------------------------------------------------------------------------------------

    @property
    def rows(self) -> tuple[FaultRow, ...]:
        return tuple(self._rows)

    def add_fault(self) -> None:
        """One fault more at once; what is offered is the next thing that may fail."""
        if len(self._rows) >= MOST or not self._things:
            return
        row = self._add_row()
        taken = {one.thing for one in self._rows[:-1]}
        free = next((thing for thing, _ in self._things if thing not in taken), self._things[0][0])
        row.pick(free)
        row.what.setFocus()

    def _add_row(self) -> FaultRow:
        row = FaultRow(self._moment, len(self._rows))
        self._rows.append(row)
        row.put_into(self._grid, len(self._rows))
        if len(self._rows) > 1:
            self._grid.addWidget(row.remove, len(self._rows), 3)
            row.unwanted.connect(lambda: self._leave_out(row))
        self._grid.addWidget(self.show_it, 1, 3)
        row.offer(self._things, self._ways)
        row.changed.connect(self._on_fault)
        row.entered.connect(self._try)
        self._on_fault()
        return row

    def _leave_out(self, row: FaultRow) -> None:
        place = self._rows.index(row)
        self._rows.remove(row)
        row.take_out(self._grid)
        row.deleteLater()
        for number, later in enumerate(self._rows[place:], place + 1):
            later.put_into(self._grid, number)
            self._grid.addWidget(later.remove, number, 3)
        self._rows[place - 1].what.setFocus()
        self._on_fault()

    def _on_fault(self) -> None:
        self.waits.setEnabled(any(row.is_drive for row in self._rows))
        self.more.setEnabled(len(self._rows) < MOST)

    # ---- what is offered -----------------------------------------------------------------------------------------

    def refresh(self) -> None:
        """What the sequence moves and works; what was picked stays, while it is there."""
        project, sequence = self._session.project, self._drawn()
        things = things_that_fail(project, sequence) if project is not None and sequence is not None else ()
        ways = ways_to_fail(sequence) if sequence is not None else {}
        if things == self._things and ways == self._ways:
            return
        self._things, self._ways = things, ways
        for row in self._rows:
            row.offer(things, self._ways)
        self.setEnabled(bool(things))

    def pick(self, thing: str | None) -> None:
        """Offer what can fail of a thing that is chosen: a drive, what it drives, a latch, or a step that moves one."""
        project, sequence = self._session.project, self._drawn()
        if project is None or sequence is None:
            return
        moved = next((one.moves[0].drive for one in sequence.steps if one.id == thing and one.moves), None)
        on = next((one.id for one in project.drives if one.on == thing), None)
        found = next((one for one in (thing, moved, on) if one in dict(self._things)), None)
        if found is not None:
            self._rows[0].pick(found)

    def _drawn(self) -> Sequence | None:
        """The sequence as drawn, also while a trial of it is shown."""
        project, shown = self._session.project, self._session.sequence
        if project is None or shown is None:
            return None
        return by_id(project.sequences, shown.id)

    def _moment(self) -> float:
        """The scrubbed moment, or half way through where that is the start."""
        sequence = self._drawn()
        seconds = lay_out(sequence).seconds if sequence is not None else 0.0
        moment = min(self._session.moment, seconds)
        return round(moment if moment > 0.0 else 0.5 * seconds, 3)

    def _try(self) -> None:
        sequence, faults = self._drawn(), [row.fault for row in self._rows]
        named = [one for one in faults if one is not None]
        if sequence is not None and named:
            self.wanted.emit(Trial(sequence.id, together(named), self.waits.isChecked() and self.waits.isEnabled()))


def things_that_fail(project: Project, sequence: Sequence) -> Things:
    """The drives that a sequence moves, the latches that it works, and itself: ids with words."""
    names = {one.id: name_of(one) for one in (*project.drives, *project.connections)} | {WHOLE: "The whole sequence"}
    return tuple((one, names.get(one, one)) for one in ways_to_fail(sequence))
