"""One of several, picked from a list that drops down or by the keyboard; the wheel scrolls past it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRect, QRectF, Qt
from PySide6.QtGui import QHelpEvent, QPaintEvent, QPalette, QWheelEvent
from PySide6.QtWidgets import QComboBox, QStyle, QStyleOptionComboBox, QStylePainter

from app.widgets.whole import tell_whole

MARGIN = 1
"""Pixels that Qt leaves free at either end of the words."""
CORNER = 2.0
BESIDE = 40
"""Pixels that a list needs beside its words, for its frame and a scroll bar."""


class Choice(QComboBox):
    """Words that there is no room for end in dots, and are told whole beside the pointer; the list that drops down is
    as wide as they are."""

    def __init__(self, name: str) -> None:
        """`name` is read out."""
        super().__init__()
        self.setAccessibleName(name)

    def narrow(self, letters: int) -> None:
        """Be as wide as so many letters at the least, however long what it holds."""
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(letters)

    @property
    def too_long(self) -> bool:
        """Whether there is no room for all that it shows."""
        return self.whole_width > self.width()

    @property
    def whole_width(self) -> int:
        """Pixels in which all that it shows is seen."""
        return self.fontMetrics().horizontalAdvance(self.currentText()) + self.width() - self.room.width()

    @property
    def _option(self) -> QStyleOptionComboBox:
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        return option

    @property
    def room(self) -> QRect:
        """Where its words stand."""
        field = QStyle.SubControl.SC_ComboBoxEditField
        box = self.style().subControlRect(QStyle.ComplexControl.CC_ComboBox, self._option, field, self)
        return box.adjusted(MARGIN, 0, -MARGIN, 0)

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip and self.too_long:
            tell_whole(event, self.currentText(), self)
            return True
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter, option = QStylePainter(self), self._option
        painter.drawComplexControl(QStyle.ComplexControl.CC_ComboBox, option)
        dots = Qt.TextElideMode.ElideRight
        option.currentText = self.fontMetrics().elidedText(option.currentText, dots, self.room.width())
        painter.drawControl(QStyle.ControlElement.CE_ComboBoxLabel, option)
        if self.hasFocus():  # an edge as about lines that are typed in; the style's own is hardly seen on a dark one
            painter.setRenderHint(QStylePainter.RenderHint.Antialiasing)
            painter.setPen(self.palette().color(QPalette.ColorRole.Accent))
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5), CORNER, CORNER)

    def showPopup(self) -> None:
        widest = max((self.fontMetrics().horizontalAdvance(self.itemText(n)) for n in range(self.count())), default=0)
        self.view().setMinimumWidth(min(widest + BESIDE, self.screen().availableSize().width()))
        super().showPopup()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Left to what it stands in: who scrolls a page does not mean what happens to come under the pointer."""
        event.ignore()
