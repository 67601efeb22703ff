"""Curves laid over pixels: which axis each has, and where it is at a moment."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF

from app.sequence.axes import Reach
from app.sequence.time_scale import TimeScale
from core.curves.series import Level, Series, Unit

Floats = NDArray[np.float64]
ROOM = 0.08
"""Of the reach, left free above and below."""
SIDES = (12.0, 24.0)
"""Pixels left free at the ends of an axis along which there is no time."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LaidCurves:
    """Curves over time, or over another quantity, in a plot of a given size."""

    curves: tuple[Series, ...] = ()
    over: Series | None = None
    width: float = 1.0
    height: float = 1.0
    along: Reach
    ups: dict[Unit, Reach]
    """By unit, two at the most; curves of a third are not drawn."""

    @classmethod
    def of(
        cls, curves: tuple[Series, ...], over: Series | None, scale: TimeScale, size: tuple[float, float]
    ) -> LaidCurves:
        """Over time by the lanes' own scale, in pixels of the plot."""
        width, height = size
        ups = {unit: _up([one.reach for one in curves if one.unit is unit], height) for unit in units_of(curves)}
        along = Reach(0.0, max(scale.seconds, 1e-9), scale.left, scale.left + scale.width)
        if over is not None:
            along = Reach(*over.reach, SIDES[0], max(width - SIDES[1], SIDES[0] + 1.0))
        return cls(curves=curves, over=over, width=width, height=height, along=along, ups=ups)

    @property
    def units(self) -> tuple[Unit, ...]:
        return tuple(self.ups)

    @property
    def levels(self) -> tuple[tuple[Series, Level], ...]:
        return tuple((one, level) for one in self.curves if one.unit in self.ups for level in one.seen_levels)

    def line(self, one: Series) -> tuple[Floats, Floats]:
        """(F,) what it is drawn over, and its values."""
        if self.over is None:
            return one.times, one.values
        return np.interp(one.times, self.over.times, self.over.values), one.values

    def x_at(self, time: float) -> float:
        """NaN where what the curves are drawn over has no value."""
        return self.along.pixel(time if self.over is None else self.over.at(time))

    def y_of(self, one: Series, value: float) -> float:
        return self.ups[one.unit].pixel(value)

    def spot(self, one: Series, time: float) -> QPointF | None:
        """Where a curve is at a moment; None where it has no value, or is out of sight."""
        value, x = one.at(time), self.x_at(time)
        if math.isnan(value) or math.isnan(x) or one.unit not in self.ups:
            return None
        y = self.y_of(one, value)
        return QPointF(x, y) if -1.0 <= y <= self.height + 1.0 else None

    def end_of(self, one: Series) -> QPointF:
        """Where its last value is, held within the plot."""
        known = np.flatnonzero(np.isfinite(one.values))
        time = float(one.times[known[-1]]) if len(known) else 0.0
        x, y = self.x_at(time), self.y_of(one, one.at(time))
        return QPointF(0.0 if math.isnan(x) else x, min(max(y, 0.0), self.height))

    def time_near(self, point: QPointF) -> float | None:
        """The moment at the nearest place on any curve; None where there is none."""
        best: tuple[float, float | None] = (math.inf, None)
        for one in self.curves:
            if one.unit in self.ups:
                x, y = self.line(one)
                far = np.hypot(self.along.pixels(x) - point.x(), self.ups[one.unit].pixels(y) - point.y())
                nearest = int(np.argmin(np.where(np.isnan(far), np.inf, far)))
                best = min(best, (float(far[nearest]), float(one.times[nearest])), key=lambda each: each[0])
        return best[1]


def _up(reaches: list[tuple[float, float]], height: float) -> Reach:
    """From the bottom of the plot to its top."""
    low, high = min(one[0] for one in reaches), max(one[1] for one in reaches)
    room = ROOM * (high - low)
    return Reach(low - room, high + room, height, 0.0)


def units_of(curves: tuple[Series, ...]) -> tuple[Unit, ...]:
    """Of the axes that curves have, in the order of their kinds; at most two."""
    used = {one.unit for one in curves}
    return tuple(unit for unit in Unit if unit in used)[:2]
