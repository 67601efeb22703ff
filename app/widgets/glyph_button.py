"""A flat button with a drawn sign, in the palette's ink."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QWidget

from app.widgets.button import Button
from app.widgets.glyphs import GLYPHS, GRID


class GlyphButton(Button):
    """Shows a glyph by its name; what it does comes from an action or from `clicked`."""

    def __init__(self, glyph: str, parent: QWidget | None = None, *, side: int = 28, sign: int = 16) -> None:
        super().__init__(parent=parent)
        self._glyph, self._side, self._sign = glyph, side, sign
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)

    def set_glyph(self, glyph: str) -> None:
        if glyph != self._glyph:
            self._glyph = glyph
            self.update()

    def sizeHint(self) -> QSize:
        return QSize(self._side, self._side)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        palette = self.palette()
        group = QPalette.ColorGroup.Normal if self.isEnabled() else QPalette.ColorGroup.Disabled
        ink = palette.color(group, QPalette.ColorRole.ButtonText)
        box = QRectF(self.rect()).adjusted(1.5, 1.5, -1.5, -1.5)
        if self.isChecked():
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(palette.color(QPalette.ColorRole.Highlight))
            painter.drawRoundedRect(box, 4, 4)
            ink = palette.color(group, QPalette.ColorRole.HighlightedText)
        elif self.isEnabled() and (self.underMouse() or self.isDown()):
            wash = QColor(ink)
            wash.setAlpha(52 if self.isDown() else 26)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(wash)
            painter.drawRoundedRect(box, 4, 4)
        if self.hasFocus():
            painter.setPen(palette.color(QPalette.ColorRole.Accent))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(box, 4, 4)
        painter.translate((self.width() - self._sign) / 2, (self.height() - self._sign) / 2)
        painter.scale(self._sign / GRID, self._sign / GRID)
        painter.fillPath(GLYPHS[self._glyph](), ink)
