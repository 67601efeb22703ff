"""A tool button that keeps Space to itself while it has the keyboard, where the window uses Space as well."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QToolButton, QWidget


class Button(QToolButton):
    """`look` is a name of the style sheet: `segment` with a rim, `quiet` without."""

    def __init__(
        self, words: str = "", tip: str = "", *, look: str = "", checkable: bool = False, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setText(words)
        self.setToolTip(tip)
        self.setStatusTip(tip)
        self.setObjectName(look)
        self.setCheckable(checkable)

    def event(self, event: QEvent) -> bool:
        if (
            event.type() == QEvent.Type.ShortcutOverride
            and isinstance(event, QKeyEvent)
            and event.key() == Qt.Key.Key_Space
        ):
            event.accept()
            return True
        return super().event(event)
