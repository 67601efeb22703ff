"""Words that are typed on as many lines as they take."""

from __future__ import annotations

import math

from PySide6.QtCore import QEvent, QSignalBlocker, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QResizeEvent, QTextCursor
from PySide6.QtWidgets import QPlainTextEdit, QStyle, QStyleOptionFrame, QWidget

from app.widgets.lent import escape, leave, wants_escape

MOST_LINES = 8
"""What takes more lines is scrolled."""
MARGIN = 2
"""Pixels about the words, as a line to type in has them."""


class Prose(QPlainTextEdit):
    """As a line to type in: Enter takes what is typed, Escape takes it back, and the tab key goes on."""

    left = Signal()
    escaped = Signal()
    stepped = Signal(int)
    """Never: words are not stepped."""
    returnPressed = Signal()
    textEdited = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.lent_by: QWidget | None = None
        self.setObjectName("prose")
        self.setTabChangesFocus(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.document().setDocumentMargin(MARGIN)
        self.textChanged.connect(lambda: self.textEdited.emit(self.text()))
        self.document().documentLayout().documentSizeChanged.connect(self._keep_height)
        self._keep_height()

    def text(self) -> str:
        return self.toPlainText()

    def setText(self, text: str) -> None:
        """Without telling that it was edited."""
        with QSignalBlocker(self):
            self.setPlainText(text)

    def isModified(self) -> bool:
        return self.document().isModified()

    def setModified(self, modified: bool) -> None:
        self.document().setModified(modified)

    def setCursorPosition(self, at: int) -> None:
        cursor = self.textCursor()
        cursor.setPosition(at, QTextCursor.MoveMode.MoveAnchor)
        self.setTextCursor(cursor)

    @property
    def frame(self) -> int:
        """Pixels that it takes beside its words."""
        return self._around.width()

    @property
    def _around(self) -> QSize:
        """What it takes for its edge and the room within it."""
        option = QStyleOptionFrame()
        self.initStyleOption(option)
        inside = self.style().subElementRect(QStyle.SubElement.SE_ShapedFrameContents, option, self)
        return option.rect.size() - inside.size() + QSize(2 * MARGIN, 2 * MARGIN)

    def _keep_height(self) -> None:
        lines = max(1, round(self.document().size().height()))
        bar = Qt.ScrollBarPolicy.ScrollBarAsNeeded if lines > MOST_LINES else Qt.ScrollBarPolicy.ScrollBarAlwaysOff
        self.setVerticalScrollBarPolicy(bar)
        block, high = self.document().firstBlock(), 0.0
        while block.isValid():
            high += self.blockBoundingRect(block).height()
            block = block.next()
        self.setFixedHeight(math.ceil(high * min(1.0, MOST_LINES / lines)) + self._around.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._keep_height()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._keep_height()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        leave(self, event)

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.ShortcutOverride and wants_escape(self, event):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            escape(self, event)
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.returnPressed.emit()
        else:
            super().keyPressEvent(event)
