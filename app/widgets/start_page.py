"""What stands in the window before anything is open: what to do first, the samples, and what was open lately."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.widgets.motif import Motif

WIDTH = 408
PICTURE = QSize(96, 60)
ROW = 78
"""Pixels of a row's height."""
APART = 6
TITLE = 34
"""Pixels that the words above the rows take."""
TEXT = WIDTH - PICTURE.width() - 58
"""What a row has left for words beside its picture and a scroll bar."""
SAMPLES_ABREAST = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class RecentRow:
    name: str
    where: str
    """The folder in full."""
    shown: str
    """The folder as it is written."""
    changed: str = ""
    picture: QPixmap | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleRow:
    id: str
    words: str
    tip: str


class StartPage(QWidget):
    new_wanted = Signal()
    open_wanted = Signal()
    sample_wanted = Signal(str)
    """The sample's id."""
    recent_wanted = Signal(str)
    """The `where` of the row."""

    def __init__(self, samples: tuple[SampleRow, ...] = (), parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.rows: list[QPushButton] = []
        inner = QWidget()
        inner.setFixedWidth(WIDTH)
        self._column = QVBoxLayout(inner)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(14)
        self._say("Will it fold into its bay?", "big")
        self._say(
            "Open an aircraft to move its undercarriage through its sequence, and to see what touches, what jams and "
            "what hangs loose. An aircraft is a folder with a project.json in it, or one packed .bayfold file; either "
            "can also be dropped here.",
        )
        self._make_buttons()
        self.samples = self._make_samples(samples)
        self._motif = Motif()
        self._lately = self._make_lately()
        across = QHBoxLayout()
        across.setSpacing(48)
        across.addStretch(1)
        across.addWidget(inner, 0, Qt.AlignmentFlag.AlignVCenter)
        across.addWidget(self._motif)
        across.addWidget(self._lately)
        across.addStretch(1)
        down = QVBoxLayout(self)
        down.addStretch(2)
        down.addLayout(across, 12)
        down.addStretch(3)
        self.show_recent(())

    def show_recent(self, rows: tuple[RecentRow, ...]) -> None:
        """With none, a drawing stands in their place. A row that is made anew keeps the keyboard."""
        focused = next((number for number, button in enumerate(self.rows) if button.hasFocus()), None)
        for button in self.rows:
            self._recent.removeWidget(button)
            button.hide()
            button.deleteLater()
        self.rows = [self._row(row) for row in rows]
        for number, button in enumerate(self.rows):
            self._recent.insertWidget(number, button)
        self._lately.setMaximumHeight(TITLE + len(rows) * (ROW + APART))
        self._lately.setVisible(bool(rows))
        self._motif.setVisible(not rows)
        if focused is not None and rows:
            again = self.rows[min(focused, len(rows) - 1)]
            again.show()
            again.setFocus(Qt.FocusReason.OtherFocusReason)

    def _say(self, text: str, name: str = "") -> QLabel:
        label = QLabel(text)
        label.setObjectName(name)
        label.setWordWrap(True)
        self._column.addWidget(label)
        return label

    def _make_buttons(self) -> None:
        row = QHBoxLayout()
        row.setSpacing(10)
        new, first = QPushButton("New aircraft…"), QPushButton("Open aircraft…")
        first.setDefault(True)
        new.clicked.connect(self.new_wanted)
        first.clicked.connect(self.open_wanted)
        row.addWidget(first)
        row.addWidget(new)
        row.addStretch(1)
        self._column.addSpacing(4)
        self._column.addLayout(row)
        self._column.addSpacing(18)

    def _make_samples(self, samples: tuple[SampleRow, ...]) -> dict[str, QPushButton]:
        if not samples:
            return {}
        self._say("Samples, each opened as a copy of your own", "heading")
        grid = QGridLayout()
        grid.setSpacing(8)
        made = {}
        for number, sample in enumerate(samples):
            button = QPushButton(sample.words)
            button.setToolTip(sample.tip)
            button.setStatusTip(sample.tip)
            button.clicked.connect(lambda _down=False, one=sample.id: self.sample_wanted.emit(one))
            grid.addWidget(button, number // SAMPLES_ABREAST, number % SAMPLES_ABREAST)
            made[sample.id] = button
        self._column.addLayout(grid)
        return made

    def _make_lately(self) -> QWidget:
        """The rows scroll where the window is too low for all of them."""
        side = QWidget()
        side.setFixedWidth(WIDTH)
        column = QVBoxLayout(side)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(10)
        title = QLabel("Opened lately")
        title.setObjectName("heading")
        column.addWidget(title)
        held = QWidget()
        self._recent = QVBoxLayout(held)
        self._recent.setContentsMargins(0, 0, 10, 0)
        self._recent.setSpacing(APART)
        self._recent.addStretch(1)
        scroll = QScrollArea()
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # the keyboard goes through its rows, and it follows
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.viewport().setAutoFillBackground(False)
        held.setAutoFillBackground(False)
        scroll.setWidget(held)
        column.addWidget(scroll, 1)
        return side

    def _row(self, row: RecentRow) -> QPushButton:
        button = QPushButton()
        button.setObjectName("recent")
        button.setCursor(Qt.CursorShape.PointingHandCursor)
        button.setAccessibleName(f"{row.name}, in {row.where}, {row.changed}")
        button.setToolTip(f"{row.name}\n{row.where}")
        inside = QHBoxLayout(button)
        inside.setContentsMargins(8, 0, 12, 0)
        inside.setSpacing(12)
        inside.addWidget(_picture(row.picture))
        words = QVBoxLayout()
        words.setSpacing(2)
        words.addStretch(1)
        words.addWidget(_line(row.name, "heading", Qt.TextElideMode.ElideRight))
        words.addWidget(_line(row.shown, "soft", Qt.TextElideMode.ElideLeft))
        words.addWidget(_line(row.changed, "soft", Qt.TextElideMode.ElideRight))
        words.addStretch(1)
        inside.addLayout(words, 1)
        button.setFixedHeight(ROW)
        button.clicked.connect(lambda _down=False, where=row.where: self.recent_wanted.emit(where))
        return button


def _line(text: str, name: str, elide: Qt.TextElideMode) -> QLabel:
    label = QLabel()
    label.setObjectName(name)
    label.setTextFormat(Qt.TextFormat.PlainText)
    font = label.font()
    font.setBold(name == "heading")
    label.setFont(font)
    label.setText(label.fontMetrics().elidedText(" ".join(text.split()), elide, TEXT))
    label.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
    return label


def _picture(picture: QPixmap | None) -> QLabel:
    """A frame of the same size where there is none, so that names stand under each other."""
    label = QLabel()
    label.setFixedSize(PICTURE)
    label.setAlignment(Qt.AlignmentFlag.AlignCenter)
    label.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
    if picture is None:
        label.setText("no picture yet")
        label.setObjectName("soft")
    else:
        shown = QPixmap(picture)
        shown.setDevicePixelRatio(max(picture.width() / PICTURE.width(), 1.0))
        label.setPixmap(shown)
    return label
