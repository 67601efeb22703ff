"""The plot of curves, by pyqtgraph: its own axes, no menus, no buttons, and the look of the sequence region.

pyqtgraph takes half a second to import, so that this module is imported when the first curve is shown, or before that
by a thread that has nothing else to do.
"""

from __future__ import annotations

import numpy as np
import pyqtgraph as graph
from PySide6.QtCore import QPointF, Qt, Signal
from PySide6.QtGui import QBrush, QColor, QFont, QMouseEvent, QPen, QResizeEvent, QWheelEvent

from app.sequence.inks import Inks
from app.sequence.time_scale import MARGIN, TimeScale
from app.sequence.track import with_alpha
from core.curves.series import Series, Unit

DASHES = ((), (7, 3), (2, 2), (9, 3, 2, 3), (12, 4), (5, 2, 1, 2, 1, 2))
"""One for each curve, so that none is told by its ink alone."""
UNITS = {Unit.MM: "mm", Unit.DEGREES: "degrees", Unit.SPEED: "mm/s"}
AXIS = 58
"""Pixels for the figures of an axis."""
NARROW_AXIS = MARGIN + 4
"""At the right no more is free than the lanes leave beyond their end, so that no part of a curve is hidden."""
ROOM = 0.08
"""Of the reach, left free above and below."""


def dash_of(number: int) -> tuple[int, ...]:
    return DASHES[number % len(DASHES)]


