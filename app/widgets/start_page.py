"""What stands in the window before anything is open: what to do first, and what was open lately."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app.widgets.motif import Motif

WIDTH = 460


@dataclass(frozen=True, slots=True)
class RecentRow:
    name: str
    where: str


class StartPage(QWidget):
    open_wanted = Signal()
    sample_wanted = Signal()
    recent_wanted = Signal(str)
    """The `where` of the row."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: list[QPushButton] = []
        inner = QWidget()
        inner.setFixedWidth(WIDTH)
        self._column = QVBoxLayout(inner)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(14)
        self._say("Will it fold into its bay?", "big")
        self._say(
            "Open an aircraft to move its undercarriage through its sequence, and to see what touches, what jams and "
            "what hangs loose. An aircraft is a folder with a project.json in it; it can also be dropped here.",
        )
        self._make_buttons()
        self._recent_title = self._say("Opened lately", "heading")
        self._recent = QVBoxLayout()
        self._recent.setSpacing(4)
        self._column.addLayout(self._recent)
        across = QHBoxLayout()
        across.setSpacing(72)
        across.addStretch(1)
        across.addWidget(inner, 0, Qt.AlignmentFlag.AlignVCenter)
        across.addWidget(Motif())
        across.addStretch(1)
        down = QVBoxLayout(self)
        down.addStretch(2)
        down.addLayout(across)
        down.addStretch(3)
        self.show_recent(())

    def show_recent(self, rows: tuple[RecentRow, ...]) -> None:
        for button in self._rows:
            self._recent.removeWidget(button)
            button.deleteLater()
        self._rows = [self._row(row) for row in rows]
        self._recent_title.setVisible(bool(rows))

    def _say(self, text: str, name: str = "") -> QLabel:
        label = QLabel(text)
        label.setObjectName(name)
        label.setWordWrap(True)
        self._column.addWidget(label)
        return label

    def _make_buttons(self) -> None:
        row = QHBoxLayout()
        row.setSpacing(10)
        first, sample = QPushButton("Open aircraft…"), QPushButton("Open the sample, Merrow T.2")
        first.setDefault(True)
        first.clicked.connect(self.open_wanted)
        sample.clicked.connect(self.sample_wanted)
        row.addWidget(first)
        row.addWidget(sample)
        row.addStretch(1)
        self._column.addSpacing(4)
        self._column.addLayout(row)
        self._column.addSpacing(18)

    def _row(self, row: RecentRow) -> QPushButton:
        button = QPushButton()
        button.setObjectName("recent")
        button.setCursor(Qt.CursorShape.PointingHandCursor)
        button.setAccessibleName(f"{row.name}, in {row.where}")
        button.setToolTip(row.where)
        inside = QHBoxLayout(button)
        inside.setContentsMargins(12, 0, 12, 0)
        name, where = QLabel(row.name), QLabel(row.where)
        where.setObjectName("soft")
        where.setText(where.fontMetrics().elidedText(row.where, Qt.TextElideMode.ElideLeft, WIDTH // 2))
        for label in (name, where):
            label.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        inside.addWidget(name)
        inside.addStretch(1)
        inside.addWidget(where)
        button.setMinimumHeight(36)
        button.clicked.connect(lambda _down=False, where=row.where: self.recent_wanted.emit(where))
        self._recent.addWidget(button)
        return button
