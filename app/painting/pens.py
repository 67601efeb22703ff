"""Pens and brushes for marks and signs: made once for each kind of them, since there are hundreds at every repaint.

Lines are those of ISO 128-2: narrow and wide stand 1 : 2, and dashes are counted in line widths.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from PySide6.QtCore import Qt
from PySide6.QtGui import QBrush, QColor, QPen

from app.painting.symbols import Ink
from app.painting.theme import Theme
from core.drawing.drawing import Line, Mark, Tint

LONG, SHORT, GAP, DOT = 24.0, 12.0, 3.0, 0.5
"""Of dashes, in line widths: ISO 128-2, line elements."""
PATTERNS: Mapping[Line, Sequence[float]] = MappingProxyType(
    {
        Line.CENTRE: (LONG, GAP, DOT, GAP),
        Line.GHOST: (LONG, GAP, DOT, GAP, DOT, GAP),
        Line.HIDDEN: (SHORT, GAP),
    }
)
WIDTHS: Mapping[Line, float] = MappingProxyType({Line.OUTLINE: 1.0, Line.CLASH: 1.0})
"""In widths of a wide line; every other line is narrow, half as wide."""
NARROW = 0.5
SOFT = frozenset({Line.CENTRE, Line.GHOST, Line.THIN})
EDGE = 3.0
"""How wide the edge about what is chosen is, in widths of a wide line."""
FAINT_SHARE = 0.45
"""How much of a ground is left where it is faint."""
GROUND_ALPHA = 0.78
"""Bodies let what lies behind them show through, as films laid on each other do."""
TRACED_ALPHA = 0.4
"""And all the more while they are traced over a drawing."""


class Pens:
    """The pens and brushes of a theme; `wide` is the width of a wide line in device units."""

    def __init__(self, theme: Theme, wide: float) -> None:
        self._theme, self._wide = theme, wide
        self._scale = 0.0
        self._pens: dict[tuple[object, ...], QPen] = {}
        """At the scale."""
        self._grounds: dict[tuple[Tint, bool, bool], QBrush] = {}
        self._inks: dict[Ink, tuple[QPen, QBrush]] = {}
        self.paper = QBrush(QColor(theme.paper))

    def line(self, mark: Mark, scale: float) -> QPen:
        """For a mark's line, where a millimetre is `scale` device units."""
        key = (mark.line, mark.faint, mark.chosen, bool(mark.geometry.lines))
        return self._at(scale).get(key) or self._made(key, self._line(mark, scale))

    def edge(self, scale: float) -> QPen:
        """For the edge about a chosen mark."""
        return self._at(scale).get(()) or self._made((), self._edge(scale))

    def ground(self, tint: Tint, *, faint: bool, see_through: bool) -> QBrush:
        key = (tint, faint, see_through)
        found = self._grounds.get(key)
        if found is None:
            colour = QColor(self._theme.tint(tint))
            solid = 1.0 if tint in (Tint.PAPER, Tint.INK) else TRACED_ALPHA if see_through else GROUND_ALPHA
            colour.setAlphaF(FAINT_SHARE * solid if faint else solid)
            found = self._grounds[key] = QBrush(colour)
        return found

    def sign(self, ink: Ink, unit: float) -> tuple[QPen, QBrush]:
        """For a sign's lines and its areas, where a millimetre of it is always `unit` device units."""
        found = self._inks.get(ink)
        if found is None:
            inks = {Ink.LINE: self._theme.ink, Ink.WRONG: self._theme.clash, Ink.HAND: self._theme.accent}
            pen = QPen(QColor(inks[ink]), (NARROW if ink is Ink.LINE else 1.0) * self._wide / unit)
            pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
            found = self._inks[ink] = (pen, QBrush(QColor(inks[ink])))
        return found

    def _at(self, scale: float) -> dict[tuple[object, ...], QPen]:
        if scale != self._scale:
            self._scale = scale
            self._pens.clear()
        return self._pens

    def _made(self, key: tuple[object, ...], pen: QPen) -> QPen:
        self._pens[key] = pen
        return pen

    def _line(self, mark: Mark, scale: float) -> QPen:
        theme = self._theme
        ink = theme.clash if mark.line is Line.CLASH else theme.ink
        ink = theme.ink_soft if mark.line is not Line.CLASH and (mark.faint or mark.line in SOFT) else ink
        width = WIDTHS.get(mark.line, NARROW)
        if mark.chosen and mark.line is Line.HIDDEN:  # an edge about it would close its dashes
            ink, width = theme.accent, 1.0
        pen = QPen(QColor(ink), width * self._wide / scale)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)  # round ones take twice as long: see benchmark_sheet.py
        if mark.line in PATTERNS:
            pen.setDashPattern(list(PATTERNS[mark.line]))
        elif mark.geometry.lines:
            pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        return pen

    def _edge(self, scale: float) -> QPen:
        edge = QPen(QColor(self._theme.accent), EDGE * self._wide / scale)
        edge.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        return edge
