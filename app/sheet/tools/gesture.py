"""What every mouse gesture on the sheet has: a begin, moves, an end, and a way to give it up."""

from __future__ import annotations

from typing import Protocol

from PySide6.QtCore import QPointF, Qt

from app.sheet.tools.tool import Preview


class Gesture(Protocol):
    """Begun by a press; ended by the release, or given up when something else takes the mouse away."""

    @property
    def cursor(self) -> Qt.CursorShape: ...

    def move(self, at: QPointF) -> None: ...

    def end(self, at: QPointF) -> None: ...

    def cancel(self) -> None: ...

    def preview(self) -> Preview:
        """What it draws over the sheet while it lasts."""
        ...
