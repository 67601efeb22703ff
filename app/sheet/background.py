"""Film, grid and traced drawing, which stay while only the moment changes: painted once, with some room about them."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QObject, QPointF, QRect, QRectF, QSize, QTimer, Signal
from PySide6.QtGui import QColor, QPainter, QPixmap

from app.painting.painter import Painter
from app.painting.placement import Placement
from app.sheet import film
from core.drawing.drawing import Picture

ROOM = 240
"""Pixels painted beyond each edge, so that panning does not have to paint them anew at once."""
SETTLE_MS = 110
"""After a zoom, how long the hand has to rest before what was stretched is painted sharp."""
STRETCH = 1.9


class Background(QObject):
    """A pixmap, and where on the drawing it was painted."""

    settled = Signal()
    """What is shown was only stretched; it can be painted sharp now."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pixmap: QPixmap | None = None
        self._placement = Placement(scale=1.0, x=0.0, y=0.0)
        self._key: tuple[object, ...] = ()
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(SETTLE_MS)
        self._timer.timeout.connect(self._settle)

    def forget(self) -> None:
        self._pixmap = None

    def paint(
        self,
        onto: QPainter,
        painter: Painter,
        placement: Placement,
        size: QSize,
        pictures: Sequence[Picture],
        ratio: float,
        squares: film.Squares,
    ) -> None:
        """Put the background of a canvas of some size under everything else."""
        key = (size, ratio, painter.theme.name, tuple(pictures), squares)
        if self._pixmap is None or key != self._key:
            self._render(painter, placement, size, pictures, ratio, squares)
            self._key = key
        zoomed = placement.scale / self._placement.scale
        if zoomed != 1.0 and pictures and 1.0 / STRETCH < zoomed < STRETCH:
            self._stretch(onto, painter, placement, size, zoomed)
            return
        if zoomed != 1.0 or not self._covers(placement):
            self._render(painter, placement, size, pictures, ratio, squares)
        assert self._pixmap is not None
        by = QPointF(placement.x - self._placement.x - ROOM, placement.y - self._placement.y - ROOM)
        onto.drawPixmap(by, self._pixmap)

    def _covers(self, placement: Placement) -> bool:
        return abs(placement.x - self._placement.x) <= ROOM and abs(placement.y - self._placement.y) <= ROOM

    def _stretch(self, onto: QPainter, painter: Painter, placement: Placement, size: QSize, zoomed: float) -> None:
        """While the hand zooms: the picture as it is, larger or smaller, until the hand rests."""
        assert self._pixmap is not None
        onto.fillRect(QRect(0, 0, size.width(), size.height()), QColor(painter.theme.paper))
        left = placement.x - zoomed * (self._placement.x + ROOM)
        top = placement.y - zoomed * (self._placement.y + ROOM)
        target = QRectF(left, top, zoomed * (size.width() + 2 * ROOM), zoomed * (size.height() + 2 * ROOM))
        onto.drawPixmap(target, self._pixmap, QRectF(self._pixmap.rect()))
        self._timer.start()

    def _render(
        self,
        painter: Painter,
        placement: Placement,
        size: QSize,
        pictures: Sequence[Picture],
        ratio: float,
        squares: film.Squares,
    ) -> None:
        whole = QSize(size.width() + 2 * ROOM, size.height() + 2 * ROOM)
        pixmap = QPixmap(whole * ratio)
        pixmap.setDevicePixelRatio(ratio)
        pixmap.fill(QColor(painter.theme.paper))
        inner = QPainter(pixmap)
        room = QRect(0, 0, whole.width(), whole.height())
        film.paint_grid(inner, room, painter.theme, placement.moved(ROOM, ROOM), squares)
        painter.paint_pictures(inner, pictures, placement.moved(ROOM, ROOM))
        inner.end()
        self._pixmap, self._placement = pixmap, placement

    def _settle(self) -> None:
        self._pixmap = None
        self.settled.emit()
