"""What is painted about curves: faint steps, spans of touching, levels, names at the ends, values at a moment."""

from __future__ import annotations

import math

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainter, QPen, QPolygonF

from app.sequence.axes import ROOM_UP
from app.sequence.curve_pens import curve_pen, paint_sample
from app.sequence.curve_words import Wanted, names_at_ends, words_at_levels
from app.sequence.inks import Inks
from app.sequence.laid_curves import LaidCurves
from app.sequence.ruler import apart
from app.sequence.track import put_text, with_alpha
from core.curves.series import Level, Series
from core.geometry.planar import Complexes

NAME_SAMPLE = 18.0
BESIDE = NAME_SAMPLE + 5.0
LONGEST_NAME = 220.0
WORD = 14.0
DOT = 3.2
ARROW = 8.0
BETWEEN_ARROWS = 220.0
"""Pixels along a curve from one arrowhead to the next."""


def paint_steps(painter: QPainter, laid: LaidCurves, inks: Inks) -> None:
    """Faint lines at the figures of the first axis."""
    painter.setPen(QPen(with_alpha(inks.line, 0.6), 1))
    for reach in list(laid.ups.values())[:1]:
        for value, _ in reach.steps(ROOM_UP):
            painter.drawLine(QPointF(0, reach.pixel(value)), QPointF(laid.width, reach.pixel(value)))


def paint_touching(painter: QPainter, laid: LaidCurves, inks: Inks) -> None:
    """Over time hatched spans; over another value, which may come back, a wide line along the curve."""
    for one in laid.curves:
        for begin, end in one.touching if one.unit in laid.ups else ():
            if laid.over is None:
                _hatch(painter, laid, inks, laid.x_at(begin), laid.x_at(end))
                continue
            x, y = laid.line(one)
            inside = (one.times >= begin) & (one.times <= end)
            places = zip(laid.along.pixels(x[inside]), laid.ups[one.unit].pixels(y[inside]), strict=True)
            painter.setPen(QPen(inks.grave, 5, Qt.PenStyle.SolidLine, Qt.PenCapStyle.SquareCap))
            painter.drawPolyline(QPolygonF([QPointF(float(a), float(b)) for a, b in places]))


def _hatch(painter: QPainter, laid: LaidCurves, inks: Inks, left: float, right: float) -> None:
    box = QRectF(left, 0, max(right - left, 3.0), laid.height)
    painter.fillRect(box, inks.grave_ground)
    painter.fillRect(box, QBrush(with_alpha(inks.grave, 0.7), Qt.BrushStyle.BDiagPattern))
    painter.setPen(QPen(inks.grave, 1))
    painter.drawLine(box.topLeft(), box.bottomLeft())
    painter.drawLine(box.topRight(), box.bottomRight())


def paint_levels(painter: QPainter, laid: LaidCurves, inks: Inks) -> None:
    """Dashed lines, whose words are painted over the curves."""
    for one, level in laid.levels:
        pen = QPen(_ink_of(level, inks), 1)
        pen.setDashPattern([5.0, 4.0])
        painter.setPen(pen)
        y = laid.y_of(one, level.value)
        painter.drawLine(QPointF(0, y), QPointF(laid.width, y))


def paint_ways(painter: QPainter, laid: LaidCurves, inks: Inks) -> None:
    """Arrowheads along curves over another value, which may turn back: which way they are gone through."""
    if laid.over is None:
        return
    painter.setPen(Qt.PenStyle.NoPen)
    for number, one in enumerate(laid.curves):
        if one.unit in laid.ups:
            painter.setBrush(curve_pen(number, inks).color())
            for at, way in heads_along(laid.path(one)):
                left, right = at + ARROW * way * (-1 + 0.45j), at + ARROW * way * (-1 - 0.45j)
                painter.drawPolygon(QPolygonF([QPointF(z.real, z.imag) for z in (at, left, right)]))
    painter.setBrush(Qt.BrushStyle.NoBrush)


def heads_along(path: Complexes) -> list[tuple[complex, complex]]:
    """Points and unit directions for arrowheads on a path in pixels, evenly along it; none on one too short."""
    known = path[np.isfinite(path)]
    steps = np.abs(np.diff(known))
    gone = np.concatenate([[0.0], np.cumsum(steps)])
    count = max(1, round(float(gone[-1]) / BETWEEN_ARROWS))
    if not len(steps) or gone[-1] < 3 * ARROW:
        return []
    heads = []
    for wanted in (np.arange(count) + 0.5) / count * gone[-1]:
        at = min(int(np.searchsorted(gone, wanted, side="right")) - 1, len(steps) - 1)
        way = (known[at + 1] - known[at]) / steps[at]
        heads.append((complex(known[at] + (wanted - gone[at]) * way), complex(way)))
    return heads


