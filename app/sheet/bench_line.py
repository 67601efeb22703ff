"""The line below the sheet, which says what the tool expects, with its numbers."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QLineEdit, QSizePolicy, QWidget

from app.sheet.tools.tool import Field, Tool, Unit
from app.widgets.offers import Offers, OffersButton
from core.document.lengths import plain_unit, shown_length
from core.document.project import Project
from core.errors import UnreadableQuantity
from core.units import format_angle, parse_angle, parse_length, parse_number

LINE_HEIGHT = 58
"""Pixels: three lines of words, or a number under its label, so that the sheet keeps its size whatever a tool says."""
HINT_WIDTH = 118
"""Pixels that the words keep where the sheet is narrow."""
NUMBER_WIDTHS = (62, 92)
"""Pixels of a number's field, from where the sheet is narrow to where there is room."""
WIDEST, FRAME = 134, 24
"""Pixels of a field whose number is longer, as feet and inches are, and beside its number."""
WIDEST_TYPED = 190
"""Pixels of a field in which more is typed, as `1200 mm full size`."""


class BenchLine(QWidget):
    """What the tool expects, and its numbers, which can be typed."""

    entered = Signal(object)
    """{field: mm or degrees} of the numbers that were typed."""
    left = Signal()
    """The hand wants to go back to the sheet."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._tool: Tool | None = None
        self._fields: tuple[Field, ...] = ()
        self._lines: dict[str, _NumberLine] = {}
        self._project: Project | None = None
        row = QHBoxLayout(self)
        row.setContentsMargins(10, 3, 8, 3)
        row.setSpacing(6)
        self.hint = QLabel()
        self.hint.setTextFormat(Qt.TextFormat.PlainText)
        self.hint.setAccessibleName("What the tool expects")
        self.hint.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Ignored)
        self.hint.setWordWrap(True)
        self.hint.setMinimumWidth(HINT_WIDTH)
        row.addWidget(self.hint, 1)
        self.setFixedHeight(LINE_HEIGHT)
        self._row = row
        self.hide()

    def read_for(self, project: Project) -> None:
        """Read and write lengths as this project has them."""
        self._project = project

    def show_tool(self, tool: Tool | None) -> None:
        self._tool = tool
        self.setVisible(tool is not None)
        if tool is None:
            return
        self.hint.setText(tool.hint())
        self.hint.setToolTip(tool.hint())
        fields = tuple(tool.fields())
        if [one.id for one in fields] != [one.id for one in self._fields]:
            self._refill(fields)
        self._fields = fields
        for field in fields:
            self._lines[field.id].put(self._written(field))

    def begin(self, text: str) -> bool:
        """A digit was typed on the sheet: it goes to the first number. With no text, that number is to be typed."""
        if not self._fields:
            return False
        line = self._lines[self._fields[0].id]
        line.setFocus(Qt.FocusReason.ShortcutFocusReason)
        if text:
            line.setText(text)
            line.setModified(True)
        else:
            line.selectAll()
        return True

    def _refill(self, fields: tuple[Field, ...]) -> None:
        for line in self._lines.values():
            self._row.removeWidget(line.cell)
            line.cell.hide()
            line.cell.deleteLater()
        self._lines = {}
        for field in fields:
            line = _NumberLine(field.words, field.offers)
            line.returnPressed.connect(self._take)
            line.given_up.connect(self.left)
            self._lines[field.id] = line
            self._row.addWidget(line.cell)
            line.cell.show()  # at once, so that what is typed next goes there

    def _take(self) -> None:
        """Every number that was typed, all or none."""
        values: dict[str, float] = {}
        for field in self._fields:
            line = self._lines[field.id]
            if not line.isModified():
                continue
            try:
                values[field.id] = self._sensible(field, line.text())
            except (UnreadableQuantity, ValueError) as error:
                line.refuse(str(error))
                self.hint.setText(str(error))
                return
        for line in self._lines.values():
            line.setModified(False)
        self.left.emit()
        self.entered.emit(values)

    def _sensible(self, field: Field, text: str) -> float:
        value = self._read(field, text)
        if field.positive and value <= 0.0:
            raise UnreadableQuantity(text, 0, len(text), "this is 0 or less", "a size of more than 0")
        if field.positive and field.unit is Unit.LENGTH and self._written(replace(field, value=value)) == self._nothing:
            raise UnreadableQuantity(text, 0, len(text), "this is finer than can be told here", "more of it")
        return value

    @property
    def _nothing(self) -> str:
        return self._written(Field(id="", words="", value=0.0))

    def _read(self, field: Field, text: str) -> float:
        if field.unit is Unit.NAME and self._tool is not None:
            return self._tool.read(field.id, text)
        if field.unit is Unit.ANGLE:
            return parse_angle(text)
        if field.unit is Unit.COUNT:
            return parse_number(text)
        project = self._project
        if project is None:
            return parse_length(text)
        return parse_length(text, unit=plain_unit(project), scale=project.aircraft.scale)

    def _written(self, field: Field) -> str:
        if field.value is None:
            return ""
        if field.unit is Unit.ANGLE:
            return format_angle(field.value)
        if field.unit is Unit.COUNT or self._project is None:
            return f"{field.value:g}"
        return shown_length(self._project, field.value)


class _NumberLine(QLineEdit):
    """One of the numbers, under its label."""

    given_up = Signal()

    def __init__(self, words: str, offers: Offers = ()) -> None:
        super().__init__()
        self.offers = OffersButton(words, lambda: offers) if offers else None
        if self.offers is not None:
            self.offers.taken.connect(self._offered)
        self.label = QLabel(words)
        self.label.setObjectName("soft")
        self.label.setBuddy(self)
        self.setAccessibleName(words)
        self.setMinimumWidth(NUMBER_WIDTHS[0])
        self.setMaximumWidth(NUMBER_WIDTHS[1])
        self.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.textEdited.connect(self._on_edited)
        self.cell = self._make_cell()

    def _make_cell(self) -> QWidget:
        """The line under its label, with what is offered beside it."""
        cell = QWidget()
        grid = QGridLayout(cell)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(1)
        grid.addWidget(self.label, 0, 0)
        grid.addWidget(self, 1, 0)
        if self.offers is not None:
            grid.addWidget(self.offers, 1, 1)
        return cell

    def _offered(self, text: str) -> None:
        self.setText(text)
        self.setModified(True)
        self.returnPressed.emit()

    def put(self, text: str) -> None:
        """Show a value, unless someone is typing another."""
        if not (self.hasFocus() and self.isModified()) and not self.isModified():
            self.setText(text)
            self.setModified(False)
            self._make_room(text, WIDEST)

    def _on_edited(self, text: str) -> None:
        self.refuse("")
        self._make_room(text, WIDEST_TYPED)

    def _make_room(self, text: str, widest: int) -> None:
        """Let all of a text be seen; no narrower again while numbers run."""
        needed = min(self.fontMetrics().horizontalAdvance(text) + FRAME, widest)
        self.setMaximumWidth(max(self.maximumWidth(), needed))

    def refuse(self, why: str) -> None:
        self.setToolTip(why)
        self.setProperty("refused", bool(why))
        self.style().unpolish(self)
        self.style().polish(self)

    def event(self, event: QEvent) -> bool:
        """Letters that are typed here are no shortcuts of the window."""
        if event.type() == QEvent.Type.ShortcutOverride:
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.setModified(False)
            self.refuse("")
            self.given_up.emit()
        else:
            super().keyPressEvent(event)
