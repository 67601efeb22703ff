"""The row over the sheet: the views by name, where the pointer is, and how large the model stands."""

from __future__ import annotations

import math

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QLabel, QSizePolicy, QToolButton, QWidget

from app.widgets.glyph_button import GlyphButton
from app.widgets.plain import plain
from core.document.lengths import length_unit
from core.document.names import name_of
from core.document.project import Point, Project, View
from core.sketch.laying import READINGS, reading
from core.units import LENGTH_UNITS, format_length

MOST_DECIMALS = 4
"""Of the pointer's place; finer than what a body can be made to."""
MOST_NEEDED = 560
"""Pixels: in a narrower row names are cut short."""


class SheetHead(QWidget):
    """Says and offers; what is shown is the sheet's."""

    view_wanted = Signal(str)
    two_wanted = Signal(bool)
    fit_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._views = QButtonGroup(self)
        self._views.buttonClicked.connect(lambda button: self.view_wanted.emit(button.property("view")))
        self.two = QToolButton(self)
        self.two.setText("Two views")
        self.two.setCheckable(True)
        self.two.setToolTip("Show two views side by side")
        self.two.clicked.connect(self.two_wanted)
        self.pointer = QLabel(self)
        self.pointer.setTextFormat(Qt.TextFormat.PlainText)
        self.pointer.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        # Where the pointer is may be cut short, before the views' names are, and nothing may move while it runs.
        self.pointer.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.scale = QLabel(self)
        self.scale.setToolTip("100 % is as large as the model will be, if the desktop knows its screen's resolution")
        self.fit = GlyphButton("whole", self)
        self.fit.setAccessibleName("Fit the view")
        self.fit.setToolTip("Fit the view  (0)")
        self.fit.clicked.connect(self.fit_wanted)
        self._lay_out()

    def minimumSizeHint(self) -> QSize:
        """Long names of views must not take the room that the details need to be read."""
        least = super().minimumSizeHint()
        return QSize(min(least.width(), MOST_NEEDED), least.height())

    def _lay_out(self) -> None:
        self._row = QHBoxLayout()
        self._row.setSpacing(2)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(6, 3, 8, 3)
        layout.setSpacing(2)
        layout.addLayout(self._row)
        layout.addWidget(self.two)
        layout.addWidget(self.pointer, 1)
        layout.addSpacing(8)
        layout.addWidget(self.scale)
        layout.addWidget(self.fit)

    def show_views(self, views: tuple[View, ...], looked_at: str | None, *, two: bool) -> None:
        """A button a view, the one that is looked at pressed in."""
        self._make_buttons([(view.id, name_of(view)) for view in views])
        for button in self._views.buttons():
            button.setChecked(button.property("view") == looked_at)
        self.two.setVisible(len(views) > 1)
        self.two.setChecked(two)
        self.fit.setEnabled(looked_at is not None)

    def _make_buttons(self, wanted: list[tuple[str, str]]) -> None:
        if wanted == [(button.property("view"), button.toolTip()) for button in self._views.buttons()]:
            return
        for button in self._views.buttons():
            self._views.removeButton(button)
            self._row.removeWidget(button)
            button.deleteLater()
        for view, name in wanted:
            made = QToolButton(self)
            made.setText(plain(name))
            made.setToolTip(name)  # which may be cut short
            made.setProperty("view", view)
            made.setCheckable(True)
            made.setAutoRaise(True)
            self._views.addButton(made)
            self._row.addWidget(made)


def place_words(project: Project | None, view: View | None, at: Point, pixels: float) -> str:
    """Where the pointer is, and what that reads on the prototype where the view has a datum; a millimetre is so many
    pixels."""
    unit = "mm" if project is None else length_unit(project)
    # As many decimals as a pixel is worth, noughts and all: figures that run must not jump.
    decimals = decimals_of(pixels * LENGTH_UNITS["in" if unit == "ft" else unit])

    def told(value: float) -> str:
        return format_length(value, unit=unit, decimals=decimals, fixed=True)

    said = f"x {told(at[0])}    y {told(at[1])}"
    if project is not None and view is not None and (read := reading(view, project.aircraft.scale, at)):
        first, second = READINGS[view.plane]
        said += f"    {first} {told(read[0])}    {second} {told(read[1])}"
    return said


def decimals_of(pixels: float) -> int:
    """The decimals that tell one pixel from the next, where a unit is `pixels` long."""
    return min(max(math.ceil(math.log10(pixels) - 1e-9), 0), MOST_DECIMALS)
