"""What is known of a chosen path, and a button that writes all paths to a file."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from app.widgets.button import Button
from core.document.lengths import shown_length, small_length
from core.document.project import PointPath, Project
from core.drawing.paths import TracedPath, step_words

UNKNOWN = "…"
STANDS_STILL = "The point stands still in this sequence."


class PathForm(QWidget):
    write_wanted = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName("Path")
        self.said = QLabel()
        self.said.setWordWrap(True)
        self.said.setTextFormat(Qt.TextFormat.PlainText)
        self.said.setAccessibleName("What the path shows")
        tip = "Where the points of all paths are, moment by moment, as a table (CSV)"
        self.export = Button("Write the paths…", tip, look="segment")
        self.export.clicked.connect(self.write_wanted)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        column.addWidget(self.said)
        column.addWidget(self.export, alignment=Qt.AlignmentFlag.AlignLeft)

    def show_path(self, project: Project | None, path: PointPath | None, traced: TracedPath | None) -> None:
        """Hidden where no path is chosen; while the path is not known, nothing is said of it."""
        self.setVisible(path is not None)
        self.said.setText(UNKNOWN if traced is None or project is None else path_words(project, traced))
        self.export.setEnabled(traced is not None)


def path_words(project: Project, traced: TracedPath) -> str:
    """What the ticks are, how far the point goes, and how exact the line is."""
    trace = traced.trace
    if not trace.stretches:
        return STANDS_STILL
    sure = "proved between frames" if trace.proved else "as seen, not proved"
    exact = f"exact within {small_length(project, trace.tolerance)}, {sure}"
    gone = f"{shown_length(project, trace.length)} gone in all"
    return f"{step_words(traced.step).capitalize()}: the wider apart, the faster. {gone}; {exact}."
