"""The signs of ISO 3952-1, and a few of our own, as paths in paper millimetres, y up, about the point they stand at."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from enum import Enum, auto
from types import MappingProxyType

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainterPath

from core.drawing.drawing import Symbol

GROUND_HATCH = 0.62
"""Millimetres between the lines that hatch what stands still, along it and across."""


class Ink(Enum):
    """What a sign is drawn with."""

    LINE = auto()
    WRONG = auto()
    HAND = auto()


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """Strokes with a narrow line, areas filled with ink, and grounds filled with paper and then stroked."""

    grounds: QPainterPath = field(default_factory=QPainterPath)
    strokes: QPainterPath = field(default_factory=QPainterPath)
    areas: QPainterPath = field(default_factory=QPainterPath)
    ink: Ink = Ink.LINE
    upright: bool = False
    """It keeps to the sheet's axes, however its connection turns."""
    has_grounds: bool = field(init=False)
    has_strokes: bool = field(init=False)
    has_areas: bool = field(init=False)
    box: QRectF = field(init=False)
    """About all of it."""

    def __post_init__(self) -> None:
        parts = {"grounds": self.grounds, "strokes": self.strokes, "areas": self.areas}
        box = QRectF()
        for name, path in parts.items():
            object.__setattr__(self, f"has_{name}", not path.isEmpty())
            if not path.isEmpty():
                box = box.united(path.boundingRect().adjusted(-THIN, -THIN, THIN, THIN))
        object.__setattr__(self, "box", box)

    @property
    def is_line(self) -> bool:
        """Whether it is strokes in plain ink and nothing else."""
        return self.ink is Ink.LINE and not self.has_grounds and not self.has_areas


THIN = 1e-6
"""By which the box is larger, so that it is a box about a straight line too."""
Corners = Iterable[tuple[float, float]]
PIVOT_RADIUS = 0.75


def shape_of(symbol: Symbol) -> Shape:
    return _SHAPES[symbol]()


def _path(*lines: Corners, closed: bool = False) -> QPainterPath:
    path = QPainterPath()
    for line in lines:
        corners = [QPointF(x, y) for x, y in line]
        path.moveTo(corners[0])
        for corner in corners[1:]:
            path.lineTo(corner)
        if closed:
            path.closeSubpath()
    return path


def _ring(radius: float, x: float = 0.0, y: float = 0.0) -> QPainterPath:
    path = QPainterPath()
    path.addEllipse(QPointF(x, y), radius, radius)
    return path


def _arcs(radius: float, *spans: tuple[float, float]) -> QPainterPath:
    """Arcs about the point, each from an angle over a span, degrees; Qt's angles run the other way where y is up."""
    path = QPainterPath()
    box = QRectF(-radius, -radius, 2 * radius, 2 * radius)
    for begin, span in spans:
        path.arcMoveTo(box, -begin)
        path.arcTo(box, -begin, -span)
    return path


def _ground(left: float, right: float, level: float) -> QPainterPath:
    """What stands still: a line, hatched below."""
    path = _path([(left, level), (right, level)])
    at = left + GROUND_HATCH
    while at <= right + 1e-6:
        path.addPath(_path([(at, level), (at - GROUND_HATCH, level - GROUND_HATCH)]))
        at += GROUND_HATCH
    return path


def _box(half_length: float, half_width: float) -> QPainterPath:
    path = QPainterPath()
    path.addRect(QRectF(-half_length, -half_width, 2 * half_length, 2 * half_width))
    return path


def _pivot() -> Shape:
    return Shape(grounds=_ring(PIVOT_RADIUS), upright=True)


def _fixed_pivot() -> Shape:
    legs = _path([(-1.25, -2.3), (-0.38, -0.65)], [(1.25, -2.3), (0.38, -0.65)])
    legs.addPath(_ground(-1.85, 1.85, -2.3))
    return Shape(grounds=_ring(PIVOT_RADIUS), strokes=legs, upright=True)


def _slide() -> Shape:
    return Shape(grounds=_box(1.5, 0.8), strokes=_path([(-2.6, 0), (2.6, 0)]))


def _fixed_slide() -> Shape:
    strokes = _path([(-2.6, 0), (2.6, 0)])
    strokes.addPath(_ground(-1.85, 1.85, -0.8))
    return Shape(grounds=_box(1.5, 0.8), strokes=strokes)


def _slot() -> Shape:
    grounds = _box(1.5, 0.9)
    return Shape(grounds=grounds, strokes=_ring(0.62))


def _latch_open() -> Shape:
    """A hook that stands open."""
    hook = _arcs(1.15, (40, 230))
    hook.lineTo(0.9, -1.15)
    return Shape(strokes=hook, areas=_ring(0.3), upright=True)


def _latch_held() -> Shape:
    """A hook that has closed about its pin."""
    return Shape(grounds=_ring(1.15), areas=_ring(0.62), upright=True)


def _loose() -> Shape:
    """A broken ring about a point: free to go anywhere."""
    ring = _arcs(2.1, (20, 50), (110, 50), (200, 50), (290, 50))
    return Shape(strokes=ring, areas=_ring(0.55), ink=Ink.WRONG, upright=True)


def _jammed() -> Shape:
    """A link on its pin that falls short of the next pin: a dot, a bar with a torn end, and a ring beyond."""
    bar = _path([(-2.3, 0), (0.2, 0)], [(0.5, 1.1), (-0.1, 0.35), (0.5, -0.35), (-0.1, -1.1)])
    bar.addPath(_ring(0.8, 1.9))
    return Shape(strokes=bar, areas=_ring(0.7, -2.3), ink=Ink.WRONG, upright=True)


def _place() -> Shape:
    """Corner marks about the place of a finding, which leave the place itself bare."""
    near, far = 2.1, 3.6
    corners = [[(sx * near, sy * far), (sx * far, sy * far), (sx * far, sy * near)] for sx in (-1, 1) for sy in (-1, 1)]
    return Shape(strokes=_path(*corners), ink=Ink.HAND, upright=True)


def _target() -> Shape:
    ring = _ring(1.3)
    ring.addPath(_path([(-2.2, 0), (2.2, 0)], [(0, -2.2), (0, 2.2)]))
    return Shape(strokes=ring, ink=Ink.HAND, upright=True)


def _path_tick() -> Shape:
    return Shape(strokes=_path([(0, -1.15), (0, 1.15)]))


def _path_arrow() -> Shape:
    return Shape(areas=_path([(1.5, 0), (-1.1, 0.75), (-1.1, -0.75)], closed=True))


def _path_point() -> Shape:
    """A dot in a ring, unlike a pivot's bare one."""
    return Shape(grounds=_ring(0.85), areas=_ring(0.4), upright=True)


_SHAPES: Mapping[Symbol, Callable[[], Shape]] = MappingProxyType(
    {
        Symbol.PIVOT: _pivot,
        Symbol.FIXED_PIVOT: _fixed_pivot,
        Symbol.SLIDE: _slide,
        Symbol.FIXED_SLIDE: _fixed_slide,
        Symbol.SLOT: _slot,
        Symbol.LATCH_OPEN: _latch_open,
        Symbol.LATCH_HELD: _latch_held,
        Symbol.LOOSE: _loose,
        Symbol.JAMMED: _jammed,
        Symbol.PLACE: _place,
        Symbol.TARGET: _target,
        Symbol.PATH_TICK: _path_tick,
        Symbol.PATH_ARROW: _path_arrow,
        Symbol.PATH_POINT: _path_point,
    }
)
