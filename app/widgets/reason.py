"""Why something was refused, below what it was typed or picked in; hidden where nothing was."""

from __future__ import annotations

from PySide6.QtWidgets import QLabel


class Reason(QLabel):
    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("reason")
        self.setWordWrap(True)
        self.hide()

    def say(self, why: str) -> None:
        """Empty where nothing is refused any more."""
        self.setText(why)
        self.setVisible(bool(why))
