"""The tray of tools above the sheet, and below it the line that says what the tool expects, with its numbers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from types import MappingProxyType

from PySide6.QtCore import QEvent, QObject, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPalette, QResizeEvent
from PySide6.QtWidgets import QComboBox, QGridLayout, QHBoxLayout, QLabel, QLineEdit, QMenu, QSizePolicy, QWidget

from app.sheet.bench import ROLE_NAMES, Bench
from app.sheet.glyph_buttons import SIDE, WordedGlyph
from app.sheet.tool_glyphs import glyph_icon
from app.sheet.toolbox import GROUPS, TOOLS
from app.sheet.tools.tool import Field, Tool, Unit
from app.widgets.offers import Offers, OffersButton
from core.errors import UnreadableQuantity
from core.units import format_angle, format_length, parse_angle, parse_length, parse_number

SHORT: Mapping[str, str] = MappingProxyType({
    "outline": "Outline", "box": "Rectangle", "circle": "Circle", "wheel": "Wheel", "bar": "Bar", "wall": "Wall",
    "hole": "Hole", "pivot": "Pivot", "slide": "Slide", "rod": "Rod", "jack": "Jack", "reshape": "Reshape",
    "move": "Move", "turn": "Turn", "measure-distance": "Distance", "pull": "Pull",
})  # fmt: skip
"""Tools that have a button of their own where there is room for it, and its word; every tool is under its group's."""
FIRST = (
    "pull", "outline", "pivot", "rod", "circle", "box", "jack", "reshape", "wall", "wheel", "move", "bar", "hole",
    "turn", "slide", "measure-distance",
)  # fmt: skip
"""In what order they get the room there is."""
KEPT = 3
"""Of these, how many are rather kept with their words than the groups that the menus hold as well; signs alone all."""
BESIDE = ("Measure", "Fit")
FEW = 6
"""Tools: where fewer have room with their words, they are shown without."""


LINE_HEIGHT = 58
"""Pixels: three lines of words, or a number under its label, so that the sheet keeps its size whatever a tool says."""
HINT_WIDTH = 118
"""Pixels that the words keep where the sheet is narrow."""
NUMBER_WIDTHS = (62, 92)
"""Pixels of a number's field, from where the sheet is narrow to where there is room."""