class Plot(graph.PlotWidget):
    """Curves over time, or over another quantity, with the rule at the moment."""

    scrubbed = Signal(float)
    """Seconds under the hand."""
    hovered = Signal(object)
    """Seconds under the pointer; None when it has left."""

    def __init__(self, inks: Inks) -> None:
        super().__init__(background=None)
        self._inks, self._scale = inks, TimeScale(0.0, 1.0, 1.0)
        self._curves: tuple[Series, ...] = ()
        self._over: Series | None = None
        self._moment = 0.0
        self._scrubbing = False
        self._dots: list[graph.ScatterPlotItem] = []
        self.setFrameShape(graph.QtWidgets.QFrame.Shape.NoFrame)
        self.setAntialiasing(True)
        self.setMenuEnabled(False)
        self.hideButtons()
        self.setMouseEnabled(False, False)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName("Plot of the curves")
        item = self.getPlotItem()
        item.layout.setContentsMargins(0, 4, 0, 4)
        self._second = graph.ViewBox(enableMenu=False)
        self._second.setMouseEnabled(False, False)
        item.scene().addItem(self._second)
        item.getAxis("right").linkToView(self._second)
        self._second.setXLink(item)
        item.vb.sigResized.connect(self._lay_second)
        self._rule = graph.InfiniteLine(angle=90, movable=False)
        self._pointer = graph.InfiniteLine(angle=90, movable=False)
        for line in (self._rule, self._pointer):
            line.setZValue(10)
            item.addItem(line, ignoreBounds=True)
        self._pointer.hide()
        self.set_inks(inks)

    def set_inks(self, inks: Inks) -> None:
        self._inks = inks
        self.setBackground(inks.ground)
        self._rule.setPen(QPen(inks.rule, 0))
        pointer = QPen(inks.soft, 0, Qt.PenStyle.DotLine)
        self._pointer.setPen(pointer)
        for name in ("left", "right", "bottom"):
            axis = self.getPlotItem().getAxis(name)
            axis.setPen(QPen(inks.line, 0))
            axis.setTextPen(QPen(inks.soft))
        self.show_curves(self._curves, self._over)

    # ---- what is shown -------------------------------------------------------------------------------------------

    def show_curves(self, curves: tuple[Series, ...], over: Series | None) -> None:
        """Millimetres count at the left and degrees at the right; where there is one unit, it counts at the left."""
        item = self.getPlotItem()
        for old in [*item.items, *self._second.addedItems]:
            if old not in (self._rule, self._pointer):
                (item if old in item.items else self._second).removeItem(old)
        self._curves, self._over, self._dots = curves, over, []
        units = list(dict.fromkeys(one.unit for one in sorted(curves, key=lambda one: one.unit == Unit.DEGREES)))
        self._dress_axes(units, over)
        for unit, box in zip(units, (item, self._second), strict=False):
            mine = [(number, one) for number, one in enumerate(curves) if one.unit == unit]
            self._fill(box, mine, over)
        self._rule.setVisible(over is None)
        self._place()
        self.set_moment(self._moment)

    def _dress_axes(self, units: list[Unit], over: Series | None) -> None:
        item, font = self.getPlotItem(), QFont(self.font())
        font.setPointSizeF(font.pointSizeF() * 0.84)
        item.showAxis("left", bool(units))
        item.showAxis("right", len(units) > 1)
        item.showAxis("bottom", over is not None)
        for name, unit in zip(("left", "right"), units, strict=False):
            axis = item.getAxis(name)
            axis.setWidth(AXIS if name == "left" else NARROW_AXIS)
            axis.setLabel(UNITS[unit] if name == "left" else "")
            axis.setStyle(tickFont=font, tickLength=-4, autoExpandTextSpace=False, tickTextOffset=2)
        if over is not None:
            item.getAxis("bottom").setStyle(tickFont=font, tickLength=-4)
            item.getAxis("bottom").setLabel(f"{over.title}, {UNITS[over.unit]}")

    def _fill(self, box: graph.PlotItem | graph.ViewBox, curves: list[tuple[int, Series]], over: Series | None) -> None:
        view = box.vb if isinstance(box, graph.PlotItem) else box
        for number, one in curves:
            ink = self._inks.text if number % 2 == 0 else self._inks.chosen
            pen = QPen(ink, 1.4)
            pen.setCosmetic(True)
            if dash_of(number):
                pen.setDashPattern([float(length) for length in dash_of(number)])
            x = one.times if over is None else np.interp(one.times, over.times, over.values)
            curve = graph.PlotCurveItem(x=x, y=one.values, pen=pen, connect="finite", antialias=True)
            curve.setCacheMode(graph.QtWidgets.QGraphicsItem.CacheMode.DeviceCoordinateCache)
            box.addItem(curve)
            if over is None:
                self._add_levels(box, one)
                for begin, end in one.touching:
                    box.addItem(self._region(begin, end))
            dot = graph.ScatterPlotItem(
                size=8, pen=QPen(self._inks.rule, 1.5), brush=QBrush(self._inks.ground), symbol="o", antialias=True
            )
            dot.setZValue(11)
            box.addItem(dot)
            self._dots.append(dot)
        reaches = [one.reach for _, one in curves]
        if reaches:
            low, high = min(one[0] for one in reaches), max(one[1] for one in reaches)
            room = ROOM * (high - low)
            view.setYRange(low - room, high + room, padding=0)

    def _region(self, begin: float, end: float) -> graph.LinearRegionItem:
        """A span of touching, hatched."""
        hatch = QBrush(with_alpha(self._inks.grave, 0.8), Qt.BrushStyle.BDiagPattern)
        region = graph.LinearRegionItem((begin, end), movable=False, brush=hatch, pen=QPen(self._inks.grave, 0))
        region.setZValue(-5)
        return region

    def _add_levels(self, box: graph.PlotItem | graph.ViewBox, one: Series) -> None:
        for level in one.seen_levels:
            box.addItem(self._level(level.value, level.word, self._inks.grave if level.grave else self._inks.mild))

    def _level(self, value: float, word: str, ink: QColor) -> graph.InfiniteLine:
        pen = QPen(ink, 0)
        pen.setDashPattern([5.0, 4.0])
        ground = with_alpha(self._inks.ground, 0.9)
        return graph.InfiniteLine(
            pos=value, angle=0, movable=False, pen=pen, label=word,
            labelOpts={"position": 0.015, "color": ink, "fill": ground, "anchors": [(0, 0.5), (0, 0.5)]},
        )  # fmt: skip

    # ---- time ----------------------------------------------------------------------------------------------------

    def set_scale(self, scale: TimeScale) -> None:
        """The lanes' own scale, in pixels of this widget."""
        self._scale = scale
        self._place()

    def _place(self) -> None:
        """Have the view box show exactly those seconds that the lanes show above it."""
        box = self.getPlotItem().vb
        if self._over is not None:
            low, high = self._over.reach
            box.setXRange(low, high, padding=0.03)
            return
        left = box.mapToScene(QPointF(0.0, 0.0)).x()
        self.setXRange(self._scale.time(left), self._scale.time(left + box.width()), padding=0)

    def _lay_second(self) -> None:
        self._second.setGeometry(self.getPlotItem().vb.sceneBoundingRect())
        self._place()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if hasattr(self, "_rule"):
            self._place()

    def set_moment(self, moment: float) -> None:
        self._moment = moment
        self._rule.setValue(moment)
        order = sorted(range(len(self._curves)), key=lambda number: self._curves[number].unit == Unit.DEGREES)
        for dot, number in zip(self._dots, order, strict=False):
            one = self._curves[number]
            value = one.at(moment)
            x = moment if self._over is None else self._over.at(moment)
            seen = not (np.isnan(value) or np.isnan(x))
            dot.setData([x] if seen else [], [value] if seen else [])

    # ---- the hand ------------------------------------------------------------------------------------------------

    def _time_at(self, event: QMouseEvent) -> float:
        return self._scale.time(event.position().x())

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton and self._over is None:
            self._scrubbing = True
            self.scrubbed.emit(self._time_at(event))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._over is not None:
            return
        time = min(max(self._time_at(event), 0.0), self._scale.seconds)
        self._pointer.setValue(time)
        self._pointer.setVisible(not self._scrubbing)
        self.hovered.emit(None if self._scrubbing else time)
        if self._scrubbing:
            self.scrubbed.emit(self._time_at(event))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self._scrubbing = False

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        self.mousePressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()

    def leaveEvent(self, event: object) -> None:
        self._pointer.hide()
        self.hovered.emit(None)
