"""One of several, picked from a list that drops down or by the keyboard; the wheel scrolls past it."""

from __future__ import annotations

from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QComboBox


class Choice(QComboBox):
    def __init__(self, name: str) -> None:
        """`name` is read out."""
        super().__init__()
        self.setAccessibleName(name)

    def narrow(self, letters: int) -> None:
        """Be as wide as so many letters at the least, however long what it holds."""
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(letters)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Left to what it stands in: who scrolls a page does not mean what happens to come under the pointer."""
        event.ignore()
