"""A small sheet of switches: what the hand is drawn to, and the grid, which is typed."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QCheckBox, QFrame, QGridLayout, QLabel, QVBoxLayout, QWidget

from app.sheet.bench import Bench
from app.sheet.snap_choice import WORDS
from app.widgets.value_field import Refused, ValueField
from core.document.lengths import IMPERIAL, length_unit, plain_unit
from core.errors import UnreadableQuantity
from core.sketch.grids import COARSEST, FINEST
from core.sketch.snap_targets import Kind
from core.units import format_length, parse_length

ABREAST = 2
PARTS = 64
"""Of an inch, that a grid may be written in; one that is none of them is written with decimals."""


class SnapPopup(QFrame):
    """Closes when something else is pressed, or with Escape; each switch takes hold at once."""

    def __init__(self, bench: Bench, parent: QWidget) -> None:
        super().__init__(parent, Qt.WindowType.Popup)
        self.setObjectName("popup")
        self.setAccessibleName("Snapping and grid")
        self._bench = bench
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 12, 14, 12)
        column.setSpacing(9)
        self.on = QCheckBox("Snap, except while Alt is held")
        self.on.toggled.connect(bench.set_snapping)
        column.addWidget(self.on)
        self.kinds: dict[Kind, QCheckBox] = {}
        grid = QGridLayout()
        grid.setHorizontalSpacing(18)
        for number, (kind, words) in enumerate(WORDS.items()):
            self.kinds[kind] = box = QCheckBox(words)
            box.toggled.connect(partial(self._take, kind))
            grid.addWidget(box, number // ABREAST, number % ABREAST)
        column.addLayout(grid)
        label = QLabel("Squares of the grid, in any unit, or none")
        label.setObjectName("soft")
        column.addWidget(label)
        self.grid = ValueField("Squares of the grid", read=self._read, write=self._write, words=True)
        self.grid.entered.connect(bench.set_grid)
        column.addWidget(self.grid)
        bench.snapping_changed.connect(self.refresh)
        self.refresh()

    def show_at(self, at: QPoint) -> None:
        """With its upper right corner at a place of the screen, kept on the screen."""
        self.refresh()
        self.adjustSize()
        room = self.screen().availableGeometry()
        left = min(max(at.x() - self.width(), room.left()), room.right() - self.width())
        self.move(left, min(at.y(), room.bottom() - self.height()))
        self.show()
        self.on.setFocus(Qt.FocusReason.PopupFocusReason)

    def refresh(self) -> None:
        choice = self._bench.snapping
        self.on.setChecked(choice.on)
        for kind, box in self.kinds.items():
            box.setChecked(kind in choice.kinds)
            box.setEnabled(choice.on)
        # 0 stands for none: a field shows nothing at all before it has a value
        self.grid.set_value(self._bench.grid or 0.0)

    def _take(self, kind: Kind, on: bool) -> None:
        self._bench.set_snapping_to(kind, on)

    def _read(self, text: str) -> float:
        """Millimetres; 0 for no grid."""
        if text.lower() in ("none", "0", "-", ""):
            return 0.0
        project = self._bench.project
        unit, scale = ("mm", 1.0) if project is None else (plain_unit(project), project.aircraft.scale)
        try:
            grid = parse_length(text, unit=unit, scale=scale)
        except UnreadableQuantity as error:
            raise Refused(f"{error.wrong}; {error.right}", error.marked) from None
        if not FINEST <= grid <= COARSEST:
            finest, coarsest = (format_length(one, unit=unit, decimals=4) for one in (FINEST, COARSEST))
            raise ValueError(f"a grid has squares of {finest} to {coarsest}, or is none")
        return grid

    def _write(self, grid: float) -> str:
        project = self._bench.project
        unit = "mm" if project is None else length_unit(project)
        if not grid:
            return "none"
        parts = grid / 25.4 * PARTS
        if unit in IMPERIAL and abs(parts - round(parts)) < 1e-9:
            return format_length(grid, unit=unit, fraction=PARTS)
        return format_length(grid, unit=unit, decimals=4)
