"""A column of a width of its own beside what it belongs to."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget


def side_column(width: int, name: str, *parts: QWidget) -> QScrollArea:
    """Parts under each other, which are scrolled where they are longer than there is room."""
    page = QWidget()
    page.setObjectName("page")
    column = QVBoxLayout(page)
    column.setContentsMargins(12, 4, 12, 4)
    column.setSpacing(10)
    for part in parts:
        column.addWidget(part)
    column.addStretch(1)
    scroll = QScrollArea()
    scroll.setAccessibleName(name)
    scroll.setWidgetResizable(True)
    scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    scroll.setFixedWidth(width)
    scroll.setWidget(page)
    return scroll
