"""The strip along the bottom, ruled into cells like the title block of a drawing: help at the left, facts beside it."""

from __future__ import annotations

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QSizePolicy, QWidget

HEIGHT = 28
SAID_FOR_MS = 5000


class TitleBlock(QFrame):
    def __init__(self, cells: tuple[str, ...], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("block")
        self.setFixedHeight(HEIGHT)
        self._help = QLabel()
        self._help.setObjectName("help")
        self._help.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(self._help, 1)
        self._tip = ""
        self._saying = QTimer(self)
        self._saying.setSingleShot(True)
        self._saying.setInterval(SAID_FOR_MS)
        self._saying.timeout.connect(lambda: self._help.setText(self._tip))
        self._cells: dict[str, QLabel] = {}
        for cell in cells:
            label = QLabel()
            label.setObjectName("cell")
            label.setAccessibleName(cell)
            label.hide()
            row.addWidget(label)
            self._cells[cell] = label

    def help(self, tip: str) -> None:
        """What is under the pointer says of itself; what was said just now is read first."""
        self._tip = tip
        if not self._saying.isActive():
            self._help.setText(tip)

    def say(self, text: str) -> None:
        """What has just been done, for a while, wherever the pointer comes meanwhile."""
        self._help.setText(text)
        self._saying.start()

    @property
    def helped(self) -> str:
        """What stands at the left."""
        return self._help.text()

    def put(self, cell: str, text: str) -> None:
        """An empty cell takes no room."""
        label = self._cells[cell]
        label.setText(text)
        label.setVisible(bool(text))

    def text(self, cell: str) -> str:
        return self._cells[cell].text()
