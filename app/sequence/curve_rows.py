"""The list beside the plot: each curve with a sample of its line, its name and its value, to be kept or taken away."""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from app.sequence.curve_pens import SAMPLE, paint_sample
from app.sequence.inks import Inks
from app.sequence.track import put_text
from app.widgets.button import Button
from app.widgets.sizes import small
from core.curves.series import Series

ROW = 22
SECOND = 15
"""What a second line adds, for a name that has no room beside its value."""
BUTTON = 20
SOME_DECIMALS = 0.11
"""What makes a round value as long as its neighbours."""
GAP = 5


class CurveRow(QWidget):
    keep_wanted = Signal()
    drop_wanted = Signal()

    def __init__(self, number: int, series: Series, *, kept: bool, inks: Inks) -> None:
        super().__init__()
        self.series, self._number, self._inks = series, number, inks
        self.value = ""
        self.setFixedHeight(ROW)
        self._two_lines = False
        self.setToolTip(series.name)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addStretch(1)
        self.keep_button = Button("+", "Keep this curve here, whatever is chosen", look="quiet")
        self.keep_button.setAccessibleName(f"Keep the curve of {series.name}")
        self.keep_button.clicked.connect(self.keep_wanted)
        self.drop_button = Button("×", "Take this curve away", look="quiet")
        self.drop_button.setAccessibleName(f"Take away the curve of {series.name}")
        self.drop_button.clicked.connect(self.drop_wanted)
        for button in (self.keep_button, self.drop_button):
            button.setFixedWidth(BUTTON)
        row.addWidget(self.keep_button)
        row.addWidget(self.drop_button)
        self.keep_button.setVisible(not kept)

    def sizeHint(self) -> QSize:
        return QSize(120, ROW)

    def tell(self, value: str) -> None:
        if value != self.value:
            self.value = value
            self.setAccessibleName(f"{self.series.name}: {value}")
            self.update()

    @property
    def two_lines(self) -> bool:
        """Whether the value stands under the name."""
        return self._two_lines

    def resizeEvent(self, event: QResizeEvent) -> None:
        """By the longest value that it may come to, so that rows do not jump while a moment is scrubbed."""
        super().resizeEvent(event)
        metrics = QFontMetricsF(small(self.font()))
        ends = (value + math.copysign(SOME_DECIMALS, value) for value in self.series.reach)
        widest = max(metrics.horizontalAdvance(self.series.written(value)) for value in ends)
        name, room = metrics.horizontalAdvance(self.series.title), self._right - SAMPLE - GAP
        self._two_lines = name + GAP + widest + 2 > room
        self.setFixedHeight(ROW + SECOND if self._two_lines else ROW)

    @property
    def _right(self) -> int:
        buttons = 1 if self.keep_button.isHidden() else 2
        return self.width() - buttons * BUTTON - GAP

    def paintEvent(self, event: QPaintEvent) -> None:
        """A name that is too long even for a line of its own is shortened; the value never is."""
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            paint_sample(painter, self._number, self._inks, QPointF(0, ROW / 2))
            painter.setFont(small(self.font()))
            wide = QFontMetricsF(painter.font()).horizontalAdvance(self.value) + 1
            left, right = SAMPLE + GAP, self._right
            if self._two_lines:
                name, value = QRectF(left, 0, right - left, ROW), QRectF(left, ROW - 4, right - left, SECOND)
                put_text(painter, value, self.value, self._inks.text)
            else:
                name, value = QRectF(left, 0, right - wide - GAP - left, ROW), QRectF(right - wide, 0, wide, ROW)
                put_text(painter, value, self.value, self._inks.text, Qt.AlignmentFlag.AlignRight)
            put_text(painter, name, self.series.title, self._inks.text)
