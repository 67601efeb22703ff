"""What there is no room for, told whole beside the pointer."""

from __future__ import annotations

from html import escape

from PySide6.QtCore import QEvent
from PySide6.QtGui import QHelpEvent
from PySide6.QtWidgets import QToolTip, QWidget


def tell_whole(event: QEvent, text: str, widget: QWidget) -> bool:
    """Answer the pointer's rest over a widget with a text, in lines, and with the widget's own tip below it; False for
    any other event."""
    if event.type() != QEvent.Type.ToolTip or not isinstance(event, QHelpEvent):
        return False
    told = [text, widget.toolTip()] if widget.toolTip() else [text]
    QToolTip.showText(event.globalPos(), "".join(f"<p>{escape(one)}</p>" for one in told), widget)
    return True
