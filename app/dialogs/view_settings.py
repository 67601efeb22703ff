"""What a view is, and its datum: what its origin reads on the prototype, and which way the readings grow."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFormLayout, QLineEdit, QWidget

from app.dialogs.frame import Dialog
from app.widgets.choice import Choice
from core.document.lengths import plain_unit, shown_length
from core.document.names import name_of
from core.document.project import Datum, Point, Project, View
from core.errors import UnreadableQuantity
from core.sketch.laying import READINGS
from core.units import parse_length, parse_measured_length

GROWING = (("to the right", 1), ("to the left", -1))
RISING = (("upwards", 1), ("downwards", -1))


class DatumSettings(Dialog):
    chosen = Signal(object)
    """The datum, or None for none."""

    def __init__(self, view: View, project: Project, parent: QWidget) -> None:
        super().__init__(f"Datum of {name_of(view)}", parent)
        self._unit, self._scale = plain_unit(project), project.aircraft.scale
        first, second = READINGS[view.plane] if view.plane != "other" else ("across", "up")
        datum = view.datum or Datum(at=(0.0, 0.0), reads=(0.0, 0.0))
        self.add_text("A point of the view, and what it reads on the prototype at full size", "title")
        self.lines = {
            "x": QLineEdit(shown_length(project, datum.at[0])),
            "y": QLineEdit(shown_length(project, datum.at[1])),
            "first": QLineEdit(shown_length(project, datum.reads[0])),
            "second": QLineEdit(shown_length(project, datum.reads[1])),
        }
        self.right, self.up = Choice(f"{first} grows"), Choice(f"{second} grows")
        for box, ways, now in ((self.right, GROWING, datum.right), (self.up, RISING, datum.up)):
            for words, way in ways:
                box.addItem(words, way)
            box.setCurrentIndex([way for _, way in ways].index(now))
        form = QFormLayout()
        form.addRow("The point at x, at model size", self.lines["x"])
        form.addRow("and y", self.lines["y"])
        form.addRow(f"reads {first}", self.lines["first"])
        form.addRow(f"and {second}", self.lines["second"])
        form.addRow(f"{first} grows", self.right)
        form.addRow(f"{second} grows", self.up)
        self.page.addLayout(form)
        self._says = self.add_text("", "reason")
        self.add_button("Go back").clicked.connect(self.reject)
        self.add_button("No datum").clicked.connect(lambda: self._choose(None))
        self.add_button("Set it", default=True).clicked.connect(self._set)
        self.setMinimumWidth(460)

    def _set(self) -> None:
        try:
            at: Point = (self._model("x"), self._model("y"))
            reads: Point = (self._prototype("first"), self._prototype("second"))
        except UnreadableQuantity as error:
            self._says.setText(str(error))
            return
        self._choose(Datum(at=at, reads=reads, right=self.right.currentData(), up=self.up.currentData()))

    def _model(self, key: str) -> float:
        return parse_length(self.lines[key].text(), unit=self._unit, scale=self._scale)

    def _prototype(self, key: str) -> float:
        """Full size is what is asked for; `model size` says otherwise."""
        text = self.lines[key].text()
        read = parse_measured_length(text, unit=self._unit, scale=self._scale, full_size=True)
        if read.tolerance is not None:
            raise UnreadableQuantity(text, 0, len(text), "a tolerance has no place here", "a length alone")
        return round(read.value * self._scale, 9)

    def _choose(self, datum: Datum | None) -> None:
        self.accept()
        self.chosen.emit(datum)


class OutlineUnit(Dialog):
    """Asked of outlines from a file that names no unit."""

    chosen = Signal(str)

    def __init__(self, file: str, width: float, units: tuple[str, ...], parent: QWidget) -> None:
        super().__init__("Unit of the outlines", parent)
        self.add_text(f"{file} names no unit; it is {width:g} across", "title")
        self.unit = Choice("Unit of the file")
        self.unit.addItems(list(units))
        self.page.addWidget(self.unit)
        self.add_text("A pixel is 1/96 in, as CSS has it. Lengths are taken at model size.", "soft")
        self.add_button("Go back").clicked.connect(self.reject)
        self.add_button("Take them", default=True).clicked.connect(self._take)

    def _take(self) -> None:
        self.accept()
        self.chosen.emit(self.unit.currentText())
