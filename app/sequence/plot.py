"""The plot of curves: pyqtgraph draws the curves; what stands about them has the look of the sequence region.

pyqtgraph takes half a second to import, so that this module is imported when the first curve is shown, or before that
while a window that has just opened is looked at.
"""

from __future__ import annotations

import math

import pyqtgraph as graph
from PySide6.QtCore import QPointF, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent, QPen, QPixmap, QResizeEvent, QWheelEvent

from app.sequence.curve_painting import (
    paint_dots,
    paint_levels,
    paint_steps,
    paint_touching,
    paint_values,
    paint_ways,
    paint_words,
)
from app.sequence.curve_pens import curve_pen
from app.sequence.inks import Inks
from app.sequence.laid_curves import LaidCurves
from app.sequence.time_scale import TimeScale
from app.widgets.sizes import small
from core.curves.series import Series, Unit

STALE = 0.3
"""How strongly curves are painted that are not of the project as it is."""
HAND_REACH = 180
"""Pixels to either side of the rule and the pointer that their figures may cover."""


class Plot(graph.GraphicsView):
    """Curves over time, or over another quantity, with the rule at the moment."""

    scrubbed = Signal(float)
    """Seconds under the hand."""
    pointed = Signal(object)
    """Seconds under the pointer; None when it has left."""
    laid_anew = Signal()

    def __init__(self, inks: Inks, finer: float = 1.0) -> None:
        """`finer` says how many of what is painted on are a pixel."""
        super().__init__(background=None)
        self._inks, self._finer, self._scale = inks, finer, TimeScale(0.0, 1.0, 1.0)
        self.laid = LaidCurves.of((), None, self._scale, (1.0, 1.0))
        self._moment = 0.0
        self._pointed: float | None = None
        self._stale = self._scrubbing = False
        self._kept: QPixmap | None = None
        self.setAntialiasing(True)
        self.setCacheMode(self.CacheModeFlag.CacheNone)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.NoContextMenu)
        self.setAccessibleName("Plot of the curves")
        self.setMinimumHeight(40)
        self._boxes = (_view_box(), _view_box())
        """One for each axis."""
        self._boxes_of: list[int] = []
        self._items: list[graph.PlotCurveItem] = []
        self.setCentralItem(self._boxes[0])
        self.addItem(self._boxes[1])

    def set_inks(self, inks: Inks) -> None:
        self._inks = inks
        self.show_curves(self.laid.curves, self.laid.over)

    def set_stale(self, stale: bool) -> None:
        if stale != self._stale:
            self._stale = stale
            for box in self._boxes:
                box.setOpacity(STALE if stale else 1.0)
            self._renew()

    def show_curves(self, curves: tuple[Series, ...], over: Series | None) -> None:
        """Curves that are there already only get their new values: putting one in takes longer than a repaint may."""
        self._lay(curves, over)
        shown = [(number, one) for number, one in enumerate(curves) if one.unit in self.laid.units]
        wanted = [self.laid.units.index(one.unit) for _, one in shown]
        if wanted != self._boxes_of:
            self._put_in(wanted)
        for (number, one), item in zip(shown, self._items, strict=True):
            x, y = self.laid.line(one)
            item.setData(x=x, y=y, pen=curve_pen(number, self._inks, self._finer), connect="finite", antialias=True)

    def _put_in(self, wanted: list[int]) -> None:
        """An empty curve in each of these boxes, and no others."""
        for box in self._boxes:
            for old in list(box.addedItems):
                box.removeItem(old)
        self._boxes_of, self._items = wanted, [graph.PlotCurveItem() for _ in wanted]
        for number, item in zip(wanted, self._items, strict=True):
            self._boxes[number].addItem(item)

    def set_scale(self, scale: TimeScale) -> None:
        """The lanes' own scale, in pixels of this widget."""
        if scale != self._scale:
            self._scale = scale
            self._lay(self.laid.curves, self.laid.over)

    def _lay(self, curves: tuple[Series, ...], over: Series | None) -> None:
        """Have the view boxes show exactly what the lanes above and the axes show."""
        size = (float(self.width()), float(self.height()))
        self.laid = LaidCurves.of(curves, over, self._scale, size)
        along = self.laid.along
        a_pixel = (along.high - along.low) / (along.end - along.begin)
        left = along.low - along.begin * a_pixel
        self._boxes[1].setGeometry(QRectF(0, 0, *size))
        for up, box in zip(self.laid.ups.values(), self._boxes, strict=False):
            box.setRange(xRange=(left, left + size[0] * a_pixel), yRange=(up.low, up.high), padding=0)
        self._renew()
        self.laid_anew.emit()

    def curve_place(self, unit: Unit, x: float, y: float) -> QPointF:
        """Where pyqtgraph draws a point of a curve, in pixels of this widget."""
        return self._boxes[self.laid.units.index(unit)].mapViewToScene(QPointF(x, y))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if hasattr(self, "_boxes"):  # pyqtgraph calls it while it is being made
            self._lay(self.laid.curves, self.laid.over)

    # ---- painting ------------------------------------------------------------------------------------------------

    def _renew(self) -> None:
        self._kept = None
        self.viewport().update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """What stays while only the rule moves is kept as a picture."""
        ratio = self.devicePixelRatioF()
        if self._kept is None or self._kept.size() != self.size() * ratio:
            self._kept = QPixmap(self.size() * ratio)
            self._kept.setDevicePixelRatio(ratio)
            self._kept.fill(self._inks.ground)
            with QPainter(self._kept) as painter:
                self.paint_content(painter)
        with QPainter(self.viewport()) as painter:
            painter.drawPixmap(0, 0, self._kept)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._paint_hand(painter)

    def paint_content(self, painter: QPainter) -> None:
        """Everything but the rule and the pointer, in this widget's pixels."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(small(self.font()))
        paint_steps(painter, self.laid, self._inks)
        if not self._stale:
            paint_touching(painter, self.laid, self._inks)
        paint_levels(painter, self.laid, self._inks)
        self.render(painter, QRectF(self.rect()), self.rect(), Qt.AspectRatioMode.IgnoreAspectRatio)
        painter.setFont(small(self.font()))
        paint_ways(painter, self.laid, self._inks)
        paint_words(painter, self.laid, self._inks)

    def _paint_hand(self, painter: QPainter) -> None:
        """The rule, and the pointer with each curve's value beside it."""
        painter.setFont(small(self.font()))
        self._paint_line(painter, self._pointed, QPen(self._inks.soft, 1, Qt.PenStyle.DotLine))
        if self._pointed is not None and not self._stale and not math.isnan(self.laid.x_at(self._pointed)):
            paint_values(painter, self.laid, self._inks, self._pointed)
        self._paint_line(painter, self._moment, QPen(self._inks.rule, 1.4))

    def _paint_line(self, painter: QPainter, time: float | None, pen: QPen) -> None:
        """A line up through the plot at a moment, and a ring where it meets each curve."""
        x = math.nan if time is None else self.laid.x_at(time)
        if time is None or math.isnan(x):
            return
        painter.setPen(pen)
        painter.drawLine(QPointF(x, 0), QPointF(x, self.height()))
        if not self._stale:
            paint_dots(painter, self.laid, self._inks, time, pen.color())

    # ---- the rule and the pointer --------------------------------------------------------------------------------

    def set_moment(self, moment: float) -> None:
        self._update_about(self._moment)
        self._moment = moment
        self._update_about(moment)

    def _point_at(self, time: float | None) -> None:
        if time != self._pointed:
            self._update_about(self._pointed)
            self._pointed = time
            self._update_about(time)
            self.pointed.emit(time)

    def _update_about(self, time: float | None) -> None:
        x = math.nan if time is None else self.laid.x_at(time)
        if -HAND_REACH <= x <= self.width() + HAND_REACH:  # a moment of a longer sequence may lie far outside
            self.viewport().update(QRect(math.floor(x) - HAND_REACH, 0, 2 * HAND_REACH, self.height()))

    def _time_at(self, event: QMouseEvent) -> float | None:
        """The moment under the pointer; over another value, that of the nearest place on any curve."""
        if self.laid.over is not None:
            return self.laid.time_near(event.position(), self._moment)
        return min(max(self._scale.time(event.position().x()), 0.0), self._scale.seconds)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        time = self._time_at(event)
        if event.button() == Qt.MouseButton.LeftButton and time is not None:
            self._scrubbing = True
            self._point_at(None)
            self.scrubbed.emit(time)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        time = self._time_at(event)
        if time is not None and self._scrubbing:
            self.scrubbed.emit(time)
        else:
            self._point_at(time)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self._scrubbing = False

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        self.mousePressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()

    def leaveEvent(self, event: object) -> None:
        self._point_at(None)


def _view_box() -> graph.ViewBox:
    box = graph.ViewBox(enableMenu=False, defaultPadding=0)
    box.setMouseEnabled(False, False)
    box.disableAutoRange()
    return box
