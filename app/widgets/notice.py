"""A line across the window that has to be read; it stays until it is put away."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QWidget

from app.widgets.glyph_button import GlyphButton


class Notice(QFrame):
    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("notice")
        self._text = QLabel()
        self._text.setWordWrap(True)
        self._text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._text.setAccessibleName("Notice")
        away = GlyphButton("cross", side=24, sign=12)
        away.setAccessibleName("Put the notice away")
        away.setToolTip("Put away")
        away.clicked.connect(self.put_away)
        row = QHBoxLayout(self)
        row.setContentsMargins(14, 7, 8, 7)
        row.addWidget(self._text, 1)
        row.addWidget(away, 0, Qt.AlignmentFlag.AlignTop)
        self.hide()

    @property
    def text(self) -> str:
        return self._text.text()

    def say(self, line: str) -> None:
        self._text.setText(line)
        self.show()

    def take_back(self, line: str) -> None:
        """Put it away where it still says this."""
        if line == self.text:
            self.put_away()

    def put_away(self) -> None:
        self._text.clear()
        self.hide()
