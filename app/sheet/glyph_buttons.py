"""A button of the tray: a glyph with its word beneath, in the palette's ink."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QWidget

from app.sheet.tool_glyphs import glyph_icon
from app.widgets.button import Button
from app.widgets.sizes import fine

SIDE = 20
ROOM = 7
"""Pixels beside a sign that stands alone."""


class WordedGlyph(Button):
    def __init__(
        self, glyph: str, words: str, tip: str = "", *, checkable: bool = False, parent: QWidget | None = None
    ) -> None:
        super().__init__(words, tip, look="tool", checkable=checkable, parent=parent)
        self._glyph = glyph
        self.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextUnderIcon)
        self.setIconSize(QSize(SIDE, SIDE))
        self.setFont(fine(self.font()))
        self._ink()

    def show_word(self, on: bool) -> None:
        """With its word beneath, or the sign alone, which its tip and its name to assistive programs tell."""
        style = Qt.ToolButtonStyle.ToolButtonTextUnderIcon if on else Qt.ToolButtonStyle.ToolButtonIconOnly
        if style is not self.toolButtonStyle():
            self.setToolButtonStyle(style)

    def sizeHint(self) -> QSize:
        hint = super().sizeHint()
        alone = self.toolButtonStyle() is Qt.ToolButtonStyle.ToolButtonIconOnly
        return QSize(SIDE + ROOM, hint.height()) if alone else hint

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def set_glyph(self, glyph: str) -> None:
        if glyph != self._glyph:
            self._glyph = glyph
            self._ink()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.StyleChange):
            self._ink()

    def _ink(self) -> None:
        palette = self.palette()
        ink, ground = palette.color(QPalette.ColorRole.ButtonText), palette.color(QPalette.ColorRole.Window)
        self.setIcon(glyph_icon(self._glyph, ink, ground, SIDE))
