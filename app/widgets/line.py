"""A line to type in. What it has no room for ends in dots while nobody types, and is told whole beside the pointer."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRect, Qt
from PySide6.QtGui import QHelpEvent, QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QLineEdit, QStyle, QStyleOptionFrame

from app.widgets.whole import tell_whole

MARGIN = 2
"""Pixels that Qt leaves free at either end of a line's words."""


class Line(QLineEdit):
    @property
    def too_long(self) -> bool:
        """Whether there is no room for all that it shows."""
        return self.fontMetrics().horizontalAdvance(self._shown) > self.room.width()

    @property
    def _shown(self) -> str:
        return self.text() or self.placeholderText()

    @property
    def _option(self) -> QStyleOptionFrame:
        option = QStyleOptionFrame()
        self.initStyleOption(option)
        return option

    @property
    def room(self) -> QRect:
        """Where its words stand."""
        box = self.style().subElementRect(QStyle.SubElement.SE_LineEditContents, self._option, self)
        return box.adjusted(MARGIN, 0, -MARGIN, 0)

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip and self.too_long:
            tell_whole(event, self._shown, self)
            return True
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        if self.hasFocus() or not self.too_long:
            super().paintEvent(event)
            return
        painter, room = QPainter(self), self.room
        self.style().drawPrimitive(QStyle.PrimitiveElement.PE_PanelLineEdit, self._option, painter, self)
        role = QPalette.ColorRole.Text if self.text() else QPalette.ColorRole.PlaceholderText
        painter.setPen(self.palette().color(role))
        words = self.fontMetrics().elidedText(self._shown, Qt.TextElideMode.ElideRight, room.width())
        painter.drawText(room, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, words)
