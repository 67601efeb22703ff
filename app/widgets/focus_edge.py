"""An edge about a large widget that the keyboard has come to by a key, where nothing else would tell."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QRectF, Qt
from PySide6.QtGui import QFocusEvent, QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import QWidget

WIDTH = 2.0
BY_KEY = (Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason, Qt.FocusReason.ShortcutFocusReason)
AS_BEFORE = (Qt.FocusReason.ActiveWindowFocusReason, Qt.FocusReason.PopupFocusReason)
"""Why the keyboard is back after it was lent to another window or a menu."""


class FocusEdge(QWidget):
    """Who clicks knows where they are; the edge goes with the first press of a button."""

    def __init__(self, of: QWidget) -> None:
        super().__init__(of)
        self._of, self._by_key = of, False
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.hide()
        of.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QFocusEvent):
            if event.gotFocus() and event.reason() not in AS_BEFORE:
                self._by_key = event.reason() in BY_KEY
            self._show(event.gotFocus() and self._by_key)
        elif event.type() == QEvent.Type.MouseButtonPress:
            self._by_key = False
            self.hide()
        elif event.type() == QEvent.Type.Resize and self.isVisible():
            self._show(True)
        return False

    def _show(self, on: bool) -> None:
        self.setGeometry(self._of.rect())
        self.raise_()
        self.setVisible(on)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setPen(QPen(self.palette().color(QPalette.ColorRole.Accent), WIDTH))
        inside = 0.5 * WIDTH
        painter.drawRect(QRectF(self.rect()).adjusted(inside, inside, -inside, -inside))
