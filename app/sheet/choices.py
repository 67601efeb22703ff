"""What is meant, where a press can mean several things."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QObject, QPoint
from PySide6.QtWidgets import QMenu, QWidget


class Choices(QObject):
    """A menu at the place of the press."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._parent = parent
        self.menu: QMenu | None = None

    def offer(self, choices: Sequence[tuple[str, Callable[[], object]]], at: QPoint) -> QMenu:
        """Words, and what is done where they are chosen; at a place of the screen."""
        menu = QMenu(self._parent)
        for words, does in choices:
            menu.addAction(words, does)
        self.menu = menu
        menu.popup(at)
        return menu
