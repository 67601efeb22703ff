"""What keys mean to a tool at work."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent

from app.sheet.tools.tool import Tool

KEYS = frozenset({
    Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Backspace, Qt.Key.Key_Delete, Qt.Key.Key_Escape,
})  # fmt: skip
FIGURES = "0123456789.-"


def is_the_tools(event: QKeyEvent) -> bool:
    """Whether a key is a tool's while one is at work, and no shortcut of the window."""
    mine = event.key() in KEYS or _is_figure(event)
    return mine and not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier


def pass_on(tool: Tool, event: QKeyEvent, *, put_away: Callable[[], None], typed: Callable[[str], None]) -> bool:
    """Have a tool do what a key means to it; False where it means nothing.

    Escape with nothing begun asks for the tool to be put away; a figure is typed.
    """
    key = event.key()
    does: dict[int, Callable[[], object]] = {
        Qt.Key.Key_Return: tool.finish,
        Qt.Key.Key_Enter: tool.finish,
        Qt.Key.Key_Backspace: tool.back,
        Qt.Key.Key_Delete: tool.remove,
    }
    if key in does:
        does[key]()
    elif key == Qt.Key.Key_Escape:
        if not tool.cancel():
            put_away()
    elif _is_figure(event) and not event.modifiers():
        typed(event.text())
    else:
        return False
    return True


def _is_figure(event: QKeyEvent) -> bool:
    return bool(event.text()) and event.text() in FIGURES
