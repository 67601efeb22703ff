"""What of a chosen body's sweep is shown, and the room that it leaves."""

from __future__ import annotations

from enum import Enum, auto

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app.widgets.button import Button
from core.document.lengths import small_length
from core.document.project import Project
from core.drawing.sweep_sheet import MOST_WALLS, Swept
from core.findings.sentences import Names


class Span(Enum):
    NONE = auto()
    SEQUENCE = auto()
    STEP = auto()


WORDS = ((Span.NONE, "Hidden"), (Span.SEQUENCE, "All"), (Span.STEP, "Step"))
TIPS = {
    Span.NONE: "Do not draw what the body passes over",
    Span.SEQUENCE: "Draw all that the body passes over in this sequence",
    Span.STEP: "Draw what the body passes over in the step under way",
}


class SweepForm(QWidget):
    wanted = Signal()
    """Another span is wanted."""
    export_wanted = Signal()
    answered = Signal()
    """What was asked for by hand is there: it should be in sight."""

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName("Sweep")
        self.span = Span.NONE
        self._asked = False
        heading = QLabel("Sweep")
        heading.setObjectName("heading")
        self.choices = QButtonGroup(self)
        row = QHBoxLayout()
        row.setSpacing(0)
        for number, (span, words) in enumerate(WORDS):
            button = Button(words, TIPS[span], look="segment", checkable=True)
            button.setChecked(span is self.span)
            self.choices.addButton(button, number)
            row.addWidget(button)
        row.addStretch(1)
        self.said = QLabel()
        self.said.setWordWrap(True)
        self.said.setTextFormat(Qt.TextFormat.PlainText)
        self.said.setAccessibleName("Room left by the sweep")
        tip = "The sweep's corners, or a drawing of it at true scale, to cut a bay by"
        self.export = Button("Write to a file…", tip, look="segment")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(7)
        column.addWidget(heading)
        column.addLayout(row)
        column.addWidget(self.said)
        column.addWidget(self.export, alignment=Qt.AlignmentFlag.AlignLeft)
        self.choices.idClicked.connect(self._choose)
        self.export.clicked.connect(self.export_wanted)
        self.tell("")
        self.hide()

    def offer(self, possible: bool) -> None:
        """Whether what is chosen can sweep anything."""
        self.setVisible(possible)

    def set_span(self, span: Span) -> None:
        self.choices.button([one for one, _ in WORDS].index(span)).setChecked(True)
        if span is not self.span:
            self.span, self._asked = span, True
            self.wanted.emit()

    def tell(self, words: str) -> None:
        """Something other than a sweep."""
        self.said.setText(words)
        self.said.setVisible(bool(words))
        self.export.hide()

    def show_swept(self, project: Project, swept: Swept) -> None:
        names = Names(project)
        lines = [
            f"runs into {names(part)}"
            if room.left <= 0.0
            else f"{small_length(project, room.left)} left to {names(part)}"
            for part, room in list(swept.rooms.items())[:MOST_WALLS]
        ]
        self.tell("\n".join(lines) or "Nothing fixed stands beside it.")
        self.export.show()
        if self._asked:
            self._asked = False
            self.answered.emit()

    def _choose(self, number: int) -> None:
        self.set_span(WORDS[number][0])
