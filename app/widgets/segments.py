"""A row of joined buttons of which one is down; a list behind one button where there are too many for a row."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QMenu, QSizePolicy, QToolButton, QWidget

from app.widgets.button import Button
from app.widgets.plain import plain

Rows = tuple[tuple[str, str], ...]
MOST_BUTTONS = 4
MOST_LETTERS = 48
"""Of all words together, for a row of buttons."""
LONGEST = 32


class Segments(QWidget):
    chosen = Signal(str)
    """The key that the user chose."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self._group = QButtonGroup(self)
        self._group.setExclusive(True)
        self._buttons: dict[str, Button] = {}
        self._list: Button | None = None
        self._rows: Rows = ()
        self._layout = QHBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._layout.setSpacing(0)

    def show_rows(self, rows: Rows, current: str | None) -> None:
        """Keys with their words; the buttons are made anew only when these have changed."""
        if rows != self._rows:
            self._rows = rows
            self._refill()
        for key, button in self._buttons.items():
            button.setChecked(key == current)
        if self._list is not None:
            words = dict(rows).get(current or "", "")
            self._list.setText(f"{plain(_short(words))}  ▾")
            self._list.setToolTip(words)

    def button(self, key: str) -> Button:
        return self._buttons[key]

    @property
    def list_button(self) -> Button | None:
        """What opens the list, where there is one in place of a row."""
        return self._list

    def _refill(self) -> None:
        for button in (*self._buttons.values(), *([self._list] if self._list is not None else [])):
            self._group.removeButton(button)
            self._layout.removeWidget(button)
            button.deleteLater()
        self._buttons, self._list = {}, None
        letters = sum(len(words) for _key, words in self._rows)
        if len(self._rows) <= MOST_BUTTONS and letters <= MOST_LETTERS:
            self._buttons = {key: self._button(key, words) for key, words in self._rows}
        elif self._rows:
            self._list = self._make_list()

    def _button(self, key: str, words: str) -> Button:
        button = Button(plain(words), look="segment", checkable=True)
        button.setAccessibleName(words)
        button.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        button.clicked.connect(lambda _down, key=key: self.chosen.emit(key))
        self._group.addButton(button)
        self._layout.addWidget(button)
        return button

    def _make_list(self) -> Button:
        button = Button()
        button.setObjectName("speed")
        button.setAccessibleName(self.accessibleName())
        button.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        menu = QMenu(button)
        for key, words in self._rows:
            menu.addAction(plain(words)).triggered.connect(lambda _on=False, key=key: self.chosen.emit(key))
        button.setMenu(menu)
        self._layout.addWidget(button)
        return button


def _short(words: str) -> str:
    return words if len(words) <= LONGEST else f"{words[: LONGEST - 1]}…"