class Tray(QWidget):
    """A button for each tool that is used all the time, and a menu for the others of each group."""

    wanted = Signal(str)
    """The id of a tool to take up; empty to put it away."""
    snapping_wanted = Signal()
    """What the hand is drawn to is to be chosen."""

    def __init__(self, bench: Bench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self.buttons: dict[str, WordedGlyph] = {}
        self._menus: list[QMenu] = []
        row = QHBoxLayout(self)
        row.setContentsMargins(6, 0, 6, 3)
        row.setSpacing(0)
        groups = {group: self._all_of(group) for group in GROUPS}
        for group in GROUPS:
            row.addWidget(groups[group])
            for tool in (TOOLS[one] for one in SHORT if TOOLS[one].group == group):
                row.addWidget(self._tool_button(tool.id))
        row.addStretch(1)
        tip = "What is drawn becomes part of the chosen body instead of a body of its own"
        self.into = WordedGlyph("into", "Into body", tip, checkable=True)
        self.into.setAccessibleName("Into the chosen body")
        self.into.toggled.connect(self._take_into)
        row.addWidget(self.into)
        row.addWidget(self._make_role())
        self.snap = WordedGlyph("snap", "Snap: off", checkable=True)
        self.snap.clicked.connect(bench.set_snapping)
        self.snap_more = WordedGlyph("more", "Grid", "What the hand is drawn to, and the grid")
        self.snap_more.setAccessibleName("Snapping and grid")
        self.snap_more.clicked.connect(self.snapping_wanted)
        row.addWidget(self.snap)
        row.addWidget(self.snap_more)
        bench.snapping_changed.connect(self._show_snapping)
        self._show_snapping()
        tools = [self.buttons[one] for one in reversed(FIRST)]
        self._of_tools = frozenset(self.buttons.values())
        beside = [groups[one] for one in BESIDE]
        self._spare: list[QWidget] = [*tools[:-KEPT], *beside, *tools[-KEPT:], self.into]
        self._spare_as_signs: list[QWidget] = [*beside, *tools, self.into]
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)

    def _make_role(self) -> QComboBox:
        self.role = QComboBox()
        self.role.setAccessibleName("Role of the next body")
        self.role.setToolTip("What the next body is; a bay is fixed to the airframe")
        for role, name in ROLE_NAMES.items():
            self.role.addItem(name, role)
        self.role.activated.connect(self._take_role)
        return self.role

    def minimumSizeHint(self) -> QSize:
        return QSize(120, super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Where few tools have room with their words, all are shown by their signs; what there is no room for even so
        is left out, the last buttons first; the menus hold every tool."""
        super().resizeEvent(event)
        self._show_words(True)
        left_out = self._left_out(self._spare)
        if len(self.buttons) - sum(one in self._of_tools for one in left_out) < FEW:
            self._show_words(False)
            left_out = self._left_out(self._spare_as_signs)
        for one in self._spare:
            one.setVisible(one not in left_out)

    def _show_words(self, on: bool) -> None:
        for one in (*self.buttons.values(), self.into, self.snap):
            one.show_word(on)

    def _left_out(self, spare: list[QWidget]) -> list[QWidget]:
        """What has no room, of what can be spared, the first first."""
        layout = self.layout()
        assert layout is not None
        every = [item.widget() for item in (layout.itemAt(n) for n in range(layout.count())) if item is not None]
        need = sum(one.sizeHint().width() for one in every if one is not None) + 12
        left_out = []
        for one in spare:
            if need > self.width():
                left_out.append(one)
                need -= one.sizeHint().width()
        return left_out

    def tell(self, tips: Mapping[str, str]) -> None:
        """What each tool does, with its keys, as the menus say it."""
        for tool, tip in tips.items():
            self.buttons[tool].setToolTip(tip)

    def show_tool(self, tool: str) -> None:
        """Which tool is at work."""
        for one, button in self.buttons.items():
            button.setChecked(one == tool)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._ink_menus()

    def _show_snapping(self) -> None:
        on = self._bench.snapping.on
        self.snap.setChecked(on)
        self.snap.set_glyph("snap" if on else "snap-off")
        self.snap.setText("Snap: on" if on else "Snap: off")
        self.snap.setAccessibleName(self.snap.text())
        does = "Have" if not on else "No longer have"
        self.snap.setToolTip(f"{does} the hand drawn to corners, edges, pivots and the grid; Alt held suspends it  (N)")

    def _tool_button(self, tool: str) -> WordedGlyph:
        button = WordedGlyph(tool, SHORT[tool], checkable=True, parent=self)
        button.setAccessibleName(f"{SHORT[tool]} tool")
        button.clicked.connect(lambda on: self.wanted.emit(tool if on else ""))
        self.buttons[tool] = button
        return button

    def _all_of(self, group: str) -> WordedGlyph:
        """What opens the menu of a group's tools."""
        button = WordedGlyph("more", group, f"All tools: {group.lower()}", parent=self)
        font = button.font()
        font.setBold(True)
        button.setFont(font)
        button.setAccessibleName(f"All tools: {group}")
        menu = QMenu(button)
        for tool in TOOLS.values():
            if tool.group == group:
                menu.addAction(tool.words, partial(self.wanted.emit, tool.id)).setData(tool.id)
        self._menus.append(menu)
        button.clicked.connect(lambda: menu.popup(button.mapToGlobal(button.rect().bottomLeft())))
        return button

    def _ink_menus(self) -> None:
        """The glyphs before the words of the menus, in the palette's ink."""
        palette = self.palette()
        ink, ground = palette.color(QPalette.ColorRole.Text), palette.color(QPalette.ColorRole.Base)
        for action in (one for menu in self._menus for one in menu.actions()):
            action.setIcon(glyph_icon(action.data(), ink, ground, SIDE))

    def _take_role(self, number: int) -> None:
        self._bench.role = self.role.itemData(number)

    def show_role(self) -> None:
        self.role.setCurrentIndex(list(ROLE_NAMES).index(self._bench.role))

    def _take_into(self, on: bool) -> None:
        self._bench.into_chosen = on


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
        self._unit, self._scale = "mm", 1.0
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

    def set_unit(self, unit: str, scale: float) -> None:
        self._unit, self._scale = unit, scale

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
                values[field.id] = self._read(field, line.text())
            except (UnreadableQuantity, ValueError) as error:
                line.refuse(str(error))
                self.hint.setText(str(error))
                return
        for line in self._lines.values():
            line.setModified(False)
        self.left.emit()
        self.entered.emit(values)

    def _read(self, field: Field, text: str) -> float:
        if field.unit is Unit.NAME and self._tool is not None:
            return self._tool.read(field.id, text)
        if field.unit is Unit.ANGLE:
            return parse_angle(text)
        if field.unit is Unit.COUNT:
            return parse_number(text)
        return parse_length(text, unit=self._unit, scale=self._scale)

    def _written(self, field: Field) -> str:
        if field.value is None:
            return ""
        if field.unit is Unit.ANGLE:
            return format_angle(field.value)
        return f"{field.value:g}" if field.unit is Unit.COUNT else format_length(field.value, unit=self._unit)


class _NumberLine(QLineEdit):
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
        self.textEdited.connect(lambda _text: self.refuse(""))
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


class Choices(QObject):
    """A menu where several things can be meant."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._parent = parent
        self.menu: QMenu | None = None

    def offer(self, choices: tuple[tuple[str, Callable[[], object]], ...], at: object) -> QMenu:
        menu = QMenu(self._parent)
        for words, does in choices:
            menu.addAction(words, does)
        self.menu = menu
        menu.popup(at)  # type: ignore[arg-type]
        return menu
