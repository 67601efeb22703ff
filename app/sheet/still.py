"""The sheet as it was painted last, kept while only the hand's own doings are painted anew over it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QSize
from PySide6.QtGui import QPainter, QPixmap

from app.painting.placement import Placement
from app.sheet.film import Squares

PLAIN = frozenset({QSize, float, int, tuple, Placement, Squares})
"""Parts of a key that are compared by their value."""


class Still:
    """A pixmap of what was painted twice running with the same key, or at once where it is to be kept: what changes at
    every paint, as while the sequence plays, is painted straight on and costs no copy."""

    def __init__(self) -> None:
        self._pixmap: QPixmap | None = None
        self._painted = False
        """Whether the pixmap is of the key; another's is room that is painted over."""
        self._key: tuple[object, ...] = ()

    def forget(self) -> None:
        self._painted, self._key = False, ()

    def paint(
        self,
        onto: QPainter,
        size: QSize,
        ratio: float,
        key: tuple[object, ...],
        draw: Callable[[QPainter], None],
        *,
        keep: bool = False,
    ) -> None:
        """Put what `draw` paints on a canvas of some size, painted anew only where the key is another; `keep` it where
        it will be asked for again.

        The key's parts are compared by identity where they are not numbers or words: they are held here, so that none
        of them can come again as another.
        """
        wanted = (size, ratio, *key)
        if not _same(wanted, self._key):
            self._painted, self._key = False, wanted
            if not keep:
                draw(onto)
                return
        if not self._painted:
            inner = QPainter(self._room(size, ratio))
            inner.setFont(onto.font())
            draw(inner)
            inner.end()
            self._painted = True
        onto.drawPixmap(0, 0, self._room(size, ratio))

    def _room(self, size: QSize, ratio: float) -> QPixmap:
        if self._pixmap is None or self._pixmap.size() != size * ratio or self._pixmap.devicePixelRatio() != ratio:
            self._pixmap = QPixmap(size * ratio)
            self._pixmap.setDevicePixelRatio(ratio)
        return self._pixmap


def _same(one: tuple[object, ...], other: tuple[object, ...]) -> bool:
    """Drawings are compared by which they are: going through all their marks would cost as much as it saves."""
    if len(one) != len(other):
        return False
    return all(a is b or (type(a) in PLAIN and a == b) for a, b in zip(one, other, strict=True))
