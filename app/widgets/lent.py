"""The keyboard of what is typed in: whom Escape leads back to, and when it means anything else."""

from __future__ import annotations

from typing import Any, Protocol

from PySide6.QtCore import Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QWidget


class Typed(Protocol):
    lent_by: QWidget | None
    """Who had the keyboard before, and gets it back."""
    left: Any
    escaped: Any
    """Signals."""

    def isModified(self) -> bool: ...


def wants_escape(typed: Typed, event: QKeyEvent) -> bool:
    """Whether it is Escape, and takes something back here before it means anything to the window."""
    return event.key() == Qt.Key.Key_Escape and (typed.isModified() or typed.lent_by is not None)


def escape(typed: Typed, event: QKeyEvent) -> None:
    """Escape is pressed; where it takes nothing back here, it is left to what this stands in."""
    wanted = wants_escape(typed, event)
    typed.escaped.emit()
    event.setAccepted(wanted)


def leave(typed: Typed, event: QFocusEvent) -> None:
    """The keyboard goes elsewhere; not by a menu of its own, from which it comes back."""
    if event.reason() != Qt.FocusReason.PopupFocusReason:
        typed.lent_by = None
        typed.left.emit()
