"""A plot with its axes: one or two at the left, and one below where the curves are not over the lanes' time."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QGridLayout, QWidget

from app.sequence.axes import WIDTH, AlongAxis, UpAxis
from app.sequence.inks import Inks
from app.sequence.plot import Plot
from app.sequence.time_scale import TimeScale
from core.curves.series import Series

LEAD = 8
"""Pixels of the plot before the lanes' beginning, so that what lies there is not cut."""
TOP = 4


class Chart(QWidget):
    """With `own_time` it has an axis for time too, where no lanes stand above it."""

    def __init__(self, inks: Inks, *, own_time: bool = False, finer: float = 1.0) -> None:
        super().__init__()
        self._inks, self._own_time = inks, own_time
        self.plot = Plot(inks, finer)
        self.ups = (UpAxis(inks), UpAxis(inks))
        self.along = AlongAxis(inks)
        self.setAutoFillBackground(False)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, TOP, 0, TOP)
        grid.setSpacing(0)
        grid.addWidget(self.ups[1], 0, 0)
        grid.addWidget(self.ups[0], 0, 1)
        grid.addWidget(self.plot, 0, 2)
        grid.addWidget(self.along, 1, 2)
        grid.setColumnStretch(2, 1)
        grid.setRowStretch(0, 1)
        self.plot.laid_anew.connect(self._show_axes)
        self._show_axes()

    @property
    def lead(self) -> int:
        return LEAD

    @property
    def axes_width(self) -> int:
        return WIDTH * max(1, len(self.plot.laid.units))

    def set_inks(self, inks: Inks) -> None:
        self._inks = inks
        self.plot.set_inks(inks)

    def show_curves(self, curves: tuple[Series, ...], over: Series | None) -> None:
        self.plot.show_curves(curves, over)

    def set_scale(self, scale: TimeScale) -> None:
        """The lanes' own scale, in pixels of the plot."""
        self.plot.set_scale(scale)

    @property
    def _has_along(self) -> bool:
        return self._own_time or self.plot.laid.over is not None

    def _show_axes(self) -> None:
        laid = self.plot.laid
        for number, axis in enumerate(self.ups):
            axis.setVisible(number < max(1, len(laid.ups)))
        for axis, (unit, reach) in zip(self.ups, laid.ups.items(), strict=False):
            axis.show_reach(reach, unit.plain, self._inks)
        over = laid.over
        self.along.setVisible(self._has_along)
        self.along.show_reach(laid.along, "seconds" if over is None else f"{over.name}, {over.unit.plain}", self._inks)

    def paint_picture(self, painter: QPainter) -> None:
        """All of it, in this widget's pixels, without the rule."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(QRectF(self.rect()), self._inks.ground)
        parts: tuple[tuple[QWidget, Callable[[QPainter], None]], ...] = (
            *((axis, axis.paint) for axis in self.ups[: max(1, len(self.plot.laid.ups))]),
            *([(self.along, self.along.paint)] if self._has_along else []),
            (self.plot, self.plot.paint_content),
        )
        for part, paint in parts:
            painter.save()
            painter.translate(part.pos())
            painter.setClipRect(QRectF(part.rect()), Qt.ClipOperation.ReplaceClip)
            paint(painter)
            painter.restore()
