"""Curves laid over pixels: which axis each has, and where it is at a moment."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF

from app.sequence.axes import Reach
from app.sequence.time_scale import TimeScale
from core.curves.series import Level, Series, Unit
from core.geometry.planar import Complexes, Floats

ROOM = 0.08
"""Of the reach, left free above and below."""
TOP = 21.0
"""Pixels left free above at the least: for the axis's unit over the topmost figure, and names over curves."""
MOST_TOP = 0.25
"""Of a plot that is hardly higher than that."""
SIDES = (12.0, 24.0)
"""Pixels left free at the ends of an axis along which there is no time."""
CLOSE = 4.0
"""Pixels between points that stand for a curve where words keep off it."""
SAME_PLACE = 1.5
"""Pixels within which stretches of curves pass a point equally near."""


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

    def path(self, one: Series) -> Complexes:
        """(F,) the curve's corners in pixels, x + iy; NaN where it has no value."""
        x, y = self.line(one)
        return np.asarray(self.along.pixels(x) + 1j * self.ups[one.unit].pixels(y))

    @property
    def ink(self) -> Complexes:
        """Points of all curves in pixels, near to each other: what of the plot they cover."""
        pieces = [_close_together(self.path(one), self.height) for one in self._drawn]
        return np.concatenate(pieces) if pieces else np.zeros(0, dtype=np.complex128)

    def time_near(self, point: QPointF, about: float) -> float | None:
        """The moment at the nearest place on any curve; None where there is none. Where a curve passes a place more
        than once, the moment that is nearest to `about`."""
        pieces = [_passing(self.path(one), one.times, complex(point.x(), point.y())) for one in self._drawn]
        far = np.concatenate([away for away, _ in pieces]) if pieces else np.zeros(0)
        if not np.isfinite(far).any():
            return None
        times = np.concatenate([when for _, when in pieces])
        near = far <= np.nanmin(far) + SAME_PLACE
        return float(times[near][np.argmin(np.abs(times[near] - about))])

    @property
    def _drawn(self) -> tuple[Series, ...]:
        return tuple(one for one in self.curves if one.unit in self.ups)


def _close_together(path: Complexes, height: float) -> Complexes:
    """Points of a path no farther apart than a few pixels; what lies outside the plot's height is at its edge."""
    path = path.real + 1j * np.clip(path.imag, -CLOSE, height + CLOSE)
    gone = np.concatenate([[0.0], np.cumsum(np.nan_to_num(np.abs(np.diff(path))))])
    found = np.interp(np.arange(0.0, gone[-1] + CLOSE, CLOSE), gone, path)
    return np.asarray(found[np.isfinite(found)])


def _passing(path: Complexes, times: Floats, point: complex) -> tuple[Floats, Floats]:
    """How far each stretch of a path passes from a point, and when it is nearest; NaN where there is none."""
    way = np.diff(path)
    square = np.abs(way) ** 2
    share = ((point - path[:-1]) * way.conj()).real / np.where(square > 0.0, square, 1.0)
    share = np.clip(share, 0.0, 1.0)
    return np.abs(path[:-1] + share * way - point), times[:-1] + share * np.diff(times)


def _up(reaches: list[tuple[float, float]], height: float) -> Reach:
    """From the bottom of the plot to its top."""
    low, high = min(one[0] for one in reaches), max(one[1] for one in reaches)
    below = ROOM * (high - low)
    above = min(max(TOP / height, ROOM), MOST_TOP)
    return Reach(low - below, low - below + (high - low + below) / (1.0 - above), height, 0.0)


def units_of(curves: tuple[Series, ...]) -> tuple[Unit, ...]:
    """Of the axes that curves have, in the order of their kinds; at most two."""
    used = {one.unit for one in curves}
    return tuple(unit for unit in Unit if unit in used)[:2]
