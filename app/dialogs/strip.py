"""How many frames a strip has, before it is asked where it goes."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSlider, QWidget

from app.dialogs.frame import Dialog

FEWEST, MOST, USUAL = 2, 24, 8


class StripFrames(Dialog):
    chosen = Signal(int)

    def __init__(self, sequence: str, seconds: float, parent: QWidget) -> None:
        super().__init__("Draw a frame strip", parent)
        self._seconds = seconds
        self.add_text(f"{sequence} as a strip of frames", "title")
        self.slider = QSlider(Qt.Orientation.Horizontal)
        self.slider.setRange(FEWEST, MOST)
        self.slider.setValue(USUAL)
        self.slider.setAccessibleName("Number of frames")
        row = QHBoxLayout()
        row.addWidget(QLabel("Frames"))
        row.addWidget(self.slider, 1)
        self.page.addLayout(row)
        self._says = self.add_text("", "soft")
        self.slider.valueChanged.connect(self._say)
        self._say()
        self.add_button("Go back").clicked.connect(self.reject)
        self.add_button("Choose a file…", default=True).clicked.connect(self._on_chosen)
        self.setMinimumWidth(420)

    def _say(self) -> None:
        frames = self.slider.value()
        apart = self._seconds / (frames - 1)
        self._says.setText(f"{frames} frames from start to end, one every {apart:.2f} s.")

    def _on_chosen(self) -> None:
        self.accept()
        self.chosen.emit(self.slider.value())
