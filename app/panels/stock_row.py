"""The builder's own catalogue beside a chosen jack, or a drive on a pivot: take a jack's sizes or a servo from there,
or keep them there."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app.session import Session
from app.widgets.button import Button
from app.widgets.choice import Choice
from core.document.catalogue import Catalogue, Stock, StockJack, StockServo, read_catalogue, write_catalogue
from core.document.joint_edits import ReplaceConnection
from core.document.lengths import shown_length
from core.document.names import name_of
from core.document.project import Drive, Jack, Pivot, Project
from core.document.servo_edits import fit
from core.errors import BayfoldError
from core.units.loads import format_torque

OWN_SIZES = "sizes of its own"
NO_SERVO = "no servo"
OWN_SERVO = "a servo of its own"


class StockRow(QWidget):
    catalogue_wanted = Signal()
    """The catalogue is to be looked through and changed."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._folder: Path | None = None
        self._catalogue = Catalogue()
        label = QLabel("From the catalogue")
        label.setObjectName("factLabel")
        self.pick = Choice("Choose from the catalogue")
        self.pick.narrow(0)
        label.setBuddy(self.pick)
        tip = "Under its name, for every aircraft; an entry of that name is replaced"
        self.keep = Button("Keep", tip, look="segment")
        self.keep.setAccessibleName("Keep in the catalogue")
        self.look = Button("Catalogue…", "Look through the catalogue, and change it", look="segment")
        buttons = QHBoxLayout()
        buttons.setSpacing(6)
        for button in (self.keep, self.look):
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
        self.look.clicked.connect(self.catalogue_wanted)

    def keep_in(self, folder: Path) -> None:
        """Where the catalogue is."""
        self._folder = folder
        self.read()

    def read(self) -> bool:
        """What the file has now, which another window may have changed; False where it cannot be read."""
        if self._folder is None:
            return False
        try:
            self._catalogue = read_catalogue(self._folder)
        except BayfoldError as error:
            self._session.trouble.emit(str(error))
            return False
        self.refresh()
        return True

    def refresh(self) -> None:
        """Shown beside what can be chosen from a catalogue, where there is somewhere to keep one."""
        chosen = self._chosen()
        self.setVisible(chosen is not None and self._folder is not None)
        project = self._session.project
        if chosen is None or project is None:
            return
        said = [self._first(chosen), *(told(project, one) for one in self._rows(chosen))]
        if [self.pick.itemText(row) for row in range(self.pick.count())] != said:
            self.pick.clear()
            self.pick.addItems(said)
        row = self._row_of(chosen)
        self.pick.setCurrentIndex(row)
        self.keep.setVisible(row == 0 and (isinstance(chosen, Jack) or chosen.servo is not None))

    # ---- inside ----------------------------------------------------------------------------------------------------

    def _chosen(self) -> Jack | Drive | None:
        """The jack, or the drive that turns a pivot, that is chosen itself or by its drive or its pivot."""
        project, chosen = self._session.project, self._session.selection
        if project is None:
            return None
        meant = (chosen, next((one.on for one in project.drives if one.id == chosen), None))
        jack = next((one for one in project.connections if one.id in meant and isinstance(one, Jack)), None)
        pivots = {one.id for one in project.connections if isinstance(one, Pivot)}
        drives = (one for one in project.drives if chosen in (one.id, one.on) and one.on in pivots)
        return jack or next(drives, None)

    def _rows(self, chosen: Jack | Drive) -> tuple[Stock, ...]:
        return self._catalogue.jacks if isinstance(chosen, Jack) else self._catalogue.servos

    def _first(self, chosen: Jack | Drive) -> str:
        if isinstance(chosen, Jack):
            return OWN_SIZES
        if chosen.servo is None or self._row_of(chosen):
            return NO_SERVO
        return f"{OWN_SERVO}: {chosen.servo.name}"

    def _row_of(self, chosen: Jack | Drive) -> int:
        """The row of the entry that it has; 0 where it has none."""
        rows = self._rows(chosen)
        fitting = [row for row, one in enumerate(rows, 1) if _fits(one, chosen)]
        named = [row for row in fitting if rows[row - 1].name == name_of(chosen)]
        return (*named, *fitting, 0)[0]

    def _take(self, row: int) -> None:
        chosen, project = self._chosen(), self._session.project
        one = self._rows(chosen)[row - 1] if chosen is not None and row > 0 else None
        if isinstance(chosen, Jack) and isinstance(one, StockJack):
            self._session.push(ReplaceConnection(one.put_into(chosen), "Size by the catalogue"))
        elif isinstance(chosen, Drive) and project is not None and not (row == 0 and self._row_of(chosen) == 0):
            self._session.push(fit(project, chosen.id, one.as_servo() if isinstance(one, StockServo) else None))
        self.refresh()

    def _keep(self) -> None:
        chosen = self._chosen()
        if chosen is None or self._folder is None or not self.read():
            return
        one: Stock
        if isinstance(chosen, Jack):
            one = StockJack.of(chosen)
        elif chosen.servo is not None:
            one = StockServo.of(chosen.servo)
        else:
            return
        try:
            write_catalogue(self._catalogue.having(one), self._folder)
        except BayfoldError as error:
            self._session.trouble.emit(str(error))
            return
        self.read()


def told(project: Project, one: Stock) -> str:
    """An entry in a line."""
    if isinstance(one, StockJack):
        closed, stroke = (shown_length(project, length) for length in (one.closed, one.stroke))
        return f"{one.name}: {closed} closed, stroke {stroke}"
    torque = "" if one.torque is None else f", {format_torque(one.torque)}"
    return f"{one.name}: {one.travel:g}°{torque}"


def _fits(one: Stock, chosen: Jack | Drive) -> bool:
    if isinstance(one, StockJack):
        return isinstance(chosen, Jack) and one.fits(chosen)
    return isinstance(chosen, Drive) and chosen.servo is not None and one.fits(chosen.servo)
