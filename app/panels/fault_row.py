"""One fault: what fails, how, and by how much."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from collections.abc import Sequence as SequenceOf
from dataclasses import dataclass

from PySide6.QtCore import QObject, QSignalBlocker, Signal
from PySide6.QtWidgets import QGridLayout

from app.panels.readings import read_seconds, read_share, write_number
from app.widgets.button import Button
from app.widgets.choice import Choice
from app.widgets.value_field import ValueField
from core.document.project import Sequence
from core.trials.every import LATE, SLOW
from core.trials.fault import Back, Late, NotEngaging, NotReleasing, Single, Slow, Stuck

Things = SequenceOf[tuple[str, str]]
"""Ids with words."""
WHOLE = ""
"""Stands for the whole sequence among the things that may fail."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _How:
    """One way to fail: its words, what it makes of an amount, and that amount's unit; without one it needs none."""

    words: str
    make: Callable[[str, float], Single]
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
NOT_ENGAGING = _How(words="not engaging", make=lambda latch, _amount: NotEngaging(latch))
NOT_RELEASING = _How(words="not releasing", make=lambda latch, _amount: NotReleasing(latch))
OF_WHOLE = (_How(words="stopped at a moment and run back", make=lambda _whole, amount: Back(amount), unit="s"),)


Ways = tuple[_How, ...]


def ways_to_fail(sequence: Sequence) -> dict[str, Ways]:
    """How each drive that a sequence moves, each latch that it works, and it itself can fail; nothing of one without
    steps."""
    if not sequence.steps:
        return {}
    ways: dict[str, Ways] = {move.drive: OF_DRIVE for step in sequence.steps for move in step.moves}
    engaged = {one for step in sequence.steps for one in step.engage}
    released = {one for step in sequence.steps for one in step.release}
    for latch in dict.fromkeys(one for step in sequence.steps for one in (*step.engage, *step.release)):
        ways[latch] = (*((NOT_ENGAGING,) * (latch in engaged)), *((NOT_RELEASING,) * (latch in released)))
    return {**ways, WHOLE: OF_WHOLE}


class FaultRow(QObject):
    """Four widgets in a row of a grid; `moment` answers the moment that is offered first."""

    changed = Signal()
    """Something else fails."""
    entered = Signal()
    """An amount was typed."""
    unwanted = Signal()

    def __init__(self, moment: Callable[[], float], number: int) -> None:
        super().__init__()
        self._moment = moment
        self._things: Things = ()
        self._ways: Mapping[str, Ways] = {}
        self._hows: Ways = ()
        self._wish: tuple[str | None, str, float | None] = (None, "", None)
        """What was picked last: the thing, the words of how, and an amount that was typed. It may not be there for a
        while, in another sequence."""
        which = "" if number == 0 else f", fault {number + 1}"
        self.what, self.how = Choice(f"What fails{which}"), Choice(f"How it fails{which}")
        self.amount = ValueField(f"By how much{which}", read=read_share, write=write_number)
        self.remove = Button("Leave out", "Leave this fault out of what is tried", look="segment")
        self.remove.setAccessibleName(f"Leave out fault {number + 1}")
        self.what.currentIndexChanged.connect(self._on_what)
        self.how.currentIndexChanged.connect(self._on_how)
        self.amount.entered.connect(self._on_amount)
        self.remove.clicked.connect(self.unwanted)

    def put_into(self, grid: QGridLayout, row: int) -> None:
        for column, part in enumerate((self.what, self.how, self.amount)):
            grid.addWidget(part, row, column)

    def take_out(self, grid: QGridLayout) -> None:
        for part in (self.what, self.how, self.amount, self.remove):
            grid.removeWidget(part)
            part.deleteLater()

    # ---- what is offered -----------------------------------------------------------------------------------------

    def offer(self, things: Things, ways: Mapping[str, Ways]) -> None:
        """These may fail, in these ways; what was picked stays, and is there again after it was not for a while."""
        (picked, how, amount), keys = self._wish, [key for key, _ in things]
        self._things, self._ways = things, ways
        with QSignalBlocker(self.what):
            self.what.clear()
            self.what.addItems([words for _, words in things])
            self.what.setCurrentIndex(keys.index(picked) if picked in keys else 0)
        self._offer_hows(how if picked in keys else "")
        if amount is not None and picked in keys and self._how().words == how:
            self.amount.set_value(amount)
        if picked is None and self.thing is not None:
            self._wish = (self.thing, self._how().words, None)
        self.changed.emit()

    def pick(self, thing: str) -> None:
        self.what.setCurrentIndex([key for key, _ in self._things].index(thing))

    @property
    def thing(self) -> str | None:
        row = self.what.currentIndex()
        return self._things[row][0] if 0 <= row < len(self._things) else None

    @property
    def is_drive(self) -> bool:
        return self._hows is OF_DRIVE

    @property
    def fault(self) -> Single | None:
        """What is picked."""
        thing = self.thing
        return None if thing is None else self._how().make(thing, float(self.amount.value))

    def _on_what(self) -> None:
        self._offer_hows(self._how().words)
        self._wish = (self.thing, self._how().words, None)
        self.changed.emit()

    def _on_how(self) -> None:
        self._show_amount()
        self._wish = (self.thing, self._how().words, None)

    def _on_amount(self, amount: float) -> None:
        self._wish = (self.thing, self._how().words, amount)
        self.entered.emit()

    def _offer_hows(self, picked: str) -> None:
        """How the thing can fail: as it was picked, where it can fail so."""
        self._hows = self._ways.get(self.thing or WHOLE, OF_WHOLE)
        words = [one.words for one in self._hows]
        with QSignalBlocker(self.how):
            self.how.clear()
            self.how.addItems(words)
            self.how.setCurrentIndex(words.index(picked) if picked in words else 0)
        self._show_amount()

    def _show_amount(self) -> None:
        how = self._how()
        self.amount.setEnabled(bool(how.unit))
        read = read_seconds if how.unit == "s" else read_share
        self.amount.set_reading(read, write_number if how.unit else lambda _value: "", how.unit)
        self.amount.set_value(how.usual or self._moment())

    def _how(self) -> _How:
        return self._hows[max(0, self.how.currentIndex())]
