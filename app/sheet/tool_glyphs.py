"""A sign for each tool: what it makes or does, drawn as the sheet draws it. Joints have the symbols of ISO 3952-1, as
on the sheet; centre lines, dimension lines and dashed former positions are those of ISO 128-2 and ISO 129-1.

In a square of 20 by 20 about the middle, y up.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPainterPath, QPen, QPixmap, QTransform

from app.painting.symbols import Shape, shape_of
from core.drawing.drawing import Symbol

SIDE = 20.0
PEN = 1.25
FINE_PIXELS = 3
"""Pixels of the icon for each of the button, so that it is sharp on any screen."""

Point = tuple[float, float]


def lines(*every: Iterable[Point], closed: bool = False) -> QPainterPath:
    path = QPainterPath()
    for one in every:
        first, *others = [QPointF(x, y) for x, y in one]
        path.moveTo(first)
        for point in others:
            path.lineTo(point)
        if closed:
            path.closeSubpath()
    return path


def rings(*every: tuple[float, float, float]) -> QPainterPath:
    """Circles, each its middle and radius."""
    path = QPainterPath()
    for x, y, radius in every:
        path.addEllipse(QPointF(x, y), radius, radius)
    return path


def dots(*every: Point, size: float = 1.5) -> QPainterPath:
    return rings(*((x, y, size) for x, y in every))


def capsule(start: Point, end: Point, half: float) -> QPainterPath:
    """A bar with round ends."""
    x, y = end[0] - start[0], end[1] - start[1]
    length = math.hypot(x, y)
    path = QPainterPath()
    path.addRoundedRect(QRectF(-half, -half, length + 2 * half, 2 * half), half, half)
    place = QTransform().translate(*start).rotateRadians(math.atan2(y, x))
    return place.map(path)


def dashes(start: Point, end: Point, many: int) -> QPainterPath:
    """A dashed line: where something was, or will be."""
    path = QPainterPath()
    for n in range(many):
        share, until = (2 * n) / (2 * many - 1), (2 * n + 1) / (2 * many - 1)
        path.moveTo(*(a + share * (b - a) for a, b in zip(start, end, strict=True)))
        path.lineTo(*(a + until * (b - a) for a, b in zip(start, end, strict=True)))
    return path


def arrow(at: Point, degrees: float, size: float = 3.6) -> QPainterPath:
    """A filled arrowhead with its point at a place."""
    head = lines([(0.0, 0.0), (-size, 0.42 * size), (-size, -0.42 * size)], closed=True)
    return QTransform().translate(*at).rotate(degrees).map(head)


def arc(middle: Point, radius: float, begin: float, span: float) -> QPainterPath:
    """Counter-clockwise from an angle over a span, degrees."""
    steps = [math.radians(begin + span * n / 24.0) for n in range(25)]
    return lines([(middle[0] + radius * math.cos(t), middle[1] + radius * math.sin(t)) for t in steps])


def both(*paths: QPainterPath) -> QPainterPath:
    joined = QPainterPath()
    for path in paths:
        joined.addPath(path)
    return joined


# ---- drawing --------------------------------------------------------------------------------------------------------


def _outline() -> Shape:
    corners = [(-7.5, -5.0), (-5.5, 6.0), (2.5, 4.0), (7.5, -2.5), (1.0, -7.0)]
    return Shape(strokes=lines(corners, closed=True), areas=dots(corners[1], corners[3]))


def _wall() -> Shape:
    outer = [(-7.5, -7.0), (-7.5, 6.5), (7.5, 6.5), (7.5, -7.0), (5.0, -7.0), (5.0, 4.0), (-5.0, 4.0), (-5.0, -7.0)]
    return Shape(strokes=lines(outer, closed=True))


def _centred(radius: float) -> QPainterPath:
    """A circle with its centre marked by two short lines."""
    return both(rings((0.0, 0.0, radius)), lines([(-2.2, 0.0), (2.2, 0.0)], [(0.0, -2.2), (0.0, 2.2)]))


def _circle() -> Shape:
    return Shape(strokes=_centred(7.0))


def _circle_by_ends() -> Shape:
    return Shape(strokes=both(rings((0, 0, 6.5)), dashes((-6.5, 0), (6.5, 0), 3)), areas=dots((-6.5, 0), (6.5, 0)))


def _circle_through() -> Shape:
    at = [(6.5 * math.cos(math.radians(t)), 6.5 * math.sin(math.radians(t))) for t in (80, 200, 320)]
    return Shape(strokes=rings((0, 0, 6.5)), areas=dots(*at))


def _box() -> Shape:
    corners = [(-7.5, -5.0), (-7.5, 5.0), (7.5, 5.0), (7.5, -5.0)]
    return Shape(strokes=lines(corners, closed=True), areas=dots(corners[0], corners[2]))


def _bar() -> Shape:
    ends = ((-5.0, -4.5), (5.0, 4.5))
    return Shape(strokes=both(capsule(*ends, 2.9), rings((*ends[0], 0.9), (*ends[1], 0.9))))


def _wheel() -> Shape:
    return Shape(strokes=rings((0, 0, 7.5), (0, 0, 4.0)), areas=dots((0, 0), size=1.2))


def _hole() -> Shape:
    body = lines([(-7.5, -6.0), (-7.5, 6.0), (7.5, 6.0), (7.5, -6.0)], closed=True)
    body.setFillRule(Qt.FillRule.OddEvenFill)
    body.addPath(rings((0, 0, 3.6)))
    return Shape(areas=body)


# ---- joining --------------------------------------------------------------------------------------------------------


def _slot() -> Shape:
    return Shape(strokes=both(capsule((-5.2, 0), (5.2, 0), 3.2), rings((2.2, 0, 1.9))))


def _rod() -> Shape:
    return Shape(strokes=both(lines([(-4.2, -3.6), (4.2, 3.6)]), rings((-5.7, -4.9, 2.0), (5.7, 4.9, 2.0))))


def _jack() -> Shape:
    barrel = lines([(-5.4, -2.6), (-5.4, 2.6), (2.0, 2.6), (2.0, -2.6)], closed=True)
    rod = lines([(-1.6, -2.6), (-1.6, 2.6)], [(-1.6, 0.0), (5.4, 0.0)])
    return Shape(strokes=both(barrel, rod, rings((-7.2, 0, 1.7), (7.2, 0, 1.7))))


def _gearing() -> Shape:
    wheels = rings((-3.4, 0, 4.6), (4.6, 0, 3.2))
    return Shape(strokes=wheels, areas=dots((-3.4, 0), (4.6, 0), size=1.1))


# ---- changing -------------------------------------------------------------------------------------------------------


def _reshape() -> Shape:
    now = lines([(-7.5, -6.5), (-7.5, 2.5), (5.0, 5.5), (7.0, -6.5)], closed=True)
    was = both(dashes((-7.5, 2.5), (1.0, 0.0), 3), dashes((1.0, 0.0), (7.0, -6.5), 3))
    grip = QPainterPath()
    grip.addRect(QRectF(3.1, 3.6, 3.8, 3.8))
    return Shape(strokes=both(now, was), areas=grip)


def _move() -> Shape:
    bar = capsule((1.0, 5.0), (6.0, 5.0), 2.2)
    was = both(dashes((-6.0, -2.8), (-1.0, -2.8), 2), dashes((-6.0, -7.2), (-1.0, -7.2), 2))
    ends = both(arc((-6.0, -5.0), 2.2, 90, 180), arc((-1.0, -5.0), 2.2, -90, 180))
    return Shape(strokes=both(bar, was, ends, lines([(-3.0, -1.0), (0.0, 1.4)])), areas=arrow((1.6, 2.6), 38))


def _turn() -> Shape:
    arms = both(lines([(-5.5, -6.0), (7.5, -6.0)]), dashes((-5.5, -6.0), (1.0, 5.3), 4))
    swung = arc((-5.5, -6.0), 9.5, 6, 38)
    return Shape(strokes=both(arms, swung), areas=both(dots((-5.5, -6.0), size=1.8), arrow((1.2, 0.7), 140)))


def _mirror() -> Shape:
    lever = [(-2.6, -6.0), (-7.0, -6.0), (-7.0, 6.0), (-4.4, 6.0), (-4.4, -3.4), (-2.6, -3.4)]
    line = both(lines([(0, -8.5), (0, -3.0)], [(0, 3.0), (0, 8.5)]), lines([(0, -0.6), (0, 0.6)]))
    other = lines([(-x, y) for x, y in lever], closed=True)
    return Shape(strokes=both(lines(lever, closed=True), line, other))


def _copy() -> Shape:
    first, second = capsule((-5.5, -5.0), (-5.5, 4.0), 2.1), capsule((3.0, -3.0), (3.0, 6.0), 2.1)
    return Shape(strokes=both(first, second), areas=dots((-5.5, -5.0), (3.0, -3.0), size=0.9))


def _scale() -> Shape:
    """A lever as large as it was, and larger from the same point."""
    was = both(dashes((-1.0, -6.0), (-3.4, -1.2), 2), dashes((-3.4, -1.2), (-7.0, -6.0), 3))
    now = lines([(-7.0, -6.0), (7.5, -6.0), (1.7, 5.6)], closed=True)
    return Shape(strokes=both(was, now), areas=dots((-7.0, -6.0), size=1.8))


# ---- fitting and measuring -----------------------------------------------------------------------------------------


def _dimension(level: float, half: float = 7.5) -> Shape:
    """A dimension line between its extension lines."""
    ends = lines([(-half, level - 3.5), (-half, level + 2.0)], [(half, level - 3.5), (half, level + 2.0)])
    heads = both(arrow((-half, level), 180), arrow((half, level), 0))
    return Shape(strokes=both(ends, lines([(-half, level), (half, level)])), areas=heads)


def _fit_length() -> Shape:
    line = _dimension(3.5)
    return Shape(strokes=both(line.strokes, dashes((-7.5, -5.5), (7.5, -5.5), 4)), areas=line.areas)


def _measure_distance() -> Shape:
    line = _dimension(4.0)
    return Shape(strokes=line.strokes, areas=both(line.areas, dots((-7.5, -3.5), (7.5, -3.5))))


def _measure_angle() -> Shape:
    sides = lines([(-6.5, -6.0), (7.5, -6.0)], [(-6.5, -6.0), (3.4, 6.2)])
    swung = arc((-6.5, -6.0), 9.0, 4, 43)
    heads = both(arrow((2.5, -6.0), -88, 3.0), arrow((-0.9, 1.0), 138, 3.0))
    return Shape(strokes=both(sides, swung), areas=heads)


def _measure_gap() -> Shape:
    left = lines([(-3.0, -7.0), (-3.0, 7.0), (-8.0, 7.0), (-8.0, -7.0)], closed=True)
    heads = both(arrow((-3.0, 0.0), 0, 3.2), arrow((2.4, 0.0), 180, 3.2))
    return Shape(strokes=both(left, arc((8.5, 0.0), 6.1, 110, 140), lines([(2.4, 0.0), (8.0, 0.0)])), areas=heads)


def _measure_diameter() -> Shape:
    """A dimension line across a circle."""
    heads = both(arrow((-7.5, 0.0), 180, 3.2), arrow((7.5, 0.0), 0, 3.2))
    return Shape(strokes=both(rings((0, 0, 7.5)), lines([(-7.5, 0.0), (7.5, 0.0)])), areas=heads)


def _measure_length() -> Shape:
    """A dimension line over a rod."""
    line = _dimension(5.0, 6.0)
    rod = both(lines([(-4.2, -4.0), (4.2, -4.0)]), rings((-6.0, -4.0, 1.8), (6.0, -4.0, 1.8)))
    return Shape(strokes=both(line.strokes, rod), areas=line.areas)


def _measure_stroke() -> Shape:
    """A piston somewhere in its barrel, with what is used of it measured."""
    barrel = lines([(-7.5, -6.5), (-7.5, 0.0), (7.5, 0.0), (7.5, -6.5)], closed=True)
    used = lines([(-4.5, -6.5), (-4.5, 0.0)], [(3.5, -6.5), (3.5, 0.0)], [(-4.5, 5.0), (3.5, 5.0)])
    ends = lines([(-4.5, 1.8), (-4.5, 7.0)], [(3.5, 1.8), (3.5, 7.0)])
    heads = both(arrow((-4.5, 5.0), 180, 3.2), arrow((3.5, 5.0), 0, 3.2))
    return Shape(strokes=both(barrel, used, ends), areas=heads)


def _path() -> Shape:
    course = arc((-2.0, -7.0), 11.0, 20, 95)
    return Shape(strokes=course, areas=dots((8.3, -3.2), (3.4, 2.6), (-2.6, 4.0), (-6.6, 3.0), size=1.3))


def _pull() -> Shape:
    """A body turned out of its place by a line that pulls at it."""
    was = both(dashes((-6.0, -6.0), (-6.0, 6.0), 4))
    now = capsule((-6.0, -6.0), (1.0, 3.0), 1.8)
    return Shape(
        strokes=both(was, now, lines([(1.0, 3.0), (5.4, 5.0)])), areas=both(arrow((8.4, 6.3), 24), dots((1, 3)))
    )


def _snap() -> Shape:
    """A point in the corner that it came to rest at."""
    return Shape(strokes=lines([(-6.0, 7.0), (-6.0, -6.0), (7.5, -6.0)]), areas=dots((-6.0, -6.0), size=2.4))


def _snap_off() -> Shape:
    """A point that stays beside the corner."""
    return Shape(strokes=both(lines([(-6.0, 7.0), (-6.0, -6.0), (7.5, -6.0)]), rings((0.5, 0.5, 2.2))))


def _into() -> Shape:
    """Two outlines that are one."""
    corners = [(-7.5, -6.5), (-7.5, 2.5), (-2.0, 2.5), (-2.0, 6.5), (7.5, 6.5), (7.5, -2.0), (2.5, -2.0), (2.5, -6.5)]
    within = both(dashes((-2.0, 2.5), (2.5, 2.5), 2), dashes((2.5, 2.5), (2.5, -2.0), 2))
    return Shape(strokes=both(lines(corners, closed=True), within))


def _more() -> Shape:
    return Shape(areas=lines([(-4.0, 2.0), (4.0, 2.0), (0.0, -2.6)], closed=True))


GLYPHS: Mapping[str, Callable[[], Shape]] = MappingProxyType(
    {
        "outline": _outline,
        "wall": _wall,
        "circle": _circle,
        "circle-by-ends": _circle_by_ends,
        "circle-through": _circle_through,
        "box": _box,
        "bar": _bar,
        "wheel": _wheel,
        "hole": _hole,
        "pivot": lambda: shape_of(Symbol.FIXED_PIVOT),
        "slide": lambda: shape_of(Symbol.SLIDE),
        "slot": _slot,
        "rod": _rod,
        "jack": _jack,
        "gearing": _gearing,
        "latch": lambda: shape_of(Symbol.LATCH_OPEN),
        "reshape": _reshape,
        "move": _move,
        "turn": _turn,
        "mirror": _mirror,
        "copy": _copy,
        "scale": _scale,
        "fit-point": lambda: shape_of(Symbol.TARGET),
        "fit-length": _fit_length,
        "measure-distance": _measure_distance,
        "measure-angle": _measure_angle,
        "measure-gap": _measure_gap,
        "measure-diameter": _measure_diameter,
        "measure-length": _measure_length,
        "measure-stroke": _measure_stroke,
        "path": _path,
        "pull": _pull,
        "snap": _snap,
        "snap-off": _snap_off,
        "into": _into,
        "more": _more,
    }
)


def glyph_icon(name: str, ink: QColor, ground: QColor, side: int) -> QIcon:
    """A glyph in an ink, with the ground that lies within its rings; nothing where there is none of that name."""
    make = GLYPHS.get(name)
    if make is None:
        return QIcon()
    pixmap = QPixmap(side * FINE_PIXELS, side * FINE_PIXELS)
    pixmap.setDevicePixelRatio(FINE_PIXELS)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    _paint(painter, make(), ink, ground, side)
    painter.end()
    return QIcon(pixmap)


def _paint(painter: QPainter, shape: Shape, ink: QColor, ground: QColor, side: int) -> None:
    """Symbols of the sheet are in millimetres of their own, and fill the square."""
    bounds = shape.strokes.boundingRect() | shape.areas.boundingRect() | shape.grounds.boundingRect()
    small = max(bounds.width(), bounds.height()) < 0.5 * SIDE
    unit = side / SIDE
    scale = 0.78 * side / max(bounds.width(), bounds.height()) if small else unit
    middle = bounds.center() if small else QPointF(0.0, 0.0)
    painter.translate(0.5 * side, 0.5 * side)
    painter.scale(scale, -scale)
    painter.translate(-middle)
    pen = QPen(ink, PEN * unit / scale)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.strokePath(shape.strokes, pen)
    painter.fillPath(shape.grounds, ground)
    painter.strokePath(shape.grounds, pen)
    painter.fillPath(shape.areas, ink)
