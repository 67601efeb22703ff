"""A column of a width of its own beside what it belongs to."""

from __future__ import annotations

from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget

from app.widgets.scrolled import scrolled


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
    scroll = scrolled(page)
    scroll.setAccessibleName(name)
    scroll.setFixedWidth(width)
    return scroll
