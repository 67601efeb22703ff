"""The tray of tools above the sheet."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from types import MappingProxyType

from PySide6.QtCore import QEvent, QSize, Signal
from PySide6.QtGui import QPalette, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QMenu, QSizePolicy, QWidget

from app.sheet.bench import ROLE_NAMES, Bench
from app.sheet.glyph_buttons import SIDE, WordedGlyph
from app.sheet.tool_glyphs import glyph_icon
from app.sheet.toolbox import GROUPS, TOOLS
from app.widgets.choice import Choice

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

    def _make_role(self) -> Choice:
        self.role = Choice("Role of the next body")
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
