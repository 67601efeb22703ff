"""The builder's own catalogue beside a chosen jack: take its sizes from there, or keep its sizes there."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app.session import Session
from app.widgets.button import Button
from core.document.catalogue import StockJack, read_catalogue, with_jack, write_catalogue
from core.document.joint_edits import ReplaceConnection
from core.document.project import Jack
from core.errors import BayfoldError

OWN = "sizes of its own"


class StockRow(QWidget):
    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._folder: Path | None = None
        self._jacks: tuple[StockJack, ...] = ()
        label = QLabel("From the catalogue")
        label.setObjectName("factLabel")
        self.pick = QComboBox()
        self.pick.setAccessibleName("Jack of the catalogue")
        self.pick.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        label.setBuddy(self.pick)
        tip = "Under the jack's name, for every aircraft; an entry of that name is replaced"
        self.keep = Button("Keep in the catalogue", tip, look="segment")
        tip = "Take the entry out of the catalogue; no aircraft is changed"
        self.forget = Button("Forget", tip, look="segment")
        buttons = QHBoxLayout()
        buttons.setSpacing(6)
        for button in (self.keep, self.forget):
            buttons.addWidget(button)
        buttons.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        column.addWidget(label)
        column.addWidget(self.pick)
        column.addLayout(buttons)
        self.pick.activated.connect(self._take)
        self.keep.clicked.connect(self._keep)
        self.forget.clicked.connect(self._forget)

    def keep_in(self, folder: Path) -> None:
        """Where the catalogue is."""
        self._folder = folder
        self._read()

    def refresh(self) -> None:
        """Shown beside a jack, where there is somewhere to keep a catalogue."""
        jack = self._jack()
        self.setVisible(jack is not None and self._folder is not None)
        if jack is None:
            return
        said = [OWN, *(f"{one.name}: {one.closed:g} closed, stroke {one.stroke:g} mm" for one in self._jacks)]
        if [self.pick.itemText(row) for row in range(self.pick.count())] != said:
            self.pick.clear()
            self.pick.addItems(said)
        fitting = [row for row, one in enumerate(self._jacks, 1) if one.fits(jack)]
        named = [row for row in fitting if self._jacks[row - 1].name == (jack.name or jack.id)]
        row = (*named, *fitting, 0)[0]
        self.pick.setCurrentIndex(row)
        self.keep.setVisible(row == 0)
        self.forget.setVisible(row != 0)

    def _jack(self) -> Jack | None:
        project, chosen = self._session.project, self._session.selection
        found = project.connections if project is not None else ()
        return next((one for one in found if one.id == chosen and isinstance(one, Jack)), None)

    def _read(self) -> bool:
        """What the file has now, which another window may have changed; False where it cannot be read."""
        if self._folder is None:
            return False
        try:
            self._jacks = read_catalogue(self._folder)
        except BayfoldError as error:
            self._session.trouble.emit(str(error))
            return False
        return True

    def _take(self, row: int) -> None:
        jack = self._jack()
        if jack is not None and row > 0:
            self._session.push(ReplaceConnection(self._jacks[row - 1].put_into(jack), "Size by the catalogue"))
        self.refresh()

    def _keep(self) -> None:
        jack = self._jack()
        if jack is None or not self._read():
            return
        one = StockJack(
            name=jack.name or jack.id, closed=jack.closed, stroke=jack.stroke, barrel=jack.barrel, rod=jack.rod
        )
        self._write(with_jack(self._jacks, one))

    def _forget(self) -> None:
        row = self.pick.currentIndex()
        if row <= 0:
            return
        name = self._jacks[row - 1].name
        if self._read():
            self._write(tuple(one for one in self._jacks if one.name != name))

    def _write(self, jacks: tuple[StockJack, ...]) -> None:
        if self._folder is None:
            return
        try:
            write_catalogue(jacks, self._folder)
        except BayfoldError as error:
            self._session.trouble.emit(str(error))
            return
        self._jacks = jacks
        self.refresh()
