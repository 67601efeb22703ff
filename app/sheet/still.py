"""The sheet as it was painted last, kept while only the hand's own doings are painted anew over it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPoint, QRect, QSize
from PySide6.QtGui import QPainter, QPixmap

from app.painting.placement import Placement
from app.sheet.film import Squares

PLAIN = frozenset({QSize, float, int, tuple, Placement, Squares})
"""Parts of a key that are compared by their value."""
Key = tuple[object, ...]
Draw = Callable[[QPainter, QRect], None]
Changed = Callable[[Key, Key], QRect | None]


class Still:
    """A pixmap of what was painted twice running with the same key, or at once where it is to be kept: what changes at
    every paint, as while the sequence plays, is painted straight on and costs no copy.

    Of what is to be kept that part alone is painted anew that has changed, where it is small. Hair lines may be another
    by a shade there, as Qt clips them: less than can be seen, and gone with the next picture of the whole.
    """

    def __init__(self) -> None:
        self._pixmap: QPixmap | None = None
        self._painted = False
        """Whether the pixmap is of the key; another's is room that is painted over."""
        self._key: Key = ()

    def forget(self) -> None:
        self._painted, self._key = False, ()

    def paint(
        self,
        onto: QPainter,
        size: QSize,
        ratio: float,
        key: Key,
        draw: Draw,
        *,
        keep: bool = False,
        changed: Changed = lambda _before, _after: None,
    ) -> None:
        """Put what `draw` paints on a canvas of some size, painted anew only where the key is another; `keep` it where
        it will be asked for again. `draw` is told within what it is asked for, and `changed` which part of what was
        painted with one key is another with the next; None is all.

        The key's parts are compared by identity where they are not numbers or words: they are held here, so that none
        of them can come again as another.
        """
        whole = QRect(QPoint(), size)
        stale = QRect() if self._painted else whole
        wanted = (size, ratio, *key)
        if not same(wanted, self._key):
            alike = keep and self._painted and same(wanted[:2], self._key[:2])
            part = changed(self._key[2:], key) if alike else None
            self._key, self._painted = wanted, part is not None
            if part is None and not keep:
                draw(onto, whole)
                return
            stale = whole if part is None else part
        if not stale.isEmpty():
            with QPainter(self._room(size, ratio)) as inner:
                inner.setFont(onto.font())
                if stale != whole:  # a clip makes hair lines another by a shade or two
                    inner.setClipRect(stale)
                draw(inner, stale)
        self._painted = True
        onto.drawPixmap(0, 0, self._room(size, ratio))

    def _room(self, size: QSize, ratio: float) -> QPixmap:
        if self._pixmap is None or self._pixmap.size() != size * ratio or self._pixmap.devicePixelRatio() != ratio:
            self._pixmap = QPixmap(size * ratio)
            self._pixmap.setDevicePixelRatio(ratio)
        return self._pixmap


def same(one: Key, other: Key) -> bool:
    """Drawings are compared by which they are: going through all their marks would cost as much as it saves."""
    if len(one) != len(other):
        return False
    return all(a is b or (type(a) in PLAIN and a == b) for a, b in zip(one, other, strict=True))
