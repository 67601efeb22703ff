"""The bar that asks what is to become of a pulled pose: kept as one of a few things, or let go."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QWidget

from app.widgets.button import Button
from core.pulling.taking import Kept, Offer


class TakeBar(QWidget):
    kept = Signal(object)
    """The `Kept` that was chosen."""
    let_go = Signal()
    every_wanted = Signal(bool)
    """Whether drives that the step does not move are to be added to it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("What becomes of the pulled position")
        row = QHBoxLayout(self)
        row.setContentsMargins(10, 3, 8, 3)
        row.setSpacing(4)
        self._words = QLabel("Keep as")
        row.addWidget(self._words)
        self.buttons: dict[Kept, Button] = {}
        for kept in Kept:
            self.buttons[kept] = Button(look="segment", parent=self)
            self.buttons[kept].clicked.connect(partial(self.kept.emit, kept))
            row.addWidget(self.buttons[kept])
        tip = "Have the step move every drive that the pull moved, also those that it does not move yet"
        self.every = Button("All drives", tip, look="segment", checkable=True, parent=self)
        self.every.clicked.connect(self.every_wanted)
        self.away = Button("Let go", "Back to where the sequence has it  (Esc)", look="segment", parent=self)
        self.away.clicked.connect(self.let_go)
        row.addWidget(self.every)
        row.addStretch(1)
        row.addWidget(self.away)
        self._offers: tuple[Offer, ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.hide()

    def minimumSizeHint(self) -> QSize:
        """It never pushes the sheet wider as it comes."""
        return QSize(120, super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._make_room()

    def _make_room(self) -> None:
        """Where there is no room for words before them, the buttons say it alone."""
        shown = [one for one in (*self.buttons.values(), self.every, self.away) if not one.isHidden()]
        need = sum(one.sizeHint().width() + 6 for one in (self._words, *shown)) + 34
        self._words.setVisible(need <= self.width())

    def show_offers(self, offers: tuple[Offer, ...], *, every: bool, more: bool) -> None:
        """The ways there are; hidden where there is none. `more`: whether the pull moved drives that the step does
        not."""
        self.setVisible(bool(offers))
        self.every.setChecked(every)
        self.every.setVisible(more)
        if offers != self._offers:
            self._offers = offers
            self._name_buttons(offers)
        self._make_room()

    def _name_buttons(self, offers: tuple[Offer, ...]) -> None:
        likeliest = next((one.kept for one in offers if one.edit is not None), None)
        for offer in offers:
            button = self.buttons[offer.kept]
            on = offer.edit is not None
            button.setText(offer.words)
            button.setAccessibleName(f"Keep it as: {offer.words}")
            button.setEnabled(on)
            font = button.font()
            font.setBold(offer.kept is likeliest)
            button.setFont(font)
            keys = "  (Enter)" if offer.kept is likeliest else ""
            button.setToolTip(f"Keep it so, as one change{keys}" if on else f"Not now: {offer.why_not}")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        likeliest = next((one.kept for one in self._offers if one.edit is not None), None)
        if event.key() == Qt.Key.Key_Escape:
            self.let_go.emit()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and likeliest is not None:
            focused = next((kept for kept, button in self.buttons.items() if button.hasFocus()), likeliest)
            self.kept.emit(focused)
        else:
            super().keyPressEvent(event)
