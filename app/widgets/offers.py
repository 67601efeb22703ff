"""A small menu beside a field: sizes that are often meant, each with where it comes from."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QMenu, QWidget

from app.widgets.button import Button
from app.widgets.plain import plain

WIDTH = 20
Offers = tuple[tuple[str, str], ...]
"""What is typed, and the line that offers it."""


class OffersButton(Button):
    taken = Signal(str)
    """The text that was offered and is to be typed."""

    def __init__(self, name: str, offers: Callable[[], Offers], parent: QWidget | None = None) -> None:
        super().__init__("▾", f"Sizes that are often meant: {name.lower()}", look="quiet", parent=parent)
        self.setAccessibleName(f"Offers for {name}")
        self.setFixedWidth(WIDTH)
        self._offers = offers
        self.clicked.connect(self.open)

    def open(self) -> None:
        """Show what is offered now."""
        self.menu_now().popup(self.mapToGlobal(self.rect().bottomLeft()))

    def menu_now(self) -> QMenu:
        """A menu of what is offered now, which goes when it is put away."""
        menu = QMenu(self)
        for text, line in self._offers():
            menu.addAction(plain(line)).setData(text)
        menu.triggered.connect(lambda action: self.taken.emit(action.data()))
        menu.aboutToHide.connect(menu.deleteLater)
        return menu
