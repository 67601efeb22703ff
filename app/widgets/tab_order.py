"""The Tab key goes through parts one after another, and within each as one reads: row by row, from left to right."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QWidget

ROW = 16
"""Pixels of height within which widgets stand in one row."""


def order_tabs(parts: Iterable[QWidget]) -> None:
    """Widgets that are made later would else come last in the window, wherever they stand."""
    for before, after in pairwise(widget for part in parts for widget in _reading(part)):
        QWidget.setTabOrder(before, after)


def _reading(part: QWidget) -> list[QWidget]:
    here = (
        one for one in part.findChildren(QWidget) if one.window() is part.window()
    )  # menus are windows of their own
    takes_tab = [one for one in here if one.focusPolicy() & Qt.FocusPolicy.TabFocus]
    return sorted(takes_tab, key=lambda one: _place(one, part))


def _place(widget: QWidget, part: QWidget) -> tuple[int, int]:
    middle = widget.mapTo(part, QPoint(0, widget.height() // 2))
    return (middle.y() // ROW, middle.x())
