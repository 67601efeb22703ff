"""A row of joined buttons of which one is down."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QWidget

from app.widgets.button import Button


class Segments(QWidget):
    chosen = Signal(str)
    """The key of the button that the user put down."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self._group = QButtonGroup(self)
        self._group.setExclusive(True)
        self._buttons: dict[str, Button] = {}
        self._rows: tuple[tuple[str, str], ...] = ()
        self._layout = QHBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._layout.setSpacing(0)

    def show_rows(self, rows: tuple[tuple[str, str], ...], current: str | None) -> None:
        """Keys with their words; the buttons are made anew only when these have changed."""
        if rows != self._rows:
            self._rows = rows
            self._refill()
        for key, button in self._buttons.items():
            button.setChecked(key == current)

    def button(self, key: str) -> Button:
        return self._buttons[key]

    def _refill(self) -> None:
        for button in self._buttons.values():
            self._group.removeButton(button)
            self._layout.removeWidget(button)
            button.deleteLater()
        self._buttons = {key: self._button(key, words) for key, words in self._rows}

    def _button(self, key: str, words: str) -> Button:
        button = Button()
        button.setObjectName("segment")
        button.setText(words)
        button.setCheckable(True)
        button.setAccessibleName(words)
        button.clicked.connect(lambda _down, key=key: self.chosen.emit(key))
        self._group.addButton(button)
        self._layout.addWidget(button)
        return button
