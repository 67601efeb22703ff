"""Outlines out of an SVG file: its basic shapes and paths, with their transforms, y turned up.

Source: Scalable Vector Graphics 1.1, second edition (W3C, 2011): chapters 7 (units and transforms), 8 (paths), 9 (basic
shapes), appendix F.6 (arcs); CSS 2.1, 4.3.2, has 96 px to the inch. The grammar of path data is read by fontTools.
"""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as Tree
from collections import Counter
from pathlib import Path

import numpy as np
from fontTools.svgLib.path import parse_path

from core.document.project import Circle, Corner, Point
from core.errors import SenselessRequest
from core.geometry.planar import Floats
from core.sketch.outside.lines import Outlines, Run, arcs_through, outlines_of

WITHIN = 0.002
"""Of the drawing's units: how far arcs may stray from a curve."""
PIECES = 64
"""A curve is flattened to so many pieces before arcs are sought."""
UNITS = {"mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72.0, "pc": 25.4 / 6.0}
"""Millimetres each. Pixels are left out: nobody means them as a length of metal."""
UNSEEN = {"defs", "clipPath", "mask", "marker", "pattern", "symbol", "metadata", "title", "desc", "style"}
PASSED_OVER = {"text", "image", "use", "foreignObject"}
_NUMBER = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_TRANSFORM = re.compile(r"(\w+)\s*\(([^)]*)\)")


def outlines_of_svg(file: Path) -> Outlines:
    """Everything drawn in the file; raises SenselessRequest where it is no SVG or holds no outline."""
    try:
        root = Tree.parse(file).getroot()
        if _tag(root) != "svg":
            raise SenselessRequest(f"{file}: is XML, but no SVG drawing; choose an SVG file")
        return _read(root, file)
    except OSError as error:
        raise SenselessRequest(f"{file}: cannot be read: {error.strerror or error}") from error
    except Tree.ParseError as error:
        raise SenselessRequest(f"{file}: is not a whole SVG file: {error}; save it again as plain SVG") from error
    except (ValueError, IndexError, OverflowError) as error:
        raise SenselessRequest(f"{file}: a shape in it cannot be read: {error}; save it again as plain SVG") from error


def _read(root: Tree.Element, file: Path) -> Outlines:
    unit, matrix = _frame(root)
    drawn = _Drawn()
    _walk(root, matrix, drawn)
    if not drawn.runs and not drawn.circles:
        raise SenselessRequest(f"{file}: there is no outline in it; shapes and paths are read, text and pictures not")
    words = [f"{count} {kind}" for kind, count in sorted(drawn.left_out.items())]
    return outlines_of(drawn.runs, drawn.circles, unit=unit, left_out=words)


def _frame(root: Tree.Element) -> tuple[str | None, Floats]:
    """The unit, and the map from the file's numbers to it with y up: millimetres where the page's size is a length."""
    upright = np.diag([1.0, -1.0, 1.0])
    width, box = root.get("width", ""), [float(one) for one in _NUMBER.findall(root.get("viewBox", ""))]
    number = _NUMBER.match(width.strip())
    suffix = width.strip()[number.end() :].strip() if number else ""
    if number is None or suffix not in UNITS:
        return None, upright
    page = float(number[0]) * UNITS[suffix]
    if len(box) == 4 and box[2] > 0.0:
        return "mm", np.diag([page / box[2], -page / box[2], 1.0])
    return "mm", np.diag([25.4 / 96.0, -25.4 / 96.0, 1.0])


class _Drawn:
    def __init__(self) -> None:
        self.runs: list[Run] = []
        self.circles: list[Circle] = []
        self.left_out: Counter[str] = Counter()


def _walk(element: Tree.Element, matrix: Floats, drawn: _Drawn) -> None:
    tag = _tag(element)
    if tag in UNSEEN or element.get("display") == "none":
        return
    if tag in PASSED_OVER:
        drawn.left_out[tag] += 1
        return
    matrix = matrix @ _transform(element.get("transform", ""))
    if tag in ("circle", "ellipse"):
        _ellipse(element, tag, matrix, drawn)
    elif tag == "rect":
        _path(_rect(element), matrix, drawn)
    elif tag in ("polygon", "polyline"):
        points = element.get("points", "").strip()
        if points:
            _path(f"M{points}{'Z' if tag == 'polygon' else ''}", matrix, drawn)
    elif tag == "line":
        x1, y1, x2, y2 = (_length(element, one) for one in ("x1", "y1", "x2", "y2"))
        _path(f"M{x1!r} {y1!r}L{x2!r} {y2!r}", matrix, drawn)
    elif tag == "path":
        _path(element.get("d", ""), matrix, drawn)
    for child in element:
        _walk(child, matrix, drawn)


def _ellipse(element: Tree.Element, tag: str, matrix: Floats, drawn: _Drawn) -> None:
    x, y = _length(element, "cx"), _length(element, "cy")
    rx = _length(element, "r" if tag == "circle" else "rx")
    ry = _length(element, "r" if tag == "circle" else "ry")
    if rx <= 0.0 or ry <= 0.0:
        return
    scale = _evenly(matrix)
    if scale is not None and rx == ry:
        drawn.circles.append(Circle(centre=_at(matrix, (x, y)), radius=rx * scale))
        return
    pen = _Pen(matrix, drawn)
    pen.moveTo((x - rx, y))
    for sign in (1.0, -1.0):
        pen.arcTo(rx, ry, 0.0, False, True, (x + sign * rx, y))
    pen.closePath()


def _rect(element: Tree.Element) -> str:
    x, y = _length(element, "x"), _length(element, "y")
    width, height = _length(element, "width"), _length(element, "height")
    if width <= 0.0 or height <= 0.0:
        return ""
    rx, ry = element.get("rx"), element.get("ry")
    rx_, ry_ = _length(element, "rx" if rx else "ry"), _length(element, "ry" if ry else "rx")
    rx_, ry_ = min(rx_, 0.5 * width), min(ry_, 0.5 * height)
    if rx_ <= 0.0 or ry_ <= 0.0:
        return f"M{x!r} {y!r}h{width!r}v{height!r}h{-width!r}Z"
    across, down = width - 2.0 * rx_, height - 2.0 * ry_
    round_ = f"a{rx_!r} {ry_!r} 0 0 1 "
    return (
        f"M{x + rx_!r} {y!r}h{across!r}{round_}{rx_!r} {ry_!r}v{down!r}{round_}{-rx_!r} {ry_!r}"
        f"h{-across!r}{round_}{-rx_!r} {-ry_!r}v{-down!r}{round_}{rx_!r} {-ry_!r}Z"
    )


def _path(data: str, matrix: Floats, drawn: _Drawn) -> None:
    if data.strip():
        pen = _Pen(matrix, drawn)
        parse_path(" ".join(data.split()), pen)
        pen.endPath()


class _Pen:
    """Takes path commands as fontTools calls them, and makes runs of them."""

    def __init__(self, matrix: Floats, drawn: _Drawn) -> None:
        self._matrix, self._drawn = matrix, drawn
        self._corners: list[Corner] = []
        self._last: Point = (0.0, 0.0)

    def moveTo(self, at: Point) -> None:
        self.endPath()
        self._last = at
        self._corners = [_at(self._matrix, at)]

    def lineTo(self, at: Point) -> None:
        self._last = at
        self._corners.append(_at(self._matrix, at))

    def curveTo(self, first: Point, second: Point, end: Point) -> None:
        t = np.linspace(0.0, 1.0, PIECES + 1)[:, None]
        p0, p1, p2, p3 = (np.array(point) for point in (self._last, first, second, end))
        self._curve((1 - t) ** 3 * p0 + 3 * (1 - t) ** 2 * t * p1 + 3 * (1 - t) * t**2 * p2 + t**3 * p3, end)

    def qCurveTo(self, control: Point, end: Point) -> None:
        t = np.linspace(0.0, 1.0, PIECES + 1)[:, None]
        p0, p1, p2 = (np.array(point) for point in (self._last, control, end))
        self._curve((1 - t) ** 2 * p0 + 2 * (1 - t) * t * p1 + t**2 * p2, end)

    def arcTo(self, rx: float, ry: float, turn: float, large: bool, sweep: bool, end: Point) -> None:
        """Endpoint to centre form, as F.6.5 and F.6.6 have it."""
        if rx == 0.0 or ry == 0.0 or self._last == end:
            self.lineTo(end)
            return
        centre, (rx, ry), begin, angle = _centre(self._last, rx, ry, turn, large, sweep, end)
        if rx == ry and _evenly(self._matrix) is not None:
            side = -1.0 if np.linalg.det(self._matrix[:2, :2]) < 0.0 else 1.0
            self._arc(centre, rx, begin, angle, side, end)
            return
        t = begin + angle * np.linspace(0.0, 1.0, 2 * PIECES + 1)
        cosine, sine = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        x, y = rx * np.cos(t), ry * np.sin(t)
        self._curve(np.column_stack([centre[0] + cosine * x - sine * y, centre[1] + sine * x + cosine * y]), end)

    def _arc(self, centre: Point, radius: float, begin: float, angle: float, side: float, end: Point) -> None:
        parts = 2 if abs(angle) > 1.5 * math.pi else 1
        for part in range(1, parts + 1):
            x, y = self._corners[-1][:2]
            self._corners[-1] = (x, y, side * math.tan(0.25 * angle / parts))
            at = begin + angle * part / parts
            place = (centre[0] + radius * math.cos(at), centre[1] + radius * math.sin(at))
            self._corners.append(_at(self._matrix, end if part == parts else place))
        self._last = end

    def _curve(self, points: Floats, end: Point) -> None:
        mapped = points @ self._matrix[:2, :2].T + self._matrix[:2, 2]
        self._corners = [*self._corners[:-1], *arcs_through(mapped, WITHIN)]
        self._last = end

    def closePath(self) -> None:
        corners = self._corners
        if len(corners) > 2 and math.dist(corners[0][:2], corners[-1][:2]) <= 1e-9 * (1.0 + abs(corners[0][0])):
            corners = corners[:-1]
        if len(corners) > 1:
            self._drawn.runs.append(Run(corners=tuple(corners), closed=True))
        self._corners = []

    def endPath(self) -> None:
        if len(self._corners) > 1:
            self._drawn.runs.append(Run(corners=tuple(self._corners)))
        self._corners = []


def _centre(
    start: Point, rx: float, ry: float, turn: float, large: bool, sweep: bool, end: Point
) -> tuple[Point, tuple[float, float], float, float]:
    """Centre, radii (made larger where they are too short to reach), first angle and signed angle of an arc."""
    cosine, sine = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    half_x, half_y = 0.5 * (start[0] - end[0]), 0.5 * (start[1] - end[1])
    x, y = cosine * half_x + sine * half_y, -sine * half_x + cosine * half_y
    short = (x / rx) ** 2 + (y / ry) ** 2
    if short > 1.0:
        rx, ry = rx * math.sqrt(short), ry * math.sqrt(short)
    square = (rx * ry) ** 2 - (rx * y) ** 2 - (ry * x) ** 2
    root = math.sqrt(max(square, 0.0) / ((rx * y) ** 2 + (ry * x) ** 2)) * (-1.0 if large == sweep else 1.0)
    cx, cy = root * rx * y / ry, -root * ry * x / rx
    begin = math.atan2((y - cy) / ry, (x - cx) / rx)
    angle = (math.atan2((-y - cy) / ry, (-x - cx) / rx) - begin) % (2.0 * math.pi)
    if not sweep:
        angle -= 2.0 * math.pi
    centre = (
        cosine * cx - sine * cy + 0.5 * (start[0] + end[0]),
        sine * cx + cosine * cy + 0.5 * (start[1] + end[1]),
    )
    return centre, (rx, ry), begin, angle


def _transform(text: str) -> Floats:
    matrix = np.eye(3)
    for name, inside in _TRANSFORM.findall(text):
        matrix = matrix @ _one_transform(name, [float(one) for one in _NUMBER.findall(inside)])
    return matrix


def _one_transform(name: str, numbers: list[float]) -> Floats:
    if name == "matrix":
        a, b, c, d, e, f = numbers
        return np.array([[a, c, e], [b, d, f], [0.0, 0.0, 1.0]])
    if name == "translate":
        return np.array([[1.0, 0.0, numbers[0]], [0.0, 1.0, numbers[1] if len(numbers) > 1 else 0.0], [0.0, 0.0, 1.0]])
    if name == "scale":
        return np.diag([numbers[0], numbers[1] if len(numbers) > 1 else numbers[0], 1.0])
    if name == "rotate":
        a = math.radians(numbers[0])
        turn = np.array([[math.cos(a), -math.sin(a), 0.0], [math.sin(a), math.cos(a), 0.0], [0.0, 0.0, 1.0]])
        x, y = numbers[1:3] if len(numbers) > 2 else (0.0, 0.0)
        there = np.array([[1.0, 0.0, x], [0.0, 1.0, y], [0.0, 0.0, 1.0]])
        back = np.array([[1.0, 0.0, -x], [0.0, 1.0, -y], [0.0, 0.0, 1.0]])
        return there @ turn @ back
    if name in ("skewX", "skewY"):
        slope = math.tan(math.radians(numbers[0]))
        along, up = (slope, 0.0) if name == "skewX" else (0.0, slope)
        return np.array([[1.0, along, 0.0], [up, 1.0, 0.0], [0.0, 0.0, 1.0]])
    raise ValueError(f"the transform {name!r} is not known")


def _evenly(matrix: Floats) -> float | None:
    """The scale of a map that keeps circles circles; None for one that does not."""
    u, v = matrix[:2, 0], matrix[:2, 1]
    long, wide = math.hypot(*u), math.hypot(*v)
    return long if abs(long - wide) <= 1e-9 * long and abs(float(u @ v)) <= 1e-9 * long * wide else None


def _at(matrix: Floats, point: Point) -> Point:
    x, y, _ = (matrix @ np.array([point[0], point[1], 1.0])).tolist()
    return (x, y)


def _length(element: Tree.Element, name: str) -> float:
    """A length in the file's own numbers; a unit on it is taken at 96 px to the inch."""
    text = element.get(name, "0").strip()
    number = _NUMBER.match(text)
    if number is None:
        raise ValueError(f"{name}={text!r} is no length")
    suffix = text[number.end() :].strip()
    factor = 1.0 if suffix in ("", "px") else UNITS[suffix] * 96.0 / 25.4 if suffix in UNITS else None
    if factor is None:
        raise ValueError(f"{name}={text!r} has a unit that is not known here")
    return float(number[0]) * factor


def _tag(element: Tree.Element) -> str:
    return element.tag.rsplit("}", 1)[-1] if isinstance(element.tag, str) else ""
