"""The window's palette and style, made from the theme that the sheet wears."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from string import Template

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QGuiApplication, QPalette

from app.painting.theme import DARK, LIGHT, Theme
from app.settings import Look


def theme_of(look: Look) -> Theme:
    """The theme that a look asks for; the system's own choice where it is left to it."""
    if look == Look.SYSTEM:
        dark = QGuiApplication.styleHints().colorScheme() == Qt.ColorScheme.Dark
        return DARK if dark else LIGHT
    return DARK if look == Look.DARK else LIGHT


def palette_of(theme: Theme) -> QPalette:
    """Every role, so that nothing is left to the desktop's palette."""
    palette = QPalette()
    roles = {
        QPalette.ColorRole.Window: theme.window,
        QPalette.ColorRole.WindowText: theme.text,
        QPalette.ColorRole.Base: theme.panel,
        QPalette.ColorRole.AlternateBase: theme.panel_stripe,
        QPalette.ColorRole.Text: theme.text,
        QPalette.ColorRole.PlaceholderText: theme.text_soft,
        QPalette.ColorRole.Button: theme.button,
        QPalette.ColorRole.ButtonText: theme.text,
        QPalette.ColorRole.BrightText: theme.clash,
        QPalette.ColorRole.Highlight: theme.accent_soft,
        QPalette.ColorRole.HighlightedText: theme.text,
        QPalette.ColorRole.Accent: theme.accent,
        QPalette.ColorRole.Link: theme.accent,
        QPalette.ColorRole.LinkVisited: theme.accent,
        QPalette.ColorRole.ToolTipBase: theme.field,
        QPalette.ColorRole.ToolTipText: theme.text,
        QPalette.ColorRole.Light: theme.panel_stripe,
        QPalette.ColorRole.Midlight: theme.border,
        QPalette.ColorRole.Mid: theme.border,
        QPalette.ColorRole.Dark: theme.edge,
        QPalette.ColorRole.Shadow: theme.edge,
    }
    for role, colour in roles.items():
        palette.setColor(role, QColor(colour))
    for role in (QPalette.ColorRole.WindowText, QPalette.ColorRole.Text, QPalette.ColorRole.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, role, QColor(theme.text_off))
    return palette


def style_of(theme: Theme) -> str:
    """What the palette cannot say, from resources/window.qss with the theme's colours put in."""
    sheet = Template((Path(__file__).resolve().parent.parent / "resources" / "window.qss").read_text(encoding="utf-8"))
    return sheet.substitute(asdict(theme))
