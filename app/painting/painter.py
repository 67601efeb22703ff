"""The one painter: puts a drawing on a window, an image, an SVG or a PDF, in a theme's colours."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from weakref import WeakKeyDictionary

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF, QTransform

from app.fonts import FAMILY
from app.painting.laid import Boxes, Laid, LaidMark, LaidSign
from app.painting.lettering import SetLabel, set_labels
from app.painting.pens import NARROW, Pens
from app.painting.pictures import Pictures
from app.painting.placement import Placement
from app.painting.symbols import Shape, shape_of
from app.painting.theme import Theme
from core.drawing.drawing import Drawing, Geometry, Line, Mark, Picture, Pose, Sign, Symbol
from core.drawing.hatch import hatching
from core.drawing.lighten import lightened

HATCH_SPACING = 1.25
"""Millimetres on paper between the lines of a hatching."""
ARROW = 2.5
"""Millimetres on paper, of a dimension line's arrowhead; ISO 129-1 leaves its size to the line's width."""
OUTSIDE = 8.0
"""Widths of a wide line by which what is painted of a mark may lie outside its geometry."""
THIN = 1e-6
"""Millimetres by which the box about a geometry is larger, so that it is a box about a straight line too."""


class Painter:
    """Paints drawings on any device. `unit` is how many device units make a millimetre on paper.

    `wide` is the width of a wide line in millimetres on paper, `signs` how large signs are beside their usual size,
    `hatch` how far apart hatching lines stand, and `fineness` how far, in millimetres on paper, a painted outline may
    stray from the true one: on a screen an eighth of a pixel.

    It keeps a path for every geometry for as long as somebody holds the geometry.
    """

    def __init__(
        self,
        theme: Theme,
        *,
        unit: float,
        wide: float = 0.5,
        outlined_text: bool = False,
        pictures: Pictures | None = None,
        signs: float = 1.2,
        hatch: float = HATCH_SPACING,
        fineness: float = 0.035,
    ) -> None:
        self.theme = theme
        self.unit = unit
        self._wide = wide * unit
        self._outlined_text = outlined_text
        self._sign_unit = unit * signs
        self._hatch_spacing = hatch * unit
        self._pictures = pictures if pictures is not None else Pictures()
        self._fineness = fineness * unit
        self._paths: WeakKeyDictionary[Geometry, QPainterPath] = WeakKeyDictionary()
        self._light_paths: WeakKeyDictionary[Geometry, tuple[int, QPainterPath, QRectF]] = WeakKeyDictionary()
        self._pens = Pens(theme, self._wide)
        self._shapes: dict[Symbol, Shape] = {}
        self.see_through = False
        """Whether bodies are laid over a drawing to be traced by it."""

    @property
    def pictures(self) -> Pictures:
        return self._pictures

    def paint(self, painter: QPainter, drawing: Drawing, placement: Placement, room: QRectF) -> None:
        """Paint a drawing; labels keep within `room`. Pictures, marks, signs, labels, in this order."""
        self.paint_pictures(painter, drawing.pictures, placement)
        self.paint_laid(painter, self.lay(drawing, placement, room), room)

    def lay(self, drawing: Drawing, placement: Placement, room: QRectF, *, last: Laid | None = None) -> Laid:
        """A drawing with the places of its marks, its signs and its labels, which are settled within `room`. What was
        the same in the last one that this painter laid is where it was."""
        last = last if last is not None and (last.placement, last.room) == (placement, room) else None
        marks = {id(one.mark): one for one in last.marks} if last is not None else {}
        signs = {id(one.sign): one for one in last.signs} if last is not None else {}
        laid = Laid(
            drawing,
            placement,
            room,
            tuple(self._laid_marks(drawing.marks, placement, marks)),
            tuple([signs.get(id(sign)) or self._laid_sign(sign, placement) for sign in drawing.signs]),
        )
        return replace(laid, labels=self._labels(laid, last))

    def _labels(self, laid: Laid, last: Laid | None) -> tuple[SetLabel, ...]:
        """Those of a laid drawing, off the areas of its clashes."""
        clashes, labels = _clashes(laid), laid.drawing.labels
        if last is not None and (last.drawing.labels, _clashes(last)) == (labels, clashes):
            return last.labels
        boxes = [one.box for one in clashes]
        return tuple(set_labels(labels, laid.placement, self.unit, FAMILY, laid.room, boxes))

    def _laid_marks(
        self, marks: Sequence[Mark], placement: Placement, known: Mapping[int, LaidMark]
    ) -> Iterator[LaidMark]:
        """Those that are known by their marks' identities are taken as they are."""
        octave, transforms = self._octave(placement), dict[Pose, QTransform]()
        for mark in marks:
            laid = known.get(id(mark))
            if laid is None:
                to_device = transforms.get(mark.pose)  # that of all marks of its piece
                if to_device is None:
                    to_device = transforms[mark.pose] = placement.transform(mark.pose)
                path, box = self._light_path(mark.geometry, octave)
                laid = LaidMark(mark, path, to_device, to_device.mapRect(box))
            yield laid

    def _laid_sign(self, sign: Sign, placement: Placement) -> LaidSign:
        shape = self._shape(sign.symbol)
        to_device = self._sign_to_device(sign, shape, placement)
        return LaidSign(sign, shape, to_device, to_device.mapRect(shape.box))

    def paint_laid(self, painter: QPainter, laid: Laid, within: QRectF, *, after: int = 0) -> None:
        """Paint the marks of a drawing from a number on, then its signs and labels; what lies outside `within`
        altogether is left out."""
        self._paint_marks(painter, laid.marks[after:] if after else laid.marks, laid.placement.scale, within)
        self._paint_signs(painter, laid.signs, within)
        for label in laid.labels:
            if self._label_box(label).intersects(within):
                self._paint_label(painter, label)

    @property
    def boxes(self) -> Boxes:
        """Where it paints what."""
        return Boxes(self._mark_box, self._sign_box, self._label_box)

    def _mark_box(self, laid: LaidMark) -> QRectF:
        beyond = OUTSIDE * self._wide + (3.0 * ARROW * self.unit if laid.mark.line is Line.DIMENSION else 0.0)
        return _grown(laid.box, beyond)

    def _sign_box(self, laid: LaidSign) -> QRectF:
        return _grown(laid.box, OUTSIDE * self._wide)

    def _label_box(self, lettered: SetLabel) -> QRectF:
        box = lettered.ground
        for end in lettered.leader or ():
            box = box.united(QRectF(end.x() - 1.0, end.y() - 1.0, 2.0, 2.0))
        return _grown(box, max(2.0 * self._wide, 0.5 * lettered.em))

    def paint_pictures(self, painter: QPainter, pictures: Sequence[Picture], placement: Placement) -> None:
        for picture in pictures:
            self._pictures.paint(painter, picture, placement, dark=self.theme.dark)

    def paint_marks(self, painter: QPainter, marks: Sequence[Mark], placement: Placement, room: QRectF) -> None:
        """Marks that lie outside `room` altogether are left out."""
        self._paint_marks(painter, self._laid_marks(marks, placement, {}), placement.scale, room)

    def _paint_marks(self, painter: QPainter, marks: Iterable[LaidMark], scale: float, room: QRectF) -> None:
        base = painter.transform()
        plain, about = base.isIdentity(), _grown(room, OUTSIDE * self._wide)
        for one in marks:
            if about.intersects(one.box):
                painter.setTransform(one.to_device if plain else one.to_device * base)
                self._paint_mark(painter, one.mark, one.path, scale)
        painter.setTransform(base)

    def _octave(self, placement: Placement) -> int:
        return math.ceil(math.log2(placement.scale / self._fineness))

    def path(self, geometry: Geometry) -> QPainterPath:
        """The path of a geometry, made once."""
        path = self._paths.get(geometry)
        if path is None:
            path = _path(geometry)
            self._paths[geometry] = path
        return path

    def _light_path(self, geometry: Geometry, octave: int) -> tuple[QPainterPath, QRectF]:
        """Its path without corners that make no difference at a scale, to be stroked several times as fast, and the
        box about it."""
        kept = self._light_paths.get(geometry)
        if kept is None or kept[0] != octave:
            path = _path(lightened(geometry, 2.0**-octave))
            kept = self._light_paths[geometry] = (octave, path, _grown(path.boundingRect(), THIN))
        return kept[1], kept[2]

    # ---- marks -------------------------------------------------------------------------------------------------

    def _paint_mark(self, painter: QPainter, mark: Mark, path: QPainterPath, scale: float) -> None:
        """The painter's own units are millimetres of the geometry here."""
        if mark.tint is not None:
            painter.fillPath(path, self._pens.ground(mark.tint, faint=mark.faint, see_through=self.see_through))
        if mark.hatched:
            self._hatch(painter, mark.geometry, scale)
        if mark.line is Line.NONE:
            return
        if mark.chosen and mark.line is not Line.HIDDEN:
            painter.strokePath(path, self._pens.edge(scale))
        painter.strokePath(path, self._pens.line(mark, scale))
        if mark.line is Line.DIMENSION:
            self._arrowheads(painter, mark.geometry, scale)

    def _hatch(self, painter: QPainter, geometry: Geometry, scale: float) -> None:
        lines = hatching(geometry.rings, self._hatch_spacing / scale)
        painter.setPen(QPen(QColor(self.theme.clash), NARROW * self._wide / scale))
        painter.drawLines([QLineF(*line) for line in lines.reshape(-1, 4).tolist()])

    def _arrowheads(self, painter: QPainter, geometry: Geometry, scale: float) -> None:
        """Heads at either end of each line, from outside where it is too short to hold them."""
        size = ARROW * self.unit / scale
        for line in geometry.lines:
            (x1, y1), (x2, y2) = line[0].tolist(), line[-1].tolist()
            length = math.hypot(x2 - x1, y2 - y1)
            if length <= 0.0:
                continue
            outside = length < 2.5 * size
            ux, uy = (x2 - x1) / length, (y2 - y1) / length
            for x, y, way in ((x1, y1, 1.0), (x2, y2, -1.0)):
                way = -way if outside else way
                head = _arrowhead(x, y, way * ux, way * uy, size)
                painter.fillPath(head, QColor(self.theme.ink))
                if outside:
                    tail = QPointF(x + 2.0 * way * ux * size, y + 2.0 * way * uy * size)
                    painter.setPen(QPen(QColor(self.theme.ink), NARROW * self._wide / scale))
                    painter.drawLine(QPointF(x, y), tail)

    # ---- signs and labels --------------------------------------------------------------------------------------

    def _paint_signs(self, painter: QPainter, signs: Sequence[LaidSign], within: QRectF) -> None:
        """Those that are mere lines lie under the others, and are drawn all at once, since there may be hundreds."""
        lines, others = QPainterPath(), []
        about = _grown(within, OUTSIDE * self._wide)
        for one in signs:
            if not one.box.intersects(about):
                continue
            if one.shape.is_line and not one.sign.chosen:
                lines.addPath(one.to_device.map(one.shape.strokes))
            else:
                others.append(one)
        if not lines.isEmpty():
            painter.strokePath(lines, QPen(QColor(self.theme.ink), NARROW * self._wide))
        base = painter.transform()
        plain = base.isIdentity()
        for one in others:
            painter.setTransform(one.to_device if plain else one.to_device * base)
            self._paint_sign(painter, one.shape, chosen=one.sign.chosen)
        painter.setTransform(base)

    def _shape(self, symbol: Symbol) -> Shape:
        shape = self._shapes.get(symbol)
        if shape is None:
            shape = self._shapes[symbol] = shape_of(symbol)
        return shape

    def _sign_to_device(self, sign: Sign, shape: Shape, placement: Placement) -> QTransform:
        at = placement.to_device(*sign.at)
        turn = 0.0 if shape.upright else sign.turn
        across, up = self._sign_unit * math.cos(turn), self._sign_unit * math.sin(turn)
        return QTransform(across, -up, -up, -across, at.x(), at.y())

    def _paint_sign(self, painter: QPainter, shape: Shape, *, chosen: bool) -> None:
        """The painter's own units are the sign's here."""
        pen, areas = self._pens.sign(shape.ink, self._sign_unit)
        if chosen:
            self._halo(painter, shape)
        if shape.has_strokes:
            painter.strokePath(shape.strokes, pen)
        if shape.has_grounds:
            painter.fillPath(shape.grounds, self._pens.paper)
            painter.strokePath(shape.grounds, pen)
        if shape.has_areas:
            painter.fillPath(shape.areas, areas)

    def _halo(self, painter: QPainter, shape: Shape) -> None:
        pen = QPen(QColor(self.theme.accent), 3.0 * self._wide / self._sign_unit)
        painter.strokePath(shape.grounds, pen)
        painter.strokePath(shape.strokes, pen)

    def _paint_label(self, painter: QPainter, lettered: SetLabel) -> None:
        label = lettered.label
        soft = self.theme.ink_soft if label.faint else self.theme.ink
        ink = QColor(self.theme.clash if label.clash else soft)
        if lettered.leader is not None:
            start, end = lettered.leader
            painter.setPen(QPen(ink, NARROW * self._wide))
            painter.drawLine(start, end)
            dot = QPainterPath()
            dot.addEllipse(start, 0.9 * self._wide, 0.9 * self._wide)
            painter.fillPath(dot, ink)
        if label.boxed:
            ground = QColor(self.theme.paper)
            ground.setAlphaF(0.9)
            painter.fillRect(lettered.ground, ground)
            if label.clash:
                painter.setPen(QPen(ink, NARROW * self._wide))
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawRect(lettered.ground)
        if self._outlined_text:
            painter.fillPath(lettered.outline(), ink)
            return
        painter.setFont(lettered.font)
        painter.setPen(ink)
        painter.drawText(lettered.base, label.text)


def _clashes(laid: Laid) -> list[LaidMark]:
    return [one for one in laid.marks if one.mark.line is Line.CLASH]


def _path(geometry: Geometry) -> QPainterPath:
    path = QPainterPath()
    path.setFillRule(Qt.FillRule.OddEvenFill)
    for ring in geometry.rings:
        path.addPolygon(_polygon(ring))
        path.closeSubpath()
    for line in geometry.lines:
        path.addPolygon(_polygon(line))
    return path


def _polygon(corners: np.ndarray) -> QPolygonF:
    return QPolygonF([QPointF(x, y) for x, y in corners.tolist()])


def _arrowhead(x: float, y: float, ux: float, uy: float, size: float) -> QPainterPath:
    """A filled head with its tip at a point, looking away from (ux, uy); 15 degrees in all, as ISO 129-1 draws it."""
    half = size * math.tan(math.radians(7.5))
    path = QPainterPath(QPointF(x, y))
    path.lineTo(x + size * ux - half * uy, y + size * uy + half * ux)
    path.lineTo(x + size * ux + half * uy, y + size * uy - half * ux)
    path.closeSubpath()
    return path


def _grown(box: QRectF, margin: float) -> QRectF:
    return box.adjusted(-margin, -margin, margin, margin)
