"""An edge about a large widget that the keyboard has come to by a key, where nothing else would tell."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRectF, Qt
from PySide6.QtGui import QFocusEvent, QMouseEvent, QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import QListView, QWidget

WIDTH = 2.0
BY_KEY = (Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason, Qt.FocusReason.ShortcutFocusReason)
AS_BEFORE = (Qt.FocusReason.ActiveWindowFocusReason, Qt.FocusReason.PopupFocusReason)
"""Why the keyboard is back after it was lent to another window or a menu."""


class FocusEdge(QWidget):
    """Who clicks knows where they are; the edge goes with the first press of a button.

    The widget passes on its events: a filter would still be asked while the widget is taken down.
    """

    def __init__(self, of: QWidget) -> None:
        super().__init__(of)
        self._of, self._by_key = of, False
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.hide()

    def follow(self, event: QEvent) -> None:
        if isinstance(event, QFocusEvent):
            if event.gotFocus() and event.reason() not in AS_BEFORE:
                self._by_key = event.reason() in BY_KEY
            self._show(event.gotFocus() and self._by_key)
        elif event.type() == QEvent.Type.MouseButtonPress:
            self._by_key = False
            self.hide()
        elif event.type() == QEvent.Type.Resize and self.isVisible():
            self._show(True)

    def _show(self, on: bool) -> None:
        self.setGeometry(self._of.rect())
        self.raise_()
        self.setVisible(on)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setPen(QPen(self.palette().color(QPalette.ColorRole.Accent), WIDTH))
        inside = 0.5 * WIDTH
        painter.drawRect(QRectF(self.rect()).adjusted(inside, inside, -inside, -inside))


class EdgedList(QListView):
    """A list with such an edge."""

    edge: FocusEdge | None = None
    """None while the list is made, which has events already."""

    def __init__(self) -> None:
        super().__init__()
        self.edge = FocusEdge(self)

    def event(self, event: QEvent) -> bool:
        if self.edge is not None:
            self.edge.follow(event)
        return super().event(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if self.edge is not None:
            self.edge.follow(event)
        super().mousePressEvent(event)
