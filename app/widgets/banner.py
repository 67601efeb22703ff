"""A strip across the window that says it shows something else than it does by itself, and leads back."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QSizePolicy, QVBoxLayout, QWidget

from app.widgets.button import Button


class Banner(QFrame):
    """Hidden until it says something; its buttons belong to whoever adds them."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("banner")
        self.setAccessibleName(name)
        self._title, self._text = QLabel(), QLabel()
        self._title.setObjectName("title")
        self._text.setObjectName("soft")
        lines = QVBoxLayout()
        lines.setSpacing(1)
        for label in (self._title, self._text):
            label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            label.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
            label.setWordWrap(True)
            lines.addWidget(label)
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(14, 6, 14, 6)
        self._row.setSpacing(8)
        self._row.addLayout(lines, 1)
        self.hide()

    @property
    def title(self) -> str:
        return self._title.text()

    @property
    def text(self) -> str:
        return self._text.text()

    def add_button(self, words: str, tip: str) -> Button:
        button = Button(words, tip, look="segment")
        self._row.addWidget(button)
        return button

    def say(self, title: str, text: str = "") -> None:
        """Show it; with no title put it away."""
        self._title.setText(title)
        self._text.setText(text)
        self._text.setVisible(bool(text))
        self.setVisible(bool(title))
