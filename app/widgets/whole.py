"""What there is no room for, told whole beside the pointer."""

from __future__ import annotations

from html import escape

from PySide6.QtGui import QHelpEvent
from PySide6.QtWidgets import QToolTip, QWidget


def tell_whole(event: QHelpEvent, text: str, widget: QWidget) -> None:
    """Where the pointer rests, in lines; with the widget's own tip below it."""
    told = [text, widget.toolTip()] if widget.toolTip() else [text]
    QToolTip.showText(event.globalPos(), "".join(f"<p>{escape(one)}</p>" for one in told), widget)
