"""A line over a thing in which its name is typed in place: Return takes it, Escape leaves the old one."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QRect, Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QLineEdit, QWidget

LEAST_WIDTH = 160


class NameLine(QLineEdit):
    def __init__(self, parent: QWidget, what: str) -> None:
        super().__init__(parent)
        self.setAccessibleName(what)
        self._take: Callable[[str], object] | None = None
        self._leave: Callable[[], object] = parent.setFocus
        self.returnPressed.connect(self.take)
        self.hide()

    def ask(
        self, name: str, place: QRect, take: Callable[[str], object], leave: Callable[[], object] | None = None
    ) -> None:
        """Show the old name, all of it chosen; hand on the new one; `leave` is called at the end in any case."""
        self._take = take
        if leave is not None:
            self._leave = leave
        self.setText(name)
        self.selectAll()
        self.setGeometry(place.adjusted(0, 0, max(0, LEAST_WIDTH - place.width()), 0))
        self.show()
        self.raise_()
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    @property
    def asking(self) -> bool:
        return self._take is not None

    def take(self) -> None:
        take, name = self._take, self.text().strip()
        self.give_up()
        if take is not None and name:
            take(name)

    def give_up(self) -> None:
        if self._take is not None:
            self._take = None
            self.hide()
            self._leave()

    def event(self, event: QEvent) -> bool:
        """Keys are for the name as long as it is typed, and none of them for the window."""
        if event.type() == QEvent.Type.ShortcutOverride and self.asking:
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.give_up()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self.take()
