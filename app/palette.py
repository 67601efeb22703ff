"""The window's palette and style, made from the theme that the sheet wears."""

from __future__ import annotations

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
    """What the palette cannot say: hairlines, room, headings."""
    return f"""
    QMainWindow, QMenuBar {{ background: {theme.window}; }}
    QMenuBar {{ padding: 3px 8px; border-bottom: 1px solid {theme.border}; }}
    QMenuBar::item {{ padding: 4px 10px; border-radius: 3px; background: transparent; color: {theme.text}; }}
    QMenuBar::item:selected {{ background: {theme.accent_soft}; }}
    QMenu {{ background: {theme.field}; border: 1px solid {theme.edge}; padding: 5px 0; }}
    QMenu::item {{ padding: 5px 28px 5px 26px; color: {theme.text}; }}
    QMenu::item:selected {{ background: {theme.accent_soft}; }}
    QMenu::item:disabled {{ color: {theme.text_off}; }}
    QMenu::separator {{ height: 1px; background: {theme.border}; margin: 5px 12px; }}
    QMenu::indicator {{ width: 12px; height: 12px; left: 8px; }}

    QSplitter::handle {{ background: {theme.border}; }}
    QSplitter::handle:hover {{ background: {theme.accent}; }}
    QSplitter::handle:horizontal {{ width: 1px; }}
    QSplitter::handle:vertical {{ height: 1px; }}

    #panel, #page {{ background: {theme.panel}; }}
    #head {{ background: {theme.window}; border-bottom: 1px solid {theme.border}; }}
    QLabel#heading {{ font-weight: bold; color: {theme.text}; }}
    QLabel#count {{ color: {theme.text_soft}; }}
    QLabel#soft, QLabel#factLabel {{ color: {theme.text_soft}; }}
    QLabel#title {{ font-weight: bold; font-size: 15px; }}
    QLabel#reason {{ color: {theme.clash}; }}
    QLabel#big {{ font-weight: bold; font-size: 22px; }}
    QLabel#readout {{ font-size: 15px; }}

    QLineEdit {{ background: {theme.field}; color: {theme.text}; border: 1px solid {theme.border}; border-radius: 3px;
                 padding: 4px 7px; selection-background-color: {theme.accent}; selection-color: {theme.accent_text}; }}
    QLineEdit:hover {{ border-color: {theme.edge}; }}
    QLineEdit:focus {{ border-color: {theme.accent}; }}
    QLineEdit[refused="true"] {{ border-color: {theme.clash}; background: {theme.clash_fill}; }}

    QPushButton {{ background: {theme.button}; color: {theme.text}; border: 1px solid {theme.edge}; border-radius: 3px;
                   padding: 6px 16px; }}
    QPushButton:hover {{ border-color: {theme.accent}; }}
    QPushButton:focus {{ border-color: {theme.accent}; }}
    QPushButton:pressed {{ background: {theme.accent_soft}; }}
    QPushButton:default {{ background: {theme.accent}; color: {theme.accent_text}; border-color: {theme.accent}; }}
    QPushButton#recent {{ background: {theme.panel}; border-color: {theme.border}; }}
    QPushButton#recent:hover, QPushButton#recent:focus {{ border-color: {theme.accent}; }}
    QPushButton:disabled, QPushButton:default:disabled {{ background: {theme.button}; color: {theme.text_off};
                                                          border-color: {theme.border}; }}

    QToolButton {{ background: transparent; color: {theme.text}; border: 1px solid transparent; border-radius: 3px;
                   padding: 3px 9px; }}
    QToolButton:hover {{ border-color: {theme.edge}; }}
    QToolButton:focus {{ border-color: {theme.accent}; }}
    QToolButton:checked {{ background: {theme.accent_soft}; }}
    QToolButton#segment, QToolButton#speed {{ background: transparent; color: {theme.text}; padding: 4px 12px;
                                             border: 1px solid {theme.border}; }}
    QToolButton#quiet {{ background: transparent; color: {theme.text_soft}; padding: 1px 6px;
        border: 1px solid transparent; border-radius: 3px; }}
    QToolButton#quiet:hover {{ border-color: {theme.edge}; color: {theme.text}; }}
    QToolButton#quiet:focus {{ border-color: {theme.accent}; }}
    QToolButton#segment:hover, QToolButton#speed:hover {{ border-color: {theme.edge}; }}
    QToolButton#segment:checked {{ background: {theme.accent_soft}; border-color: {theme.accent}; }}
    QToolButton#segment:focus, QToolButton#speed:focus {{ border-color: {theme.accent}; }}
    QToolButton:disabled, QToolButton#speed:disabled, QToolButton#quiet:disabled {{ color: {theme.text_off}; }}
    QToolButton#speed::menu-indicator {{ image: none; }}

    QListView {{ background: {theme.panel}; border: none; outline: none; }}
    QScrollArea {{ border: none; background: {theme.panel}; }}
    QScrollBar:vertical {{ background: transparent; width: 10px; margin: 0; }}
    QScrollBar::handle:vertical {{ background: {theme.border}; min-height: 28px; border-radius: 4px; margin: 1px 2px; }}
    QScrollBar::handle:vertical:hover {{ background: {theme.edge}; }}
    QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; }}
    QScrollBar::add-page, QScrollBar::sub-page {{ background: transparent; }}

    QFrame#notice {{ background: {theme.clash_fill}; border-bottom: 1px solid {theme.clash}; }}
    QFrame#block {{ background: {theme.window}; border-top: 1px solid {theme.border}; }}
    QLabel#cell {{ border-left: 1px solid {theme.border}; padding: 0 12px; color: {theme.text_soft}; }}
    QLabel#help {{ padding: 0 12px; color: {theme.text_soft}; }}
    QToolTip {{ background: {theme.field}; color: {theme.text}; border: 1px solid {theme.edge}; padding: 4px 6px; }}
    """
