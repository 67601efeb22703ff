"""Dragging the film: what was taken hold of stays under the pointer. A press that never moves is a click instead."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from PySide6.QtCore import QPointF, Qt

from app.painting.placement import Placement
from app.sheet.tools.tool import Preview

SLACK = 4.0
"""Pixels that a hand may stray before a click becomes a drag."""


class Film(Protocol):
    """What can be dragged."""

    @property
    def placement(self) -> Placement: ...

    def set_placement(self, placement: Placement) -> None: ...


class Pan:
    """Moves the film; `clicked` is called with the place when the press was a click."""

    def __init__(self, film: Film, begin: QPointF, clicked: Callable[[QPointF], None] | None = None) -> None:
        self._film, self._begin, self._clicked = film, begin, clicked
        self._placement = film.placement
        self._dragging = clicked is None

    @property
    def cursor(self) -> Qt.CursorShape:
        return Qt.CursorShape.ClosedHandCursor if self._dragging else Qt.CursorShape.ArrowCursor

    def move(self, at: QPointF) -> None:
        by = at - self._begin
        if self._dragging or by.manhattanLength() > SLACK:
            self._dragging = True
            self._film.set_placement(self._placement.moved(by.x(), by.y()))

    def end(self, at: QPointF) -> None:
        self.move(at)
        if not self._dragging and self._clicked is not None:
            self._clicked(self._begin)

    def cancel(self) -> None:
        self._film.set_placement(self._placement)

    def preview(self) -> Preview:
        return Preview()
