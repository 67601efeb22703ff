"""A value that can be typed: what is not understood is refused with the reason beside it, and the old value stays."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QWheelEvent
from PySide6.QtWidgets import QApplication, QHBoxLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from app.widgets.lent import escape, leave, wants_escape
from app.widgets.line import Line
from app.widgets.offers import Offers, OffersButton
from app.widgets.prose import Prose
from app.widgets.reason import Reason

Reading = Callable[[str], Any]
"""Text to a value: mostly a number; raises ValueError whose text is the reason for people."""
Writing = Callable[[Any], str]

SPACING = 6
_NOTHING_YET: Final = object()
STEPS: Final[dict[int, int]] = {Qt.Key.Key_Up: 1, Qt.Key.Key_Down: -1}


class Refused(ValueError):
    """Why a text is not taken, and the text with the place marked."""

    def __init__(self, reason: str, marked: str) -> None:
        super().__init__(reason)
        self.marked = marked


class _Line(Line):
    left = Signal()
    escaped = Signal()
    stepped = Signal(int)
    """Notches of the wheel, or presses of an arrow key; up counts as more."""

    def __init__(self) -> None:
        super().__init__()
        self.lent_by: QWidget | None = None

    @property
    def frame(self) -> int:
        """Pixels that it takes beside its words."""
        return self.sizeHint().width() - 17 * self.fontMetrics().horizontalAdvance("x")  # it wishes for so many letters

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        leave(self, event)

    def event(self, event: QEvent) -> bool:
        """Arrows step the value before they mean anything to the window."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            stepping = event.key() in STEPS and not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
            if stepping or wants_escape(self, event):
                event.accept()
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            escape(self, event)
        elif event.key() in STEPS:
            self.stepped.emit(STEPS[event.key()])
        else:
            super().keyPressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Only where the keyboard is: elsewhere a wheel scrolls past."""
        notches = round(event.angleDelta().y() / 120)
        if self.hasFocus() and notches:
            self.stepped.emit(notches)
            event.accept()
        else:
            event.ignore()


class ValueField(QWidget):
    """A line with a unit behind it and, when something was refused, the reason below it."""

    entered = Signal(object)
    """A new value that was understood."""
    tried = Signal(object)
    """A value that was stepped to; `entered` or `given_up` follows."""
    given_up = Signal()

    def __init__(
        self,
        name: str,
        *,
        read: Reading,
        write: Writing,
        unit: str = "",
        words: bool = False,
        prose: bool = False,
        step: float = 1.0,
        offers: Callable[[], Offers] | None = None,
        parent: QWidget | None = None,
    ) -> None:
        """`words` are written from the left, and have no unit; `prose` is words on as many lines as they take; arrow
        keys and the wheel change a number by `step`; `offers` are asked for when their menu is opened."""
        super().__init__(parent)
        self._read, self._write = read, write
        self._value: Any = _NOTHING_YET
        self._step, self._before = step, _NOTHING_YET
        """What stood there before it was stepped."""
        self._line = Prose() if prose else _Line()
        self._line.setAccessibleName(name)
        if isinstance(self._line, _Line):
            self._line.setAlignment(Qt.AlignmentFlag.AlignLeft if words else Qt.AlignmentFlag.AlignRight)
        self._unit = QLabel(unit)
        self._unit.setMinimumWidth(24)
        if words or not unit:
            self._unit.hide()
        self._reason = Reason()
        self.offers = None if offers is None else OffersButton(name, offers)
        self._lay_out()
        self._listen()

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.setSpacing(SPACING)
        row.addWidget(self._line, 1)
        row.addWidget(self._unit)
        if self.offers is not None:
            row.addWidget(self.offers)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addLayout(row)
        column.addWidget(self._reason)

    def _listen(self) -> None:
        if self.offers is not None:
            self.offers.taken.connect(self.enter)
        self._line.returnPressed.connect(self._take)
        self._line.left.connect(self._take)
        self._line.escaped.connect(self._give_up)
        self._line.stepped.connect(self._try)
        self._line.textEdited.connect(lambda _text: self._refuse(""))
        self._line.returnPressed.connect(self._give_back)
        self._line.escaped.connect(self._give_back)

    def type_anew(self) -> None:
        """Have the value typed. Enter and Escape give the keyboard back, so that a letter typed next is a key of the
        window again and not a part of the value."""
        before = QApplication.focusWidget()
        self._line.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self._line.selectAll()
        self._line.lent_by = before if before is not self._line else None

    def _give_back(self) -> None:
        lender = self._line.lent_by
        there = lender in QApplication.allWidgets()  # and not made anew because of what was typed
        if lender is not None and there and lender.isVisible() and not self.reason:
            lender.setFocus(Qt.FocusReason.OtherFocusReason)

    def set_reading(self, read: Reading, write: Writing, unit: str, *, step: float = 1.0) -> None:
        """Another way to read and write; what is shown is written anew."""
        self._read, self._write, self._step = read, write, step
        self._unit.setText(unit)
        self._unit.setHidden(not unit)
        if not self._line.isModified():
            self._put_back()

    @property
    def value(self) -> Any:
        """What is shown; None where that is none, or nothing was shown yet."""
        return None if self._value is _NOTHING_YET else self._value

    @property
    def line(self) -> QLineEdit | Prose:
        return self._line

    @property
    def whole_width(self) -> int:
        """Pixels in which all that it shows is seen: what stands in it, or what is said of its being empty."""
        line = self._line
        beside = [one for one in (self._unit, self.offers) if one is not None and not one.isHidden()]
        words = line.fontMetrics().horizontalAdvance(line.text() or line.placeholderText())
        return words + line.frame + sum(one.sizeHint().width() + SPACING for one in beside)

    @property
    def reason(self) -> str:
        """Why the last thing typed was refused; empty when nothing was."""
        return self._reason.text()

    def enter(self, text: str) -> None:
        """Take a text as if it had been typed."""
        self._line.setText(text)
        self._line.setModified(True)
        self._take()

    def set_value(self, value: Any, *, of_another: bool = False) -> None:
        """Show a value; what someone is typing is left alone, and so is why the last thing typed was refused, unless
        it was refused of another thing than that whose value this is."""
        typed = self._line.hasFocus() and self._line.isModified()
        if value == self._value and (typed or (self.reason and not of_another)):
            return
        self._value, self._before = value, _NOTHING_YET
        self._put_back()

    def _try(self, steps: int) -> None:
        """Show and tell of a value that is some steps on; it counts when it is entered or the keyboard goes on."""
        if isinstance(self._value, bool) or not isinstance(self._value, int | float):
            return
        try:
            value = self._read(self._write(self._value + steps * self._step))
        except ValueError as error:
            self._refuse(f"No further: {error}")
            return
        self._before = self._value if self._before is _NOTHING_YET else self._before
        self._value = value
        self._put_back()
        self._line.setModified(True)
        self.tried.emit(value)

    def _give_up(self) -> None:
        tried = self._end_trying(back=True)
        self._put_back()
        if tried:
            self.given_up.emit()

    def _end_trying(self, *, back: bool) -> bool:
        """Whether a value had been stepped to; the one before it comes `back`, or is forgotten."""
        before, self._before = self._before, _NOTHING_YET
        if back and before is not _NOTHING_YET:
            self._value = before
        return before is not _NOTHING_YET

    def _take(self) -> None:
        if self._value is _NOTHING_YET or not self._line.isModified():
            return
        text = self._line.text().strip()
        tried = self._end_trying(back=text != self._write(self._value))
        if text == self._write(self._value):
            self._put_back()
            if tried:
                self.entered.emit(self._value)
            return
        try:
            value = self._told(self._read(text))
        except ValueError as error:
            self._put_back()
            told = error.marked if isinstance(error, Refused) else text
            self._refuse(f"“{told}” is not taken: {error}" if text else f"{error}")
            if tried:
                self.given_up.emit()
            return
        self._value = value
        self._put_back()
        self.entered.emit(value)

    def _told(self, value: Any) -> Any:
        """The value; refused where it is a number so small that 0 would stand here."""
        if isinstance(value, float) and value != 0.0 and self._write(value) == self._write(0.0):
            raise ValueError("it is finer than can be told here; 0, or more")
        return value

    def _put_back(self) -> None:
        if self._value is not _NOTHING_YET:
            text, line = self._write(self._value), self._line
            if not line.hasFocus() or line.isModified() or line.text() != text:  # else somebody is about to type there
                self._line.setText(text)
                self._line.setCursorPosition(0)  # what is too long is read from its beginning
            self._line.setModified(False)
        self._refuse("")

    def _refuse(self, reason: str) -> None:
        self._reason.say(reason)
        if bool(self._line.property("refused")) is bool(reason):
            return
        self._line.setProperty("refused", bool(reason))
        self._line.style().unpolish(self._line)
        self._line.style().polish(self._line)
