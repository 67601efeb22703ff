"""Which fault to try: what fails, how, and by how much."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QGridLayout, QLabel, QWidget

from app.panels.readings import read_number, read_seconds, write_number
from app.session import Session
from app.widgets.button import Button
from app.widgets.value_field import ValueField
from core.document.names import name_of
from core.document.project import Project, Sequence
from core.motion.schedule import lay_out
from core.trials.every import LATE, SLOW
from core.trials.fault import Back, Fault, Late, NotEngaging, NotReleasing, Slow, Stuck
from core.trials.trial import Trial

WHOLE = ""
"""Stands for the whole sequence among the things that may fail."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _How:
    """One way to fail: its words, what it makes of an amount, and that amount's unit; without one it needs none."""

    words: str
    make: Callable[[str, float], Fault]
    unit: str = ""
    usual: float = 0.0


OF_DRIVE = (
    _How(words="not moving at all", make=lambda drive, _amount: Stuck(drive)),
    _How(words="late by", make=Late, unit="s", usual=LATE),
    _How(
        words="slow, at a share of its speed", make=lambda drive, amount: Slow(drive, amount / 100.0), unit="%",
        usual=100.0 * SLOW,
    ),
    _How(words="stuck from a moment on", make=Stuck, unit="s"),
)  # fmt: skip
OF_LATCH = (
    _How(words="not engaging", make=lambda latch, _amount: NotEngaging(latch)),
    _How(words="not releasing", make=lambda latch, _amount: NotReleasing(latch)),
)
OF_WHOLE = (_How(words="stopped at a moment and run back", make=lambda _whole, amount: Back(amount), unit="s"),)


class TrialForm(QWidget):
    wanted = Signal(object)
    """A trial to show."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._things: tuple[tuple[str, str], ...] = ()
        self._hows: tuple[_How, ...] = ()
        self.what, self.how = QComboBox(), QComboBox()
        self.what.setAccessibleName("What fails")
        self.how.setAccessibleName("How it fails")
        self.amount = ValueField("By how much", read=read_number, write=write_number)
        self.waits = QCheckBox("What follows &waits until it has arrived")
        self.waits.setToolTip(
            "On: as by a sequencing valve, a step begins when what it follows is done. Off: as by a timer, it begins "
            "when it would have begun."
        )
        self.waits.setStatusTip(self.waits.toolTip())
        self.show_it = Button("Try it", "Show the sequence as it would run with this fault", look="segment")
        self._lay_out()
        self.what.currentIndexChanged.connect(self._on_what)
        self.how.currentIndexChanged.connect(self._on_how)
        self.show_it.clicked.connect(self._try)
        self.amount.entered.connect(lambda _value: self._try())
        for signal in (session.project_changed, session.sequence_changed):
            signal.connect(self.refresh)
        self.refresh()

    def _lay_out(self) -> None:
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(8)
        for column, words in enumerate(("What fails", "How", "By how much")):
            label = QLabel(words)
            label.setObjectName("factLabel")
            grid.addWidget(label, 0, column)
        for column, part in enumerate((self.what, self.how, self.amount, self.show_it)):
            grid.addWidget(part, 1, column)
        grid.addWidget(self.waits, 2, 0, 1, 4)
        for column, stretch in enumerate((3, 3, 2, 0)):
            grid.setColumnStretch(column, stretch)

    # ---- what is offered -----------------------------------------------------------------------------------------

    def refresh(self) -> None:
        """What the sequence moves and works; what was picked stays, while it is there."""
        project, sequence = self._session.project, self._drawn()
        things = things_that_fail(project, sequence) if project is not None and sequence is not None else ()
        if things == self._things:
            return
        picked = self.thing
        self._things = things
        self.what.blockSignals(True)
        self.what.clear()
        self.what.addItems([words for _, words in things])
        self.what.setCurrentIndex(max(0, [key for key, _ in things].index(picked) if picked in dict(things) else 0))
        self.what.blockSignals(False)
        self._on_what()
        self.setEnabled(bool(things))

    def pick(self, thing: str | None) -> None:
        """Offer what can fail of a thing that is chosen: a drive, what it drives, a latch, or a step that moves one."""
        project, sequence = self._session.project, self._drawn()
        if project is None or sequence is None:
            return
        moved = next((one.moves[0].drive for one in sequence.steps if one.id == thing and one.moves), None)
        on = next((one.id for one in project.drives if one.on == thing), None)
        keys = [key for key, _ in self._things]
        found = next((one for one in (thing, moved, on) if one in keys), None)
        if found is not None:
            self.what.setCurrentIndex(keys.index(found))

    def _drawn(self) -> Sequence | None:
        """The sequence as drawn, also while a trial of it is shown."""
        project, shown = self._session.project, self._session.sequence
        if project is None or shown is None:
            return None
        return next((one for one in project.sequences if one.id == shown.id), None)

    @property
    def thing(self) -> str | None:
        row = self.what.currentIndex()
        return self._things[row][0] if 0 <= row < len(self._things) else None

    def _on_what(self) -> None:
        project = self._session.project
        drives = {one.id for one in project.drives} if project is not None else set()
        hows = OF_WHOLE if self.thing == WHOLE else OF_DRIVE if self.thing in drives else OF_LATCH
        if hows is not self._hows:
            self._hows = hows
            self.how.blockSignals(True)
            self.how.clear()
            self.how.addItems([one.words for one in hows])
            self.how.blockSignals(False)
        self.waits.setEnabled(self.thing in drives)
        self._on_how()

    def _on_how(self) -> None:
        how = self._how()
        self.amount.setEnabled(bool(how.unit))
        read = read_seconds if how.unit == "s" else read_number
        self.amount.set_reading(read, write_number if how.unit else lambda _value: "", how.unit)
        self.amount.set_value(how.usual or self._moment())

    def _how(self) -> _How:
        return self._hows[max(0, self.how.currentIndex())]

    def _moment(self) -> float:
        """The scrubbed moment, or half way through where that is the start."""
        sequence = self._drawn()
        seconds = lay_out(sequence).seconds if sequence is not None else 0.0
        moment = min(self._session.moment, seconds)
        return round(moment if moment > 0.0 else 0.5 * seconds, 3)

    def _try(self) -> None:
        sequence, thing = self._drawn(), self.thing
        if sequence is not None and thing is not None:
            fault = self._how().make(thing, float(self.amount.value))
            self.wanted.emit(Trial(sequence.id, fault, self.waits.isChecked() and self.waits.isEnabled()))


def things_that_fail(project: Project, sequence: Sequence) -> tuple[tuple[str, str], ...]:
    """The drives that a sequence moves, the latches that it works, and itself: ids with words."""
    if not sequence.steps:
        return ()
    names = {one.id: name_of(one) for one in (*project.drives, *project.connections)}
    moved = dict.fromkeys(move.drive for step in sequence.steps for move in step.moves)
    worked = dict.fromkeys(one for step in sequence.steps for one in (*step.engage, *step.release))
    return (*((one, names.get(one, one)) for one in (*moved, *worked)), (WHOLE, "The whole sequence"))
