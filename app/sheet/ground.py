"""What lies lowest on a view and stays while the rest moves: film, grid, traced drawing, and the marks next above."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QSize
from PySide6.QtGui import QPainter, QPixmap

from app.painting.laid import alike
from app.sheet.still import Key, same
from core.drawing.drawing import Mark

WORTH = 8
"""Marks that have to stay for a picture of them to be made; and that a new one has to have more than the last."""
Draw = Callable[[QPainter, Sequence[Mark]], None]


class Ground:
    """A pixmap of the ground of a drawing and of as many of its lowest marks as were the same twice running: while a
    sequence plays, the ghosts of its ends lie below all that moves."""

    def __init__(self) -> None:
        self._pixmap: QPixmap | None = None
        self._key: Key = ()
        self._last: Sequence[Mark] = ()
        self._held: Sequence[Mark] = ()
        """The marks in the pixmap; none where it is of another key."""

    def forget(self) -> None:
        self._key, self._last, self._held = (), (), ()

    def paint(self, onto: QPainter, size: QSize, ratio: float, key: Key, marks: Sequence[Mark], draw: Draw) -> int:
        """Put the ground on a canvas of some size, and say how many of the marks are on it. `draw` paints a ground with
        some marks; the key's parts are compared as those of a `Still`."""
        wanted = (size, ratio, *key)
        if not same(wanted, self._key):
            self._key, self._last, self._held = wanted, (), ()
        stay = alike(self._last, marks)
        self._last = marks
        if alike(self._held, marks) < len(self._held):
            self._held = ()
        if stay >= len(self._held) + WORTH:
            self._make(onto, size, ratio, marks[:stay], draw)
        if self._pixmap is None or not self._held:
            draw(onto, ())
            return 0
        onto.drawPixmap(0, 0, self._pixmap)
        return len(self._held)

    def _make(self, onto: QPainter, size: QSize, ratio: float, marks: Sequence[Mark], draw: Draw) -> None:
        if self._pixmap is None or self._pixmap.size() != size * ratio or self._pixmap.devicePixelRatio() != ratio:
            self._pixmap = QPixmap(size * ratio)
            self._pixmap.setDevicePixelRatio(ratio)
        with QPainter(self._pixmap) as inner:
            inner.setFont(onto.font())
            draw(inner, marks)
        self._held = marks
