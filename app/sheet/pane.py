"""One view with its rulers and its name."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from app.painting.pictures import Pictures
from app.painting.theme import Theme
from app.sheet.canvas import Canvas
from app.sheet.moment import ShownMoment
from app.widgets.ruler import BREADTH, Ruler
from app.widgets.sizes import fine
from core.document.lengths import plain_unit
from core.units import LENGTH_UNITS


class Pane(QWidget):
    """A canvas between two rulers that count in the project's unit, of feet and inches in inches."""

    def __init__(self, shown: ShownMoment, theme: Theme, pictures: Pictures, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = shown
        self.canvas = Canvas(shown, theme, pictures, self)
        self._across = Ruler(Qt.Orientation.Horizontal, self)
        self._up = Ruler(Qt.Orientation.Vertical, self)
        self._unit = QLabel("mm", self)
        self._unit.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._unit.setFixedSize(BREADTH, BREADTH)
        self._unit.setFont(fine(self._unit.font()))
        layout = QGridLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self._unit, 0, 0)
        layout.addWidget(self._across, 0, 1)
        layout.addWidget(self._up, 1, 0)
        layout.addWidget(self.canvas, 1, 1)
        self.canvas.placement_changed.connect(self._measure)
        self.canvas.pointer_moved.connect(self._point)
        self.canvas.pointer_left.connect(self._unpoint)
        shown.changed.connect(self._measure)
        self.set_theme(theme)
        self._measure()

    def set_theme(self, theme: Theme) -> None:
        self.canvas.set_theme(theme)
        for ruler in (self._across, self._up):
            ruler.set_colours(theme.paper_back, theme.text_soft, theme.accent)
        self._unit.setStyleSheet(f"background: {theme.paper_back}; color: {theme.text_soft};")

    def _measure(self) -> None:
        placement, scene = self.canvas.placement, self._shown.scene
        unit = plain_unit(scene.project) if scene is not None else "mm"
        pixels = placement.scale * LENGTH_UNITS[unit]
        self._unit.setText(unit)
        for ruler, origin in ((self._across, placement.x), (self._up, placement.y)):
            ruler.set_scale(origin, pixels, fractions=unit == "in")

    def _point(self, x: float, y: float) -> None:
        at = self.canvas.placement.to_device(x, y)
        self._across.set_pointer(at.x())
        self._up.set_pointer(at.y())

    def _unpoint(self) -> None:
        self._across.set_pointer(None)
        self._up.set_pointer(None)
