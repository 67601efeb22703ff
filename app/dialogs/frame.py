"""What every dialog shares: room about its page, and one row of buttons."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QDialog, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

BESIDE = QSize(20, 50)
"""Pixels of the screen that are left beside a dialog, and for its title bar."""


class Dialog(QDialog):
    """A title, a page, and buttons; it closes with Escape and is deleted when it is closed."""

    def __init__(self, title: str, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.page = QVBoxLayout()
        self.page.setSpacing(12)
        self._buttons = QHBoxLayout()
        self._buttons.setSpacing(8)
        self._buttons.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(24, 22, 24, 20)
        column.setSpacing(20)
        column.addLayout(self.page, 1)
        column.addLayout(self._buttons)

    def open_to(self, width: int, height: int) -> None:
        """Be so large, but no larger than the screen."""
        self.resize(QSize(width, height).boundedTo(self.screen().availableSize() - BESIDE))

    def add_button(self, words: str, *, default: bool = False) -> QPushButton:
        button = QPushButton(words)
        button.setAutoDefault(default)
        button.setDefault(default)
        self._buttons.addWidget(button)
        return button

    def add_text(self, text: str, name: str = "") -> QLabel:
        label = QLabel(text)
        label.setObjectName(name)
        label.setWordWrap(True)
        label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.page.addWidget(label)
        return label
