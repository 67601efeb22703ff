"""The inks of the sequence region, taken from the theme that the sheet wears too."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtGui import QColor

from app.painting.theme import Theme


@dataclass(frozen=True, slots=True, kw_only=True)
class Inks:
    ground: QColor
    text: QColor
    soft: QColor
    line: QColor
    bar: QColor
    bar_edge: QColor
    chosen: QColor
    chosen_ground: QColor
    rule: QColor
    rule_text: QColor
    grave: QColor
    grave_ground: QColor
    mild: QColor
    mild_ground: QColor
    clear: QColor
    stale: QColor


def inks_of(theme: Theme) -> Inks:
    return Inks(
        ground=QColor(theme.panel), text=QColor(theme.text), soft=QColor(theme.text_soft), line=QColor(theme.border),
        bar=QColor(theme.link), bar_edge=QColor(theme.edge),
        chosen=QColor(theme.accent), chosen_ground=QColor(theme.accent_soft),
        rule=QColor(theme.accent), rule_text=QColor(theme.accent_text),
        grave=QColor(theme.clash), grave_ground=QColor(theme.clash_fill),
        mild=QColor(theme.tight), mild_ground=QColor(theme.tight_fill),
        clear=QColor(theme.clear), stale=QColor(theme.stale),
    )  # fmt: skip
