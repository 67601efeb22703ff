"""The strip above a panel: its heading, a count, and room for what belongs to it."""

from __future__ import annotations

from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QWidget

HEIGHT = 36


class PanelHead(QFrame):
    def __init__(self, heading: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("head")
        self.setFixedHeight(HEIGHT)
        self._heading = QLabel(heading)
        self._heading.setObjectName("heading")
        self._count = QLabel()
        self._count.setObjectName("count")
        self.row = QHBoxLayout(self)
        self.row.setContentsMargins(14, 0, 10, 0)
        self.row.setSpacing(8)
        self.row.addWidget(self._heading)
        self.row.addWidget(self._count)
        self.row.addStretch(1)

    @property
    def count(self) -> str:
        return self._count.text()

    def set_count(self, text: str) -> None:
        self._count.setText(text)
