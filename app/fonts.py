"""The shipped typeface, so that figures line up and every machine paints the same: B612, drawn for cockpit screens."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtGui import QFontDatabase

FAMILY = "B612"
FOLDER = Path(__file__).resolve().parent.parent / "resources" / "fonts"


def register_fonts() -> str:
    """Make the typeface known to Qt, once there is a QGuiApplication, and answer its family; may be called again."""
    if FAMILY not in QFontDatabase.families():
        for file in sorted(FOLDER.glob("*.otf")):
            QFontDatabase.addApplicationFont(str(file))
    return FAMILY
