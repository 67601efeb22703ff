"""The few things that are asked before an empty sheet is there: a name, a scale, a unit."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFormLayout, QLineEdit, QWidget

from app.dialogs.frame import Dialog
from app.widgets.choice import Choice
from core.document.lengths import IMPERIAL, unit_words
from core.document.project import Aircraft, Plane, Project, View
from core.errors import UnreadableQuantity
from core.units import LENGTH_UNITS, parse_scale

VIEWS: tuple[tuple[Plane, str], ...] = (("side", "Side elevation"), ("front", "Front elevation"), ("plan", "Plan"))


class NewAircraft(Dialog):
    made = Signal(object)
    """The new project."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__("New aircraft", parent)
        self.add_text("An empty sheet", "title")
        self.name = QLineEdit()
        self.name.setPlaceholderText("such as Pellow 3")
        self.name.setAccessibleName("Name of the aircraft")
        self.scale = QLineEdit("12")
        self.scale.setAccessibleName("Scale, one to")
        self.unit = Choice("Unit of length")
        for unit in LENGTH_UNITS:
            self.unit.addItem(unit_words(unit), unit)
        self.view = Choice("First view")
        self.view.addItems([name for _, name in VIEWS])
        form = QFormLayout()
        for words, field in (
            ("Name", self.name),
            ("Scale 1 :", self.scale),
            ("Lengths in", self.unit),
            ("First view", self.view),
        ):
            form.addRow(words, field)
        self.page.addLayout(form)
        self._says = self.add_text("", "reason")
        self.add_button("Go back").clicked.connect(self.reject)
        self.add_button("Begin", default=True).clicked.connect(self._begin)
        self.setMinimumWidth(420)

    def _begin(self) -> None:
        name = self.name.text().strip()
        scale = self._read_scale()
        if not name:
            self._says.setText("A name is needed: the folder and the papers bear it")
        elif scale is None:
            self._says.setText(
                f"1 : {self.scale.text().strip() or '…'} is no scale; a number such as 12 or 8 is needed"
            )
        else:
            plane, words = VIEWS[self.view.currentIndex()]
            self.accept()
            self.made.emit(
                Project(
                    aircraft=Aircraft(name=name, scale=scale),
                    length_unit=self.unit.currentData(),
                    least_clearance=0.02 * LENGTH_UNITS["in"] if self.unit.currentData() in IMPERIAL else 0.5,
                    views=(View(id=plane, name=words, plane=plane),),
                )
            )

    def _read_scale(self) -> float | None:
        try:
            return parse_scale(self.scale.text())
        except UnreadableQuantity:
            return None
