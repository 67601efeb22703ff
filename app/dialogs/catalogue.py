"""The builder's catalogue of jacks and servos: listed, searched, added to, changed and taken from."""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from msgspec.structs import replace
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.dialogs.frame import Dialog
from app.dialogs.stock_form import FIELDS, StockField
from app.widgets.button import Button
from app.widgets.emptying import empty
from app.widgets.offers import Offers
from app.widgets.value_field import ValueField
from core.document.catalogue import (
    Catalogue,
    Stock,
    StockJack,
    StockServo,
    put_aside,
    read_catalogue,
    write_catalogue,
    wrong_with,
)
from core.document.fresh import fresh_name
from core.errors import BayfoldError

NEW_JACK = StockJack(name="Jack", closed=40.0, stroke=20.0)
NEW_SERVO = StockServo(name="Servo", travel=90.0)


class CatalogueDialog(Dialog):
    """Each change is in the file at once; what another window wrote meanwhile is read before."""

    changed = Signal()

    def __init__(self, folder: Path, parent: QWidget) -> None:
        super().__init__("Catalogue of jacks and servos", parent)
        self._folder = folder
        self._catalogue = Catalogue()
        self._removed: Stock | None = None
        self.fields: dict[str, ValueField] = {}
        self.search = QLineEdit()
        self.search.setPlaceholderText("Search names and notes")
        self.search.setAccessibleName("Search the catalogue")
        self.search.setClearButtonEnabled(True)
        self.list = QListWidget()
        self.list.setAccessibleName("Jacks and servos")
        self.list.setMinimumSize(380, 230)
        self.list.setWordWrap(True)
        self.list.setResizeMode(QListWidget.ResizeMode.Adjust)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._form = QGridLayout()
        self._form.setColumnMinimumWidth(1, 200)
        self._form.setColumnStretch(1, 1)
        self._form.setVerticalSpacing(7)
        self._make_form(())
        self._lay_out()
        self.search.textChanged.connect(lambda _text: self._show(self._chosen))
        self.list.currentItemChanged.connect(lambda *_: self._show_form())
        self._read()
        self._show(None)
        self.setMinimumSize(800, 540)

    # ---- parts -----------------------------------------------------------------------------------------------------

    def _lay_out(self) -> None:
        left, right, across = QVBoxLayout(), QVBoxLayout(), QHBoxLayout()
        left.addWidget(self.search)
        left.addWidget(self.list, 1)
        row = QHBoxLayout()
        self.add_jack = Button("Add a jack", look="segment")
        self.add_servo = Button("Add a servo", look="segment")
        self.remove = Button("Remove", "Take it out of the catalogue; no aircraft is changed", look="segment")
        self.put_back = Button("Put back", "Put back what was removed last", look="segment")
        for button in (self.add_jack, self.add_servo, self.remove, self.put_back):
            row.addWidget(button)
        row.addStretch(1)
        left.addLayout(row)
        right.addLayout(self._form)
        right.addStretch(1)
        across.setSpacing(24)
        across.addLayout(left)
        across.addLayout(right, 1)
        self.page.addLayout(across, 1)
        self.says = self.add_text("", "reason")
        self.says.hide()
        self.again = Button("Read it again", look="segment")
        self.aside = Button("Put the file aside and begin anew", look="segment")
        choices = QHBoxLayout()
        for button in (self.again, self.aside):
            choices.addWidget(button)
        choices.addStretch(1)
        self.page.addLayout(choices)
        self.add_button("Close").clicked.connect(self.accept)  # Enter is for what is typed
        self.add_jack.clicked.connect(partial(self._add, NEW_JACK))
        self.add_servo.clicked.connect(partial(self._add, NEW_SERVO))
        self.remove.clicked.connect(self._remove)
        self.put_back.clicked.connect(self._put_back)
        self.again.clicked.connect(self._read_again)
        self.aside.clicked.connect(self._put_aside)

    # ---- the file --------------------------------------------------------------------------------------------------

    def _read(self) -> bool:
        """What the file has now; what is wrong with it is said, and nothing can be changed until it can be read."""
        try:
            self._catalogue = read_catalogue(self._folder)
        except BayfoldError as error:
            self._say(str(error), unreadable=True)
            return False
        self._say("")
        return True

    def _say(self, text: str, *, unreadable: bool = False) -> None:
        self.says.setText(text)
        self.says.setVisible(bool(text))
        for button in (self.again, self.aside):
            button.setVisible(unreadable)
        for button in (self.add_jack, self.add_servo):
            button.setEnabled(not unreadable)
        self.list.setEnabled(not unreadable)

    def _write(self, catalogue: Catalogue, chosen: Stock | None) -> bool:
        try:
            write_catalogue(catalogue, self._folder)
        except BayfoldError as error:
            self._say(str(error))
            return False
        self._catalogue = catalogue
        self._show(chosen)
        self.changed.emit()
        return True

    def _read_again(self) -> None:
        if self._read():
            self._show(None)
            self.changed.emit()

    def _put_aside(self) -> None:
        try:
            aside = put_aside(self._folder, time.strftime("%Y-%m-%d-%H%M%S"))
        except BayfoldError as error:
            self._say(str(error), unreadable=True)
            return
        self._read_again()
        self._say(f"What it held is kept as {aside.name}, in {aside.parent}")

    # ---- what is done ----------------------------------------------------------------------------------------------

    def _add(self, pattern: Stock) -> None:
        if self._read():
            kind = self._catalogue.jacks if isinstance(pattern, StockJack) else self._catalogue.servos
            one = replace(pattern, name=fresh_name({held.name for held in kind}, pattern.name))
            self.search.clear()
            if self._write(self._catalogue.having(one), one):
                self.fields["name"].line.setFocus()
                self.fields["name"].line.selectAll()

    def _change(self, key: str, value: Any) -> None:
        one = self._chosen
        if one is None or not self._read():
            return
        changed = replace(one, **{key: value})
        wrong = next(wrong_with(changed), None)
        if wrong is None and key == "name" and self._has(changed):
            wrong = ("name", f"there is a {self._kind(changed)} of that name already", "another name is needed")
        if wrong is not None:
            self._show_form()
            self._say(f"{wrong[1]}; {wrong[2]}")
            return
        self._write(self._catalogue.having(changed, instead_of=one.name), changed)

    def _has(self, one: Stock) -> bool:
        kind: tuple[Stock, ...] = self._catalogue.jacks if isinstance(one, StockJack) else self._catalogue.servos
        return any(held.name == one.name for held in kind)

    def _remove(self) -> None:
        one = self._chosen
        if one is not None and self._read() and self._write(self._catalogue.without(one), None):
            self._removed = one
            self._show(None)

    def _put_back(self) -> None:
        one, self._removed = self._removed, None
        if one is not None and self._read():
            self._write(self._catalogue.having(one), one)

    # ---- what is shown ---------------------------------------------------------------------------------------------

    @property
    def _chosen(self) -> Stock | None:
        item = self.list.currentItem()
        return None if item is None else item.data(Qt.ItemDataRole.UserRole)

    @staticmethod
    def _kind(one: Stock) -> str:
        return "jack" if isinstance(one, StockJack) else "servo"

    def _show(self, chosen: Stock | None) -> None:
        """The list by what is searched for, and the form of what is chosen."""
        words = self.search.text().casefold().split()
        self.list.blockSignals(True)
        self.list.clear()
        every: tuple[Stock, ...] = (*self._catalogue.jacks, *self._catalogue.servos)
        for one in every:
            text = f"{one.name} {self._kind(one)} {one.note}".casefold()
            if all(word in text for word in words):
                item = QListWidgetItem(f"{one.name}  –  {self._kind(one)}")
                item.setData(Qt.ItemDataRole.UserRole, one)
                self.list.addItem(item)
                if one == chosen:
                    self.list.setCurrentItem(item)
        self.list.blockSignals(False)
        if self.list.currentItem() is None and self.list.count():
            self.list.setCurrentRow(0)
        self._show_form()

    def _show_form(self) -> None:
        one = self._chosen
        self.remove.setEnabled(one is not None)
        self.put_back.setVisible(self._removed is not None)
        wanted = () if one is None else FIELDS[type(one)]
        if [field.key for field in wanted] != list(self.fields):
            self._make_form(wanted)
        for key, field in self.fields.items():
            field.set_value(getattr(one, key), of_another=True)

    def _make_form(self, rows: tuple[StockField, ...]) -> None:
        empty(self._form)
        self.fields = {}
        if not rows:
            said = QLabel("What is bought or made once is kept here for every aircraft. Add one, with its sizes.")
            said.setObjectName("soft")
            said.setWordWrap(True)
            self._form.addWidget(said, 0, 0, 1, 2)
        for number, row in enumerate(rows):
            label = QLabel(row.words)
            label.setObjectName("factLabel")
            offers = None if row.offers is None else partial(self._offered, row.offers)
            field = ValueField(
                row.words, read=row.read, write=row.write, unit=row.unit, words=row.text, prose=row.prose, offers=offers
            )
            field.entered.connect(partial(self._change, row.key))
            label.setBuddy(field.line)
            self._form.addWidget(label, number, 0, Qt.AlignmentFlag.AlignTop)
            self._form.addWidget(field, number, 1)
            self.fields[row.key] = field

    def _offered(self, of: Callable[[Stock], Offers]) -> Offers:
        return () if self._chosen is None else of(self._chosen)