def paint_words(painter: QPainter, laid: LaidCurves, inks: Inks) -> None:
    """Each curve's name at its end, with a sample of its line, and what each level is."""
    metrics, size = QFontMetricsF(painter.font()), (laid.width, laid.height)
    drawn = [(number, one) for number, one in enumerate(laid.curves) if one.unit in laid.ups]
    names = [_name_wanted(laid, one, metrics) for _, one in drawn]
    ink = laid.ink
    boxes = names_at_ends(names, WORD, size, ink)
    for (number, _), name, box in zip(drawn, names, boxes, strict=True):
        if box is not None:
            paint_named(painter, number, name.text, box, inks)
    words = [_level_wanted(laid, one, level, metrics) for one, level in laid.levels]
    places = words_at_levels(words, WORD, size, [box for box in boxes if box is not None], ink)
    for (_, level), word, box in zip(laid.levels, words, places, strict=True):
        if box is not None:
            _paint_ground(painter, box, inks)
            put_text(painter, box, word.text, _ink_of(level, inks))


def paint_named(painter: QPainter, number: int, text: str, box: QRectF, inks: Inks) -> None:
    """A sample of a curve's line and a text about it."""
    _paint_ground(painter, box, inks)
    paint_sample(painter, number, inks, QPointF(box.left(), box.center().y()), NAME_SAMPLE)
    put_text(painter, box.adjusted(BESIDE, 0, 0, 0), text, inks.text)


def paint_dots(painter: QPainter, laid: LaidCurves, inks: Inks, time: float, ink: QColor) -> None:
    painter.setPen(QPen(ink, 1.5))
    painter.setBrush(inks.ground)
    for one in laid.curves:
        spot = laid.spot(one, time)
        if spot is not None:
            painter.drawEllipse(spot, DOT, DOT)
    painter.setBrush(Qt.BrushStyle.NoBrush)


def paint_values(painter: QPainter, laid: LaidCurves, inks: Inks, time: float) -> None:
    """Each curve's value beside the pointer, and under them the moment."""
    seen = sorted(_told_at(laid, time), key=lambda told: told[0])
    metrics, x, at = QFontMetricsF(painter.font()), laid.x_at(time), f"{time:.3f} s"
    if laid.over is not None:
        at = f"{laid.over.told(laid.over.at(time))}, at {at}"
    widths = [*(metrics.horizontalAdvance(text) + BESIDE + 2 for *_, text in seen), metrics.horizontalAdvance(at) + 2]
    left = x + 8 if x + 8 + max(widths) < laid.width else x - 8 - max(widths)
    tops = apart([*(max(y - WORD / 2, 0.0) for y, *_ in seen), laid.height - WORD], WORD, laid.height - WORD)
    for (_, number, text), top, wide in zip(seen, tops, widths, strict=False):
        box = QRectF(left, top, wide, WORD)
        painter.fillRect(box.adjusted(-2, 0, 2, 0), inks.ground)  # nothing shines through what is read just now
        paint_named(painter, number, text, box, inks)
    box = QRectF(left, tops[-1], widths[-1], WORD)
    painter.fillRect(box.adjusted(-2, 0, 2, 0), inks.ground)
    put_text(painter, box, at, inks.soft)


def _told_at(laid: LaidCurves, time: float) -> list[tuple[float, int, str]]:
    """Of each curve that has a value where it is, within the plot's height, its number and the value."""
    known = [(number, one, one.at(time)) for number, one in enumerate(laid.curves) if one.unit in laid.ups]
    return [
        (min(max(laid.y_of(one, value), 0.0), laid.height), number, one.told(value))
        for number, one, value in known
        if not math.isnan(value)
    ]


def _name_wanted(laid: LaidCurves, one: Series, metrics: QFontMetricsF) -> Wanted:
    end = laid.end_of(one)
    width = min(metrics.horizontalAdvance(one.title) + 2, LONGEST_NAME) + BESIDE
    return Wanted(one.title, width, end.x(), end.y())


def _level_wanted(laid: LaidCurves, one: Series, level: Level, metrics: QFontMetricsF) -> Wanted:
    """Whose it is stands beside it where there are several curves."""
    text = level.word if len(laid.curves) == 1 else f"{level.word}, {one.title}"
    width = min(metrics.horizontalAdvance(text) + 2, LONGEST_NAME)
    return Wanted(text, width, laid.along.begin + 4, laid.y_of(one, level.value))


def _ink_of(level: Level, inks: Inks) -> QColor:
    return inks.grave if level.grave else inks.mild


def _paint_ground(painter: QPainter, box: QRectF, inks: Inks) -> None:
    painter.fillRect(box.adjusted(-2, 0, 2, 0), with_alpha(inks.ground, 0.88))
