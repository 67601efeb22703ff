"""A form of values that can be typed or picked, each ending in an edit; what would make the project senseless is
refused beside the field.
"""

from __future__ import annotations

from dataclasses import replace as reworded
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QApplication, QGridLayout, QLabel, QVBoxLayout, QWidget

from app.panels.entry import Entry
from app.panels.fact_table import LABEL_WIDTH
from app.panels.readings import unit_beside
from app.session import Session
from app.widgets.choice import Choice
from app.widgets.emptying import empty
from app.widgets.reason import Reason
from app.widgets.value_field import ValueField
from core.document.checks import new_problems
from core.document.problem_words import in_names
from core.units import LENGTH_UNITS

QWIDGETSIZE_MAX = (1 << 24) - 1
"""Qt's own: a widget as wide as it comes."""
SHORTEST_CHOICE = 6
"""Letters of a choice that are seen at the least: a long one must not push the form's edge out of sight."""

SECONDS_STEP = 0.05
"""What an arrow key changes a time by; other numbers by one millimetre, degree or whatever they count."""


class EntryForm(QWidget):
    """Made anew only when it shows another thing or other rows, so that the keyboard keeps its place."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._of = ""
        self._shown: tuple[object, ...] = ()
        self._entries: dict[str, Entry] = {}
        self.fields: dict[str, ValueField] = {}
        self.picks: dict[str, Choice] = {}
        self.reasons: dict[str, Reason] = {}
        """Why what was picked last was refused."""
        self._rows: tuple[tuple[str, QLabel, QWidget], ...] = ()
        self._below: tuple[bool, ...] = ()
        """Which rows stand below their labels."""
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(12)
        self._grid.setVerticalSpacing(8)
        self._grid.setColumnMinimumWidth(0, LABEL_WIDTH)
        self._grid.setColumnStretch(1, 1)

    def show_entries(self, of: str, entries: tuple[Entry, ...]) -> None:
        """The values of a thing; `of` says which."""
        self._entries = {entry.key: entry for entry in entries}
        shown = (of, *(entry.look for entry in entries))
        at = None
        if shown != self._shown:
            at = self._row_with_keyboard() if of == self._of else None
            self._of, self._shown = of, shown
            self._refill(entries)
        for entry in entries:
            if entry.choices:
                pick = self.picks[entry.key]
                pick.setCurrentIndex([value for value, _ in entry.choices].index(entry.value))
            else:
                self.fields[entry.key].line.setPlaceholderText(entry.empty)
                self.fields[entry.key].set_value(entry.value)
        self._lay_out()
        self._give_keyboard(at)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._lay_out()

    def _refill(self, entries: tuple[Entry, ...]) -> None:
        empty(self._grid)
        self.fields, self.picks, self.reasons = {}, {}, {}
        rows = []
        for entry in entries:
            field, buddy = self._pick(entry) if entry.choices else self._field(entry)
            name = QLabel(f"{entry.label}\n({entry.note})" if entry.note else entry.label)
            name.setObjectName("factLabel")
            name.setWordWrap(True)
            name.setAlignment(Qt.AlignmentFlag.AlignTop)
            name.setContentsMargins(0, 5, 0, 0)
            name.setBuddy(buddy)
            rows.append((entry.key, name, field))
        self._rows, self._below = tuple(rows), ()

    def _row_with_keyboard(self) -> tuple[int, str] | None:
        """Which row is typed or picked in, by its number and key."""
        focus = QApplication.focusWidget()
        rows = (
            (number, key) for number, (key, _name, field) in enumerate(self._rows)
            if focus is not None and field.isAncestorOf(focus)
        )  # fmt: skip
        return next(rows, None)

    def _give_keyboard(self, at: tuple[int, str] | None) -> None:
        """To the row that had it before all were made anew, or where that is gone, to what stands in its place."""
        if at is None or not self._rows:
            return
        number, key = at
        found = next((one for one in self._rows if one[0] == key), self._rows[min(number, len(self._rows) - 1)])
        found[2].show()  # at once, so that what is typed next goes there
        if (buddy := found[1].buddy()) is not None:
            buddy.setFocus(Qt.FocusReason.OtherFocusReason)

    def _lay_out(self) -> None:
        """Every value beside its label, or below it where that would cut it short."""
        room = self.width() - LABEL_WIDTH - self._grid.horizontalSpacing()
        shown = (self.picks.get(key) or self.fields[key] for key, _name, _field in self._rows)
        below = tuple(one.whole_width > room for one in shown)
        if below == self._below:
            return
        self._below = below
        for number, ((_key, name, field), wide) in enumerate(zip(self._rows, below, strict=True)):
            for part in (name, field):
                self._grid.removeWidget(part)
            # As the facts below the form, so that all values stand in one column.
            name.setMinimumWidth(0 if wide else LABEL_WIDTH)
            name.setMaximumWidth(QWIDGETSIZE_MAX if wide else LABEL_WIDTH)
            self._grid.addWidget(name, 2 * number, 0, 1, 1 + wide, Qt.AlignmentFlag.AlignTop)
            self._grid.addWidget(field, 2 * number + wide, 0 if wide else 1, 1, 1 + wide)

    def _field(self, entry: Entry) -> tuple[QWidget, QWidget]:
        key = entry.key

        def sensible(text: str) -> Any:
            value = self._entries[key].read(text)
            if why := self._why_not(key, value):
                raise ValueError(why)
            return value

        def written(value: Any) -> str:
            """As the row writes it now, which may change while the field stays."""
            return self._entries[key].write(value)

        field = ValueField(
            f"{entry.label} {entry.note}".strip(), read=sensible, write=written, unit=unit_beside(entry.unit),
            words=entry.words, prose=entry.prose,
            step=SECONDS_STEP if entry.unit == "s" else entry.step,
            offers=(lambda: self._entries[key].offers) if entry.offers else None,
        )  # fmt: skip
        field.entered.connect(lambda value: self._push(key, value))
        field.tried.connect(lambda value: self._session.propose(self._entries[key].edit(value)))
        field.given_up.connect(self._session.withdraw)
        self.fields[key] = field
        return field, field.line

    def _pick(self, entry: Entry) -> tuple[QWidget, QWidget]:
        key, choices = entry.key, entry.choices
        pick = Choice(entry.label)
        pick.narrow(SHORTEST_CHOICE)
        pick.addItems([words for _, words in choices])
        pick.activated.connect(lambda row: self._take(key, choices[row][0]))
        self.picks[key] = pick
        reason = self.reasons[key] = Reason()
        both = QWidget()
        column = QVBoxLayout(both)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addWidget(pick)
        column.addWidget(reason)
        return both, pick

    def _take(self, key: str, value: object) -> None:
        """Push what was picked; where that makes no sense, say so beside it and show the old one again."""
        why = self._why_not(key, value)
        self.reasons[key].say(why)
        if why:
            entry = self._entries[key]
            self.picks[key].setCurrentIndex([one for one, _ in entry.choices].index(entry.value))
        else:
            self._push(key, value)

    def _why_not(self, key: str, value: object) -> str:
        """What would make no sense in the project with a value; empty where all does."""
        project = self._session.project
        if project is None:
            return ""
        changed = self._entries[key].edit(value).apply(project)
        broken = new_problems(project, changed)
        if not broken:
            return ""
        wrong = _in_its_unit(self._entries[key], value, broken[0].wrong)
        return in_names(changed, reworded(broken[0], wrong=wrong))

    def _push(self, key: str, value: object) -> None:
        self._session.push(self._entries[key].edit(value))


def _in_its_unit(entry: Entry, value: object, words: str) -> str:
    """What begins with the number that was typed, as the file has it, told as the field has it."""
    ways = (f"{value:g}", f"{value:.10g}") if isinstance(value, float) else ()
    told = next((one for one in ways if words.startswith(f"{one} ")), None)
    if told is None:
        return words
    written = entry.write(value)
    if entry.unit in LENGTH_UNITS and not written[-1].isalpha():  # feet and inches say what they are
        written += f" {entry.unit}"
    return written + words.removeprefix(told)
