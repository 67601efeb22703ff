"""Lines and choices that are too narrow for what they show."""

from __future__ import annotations

from collections.abc import Callable
from html import escape

import pytest
from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QHelpEvent
from PySide6.QtWidgets import QApplication, QToolTip, QVBoxLayout, QWidget

from app.widgets.choice import Choice
from app.widgets.line import Line

ELIDED = Qt.TextElideMode.ElideRight
LONG = "Door jack's forward <left> & right trunnion bracket"


@pytest.fixture
def page(qtbot) -> QWidget:
    page = QWidget()
    qtbot.addWidget(page)
    page.line, page.other, page.choice = Line(), Line(), Choice("Body")
    page.choice.narrow(4)
    page.choice.addItems([LONG, "Leg"])
    column = QVBoxLayout(page)
    for widget in (page.line, page.other, page.choice):
        widget.setFixedWidth(150)
        column.addWidget(widget)
    page.show()
    qtbot.waitExposed(page)
    page.other.setFocus()
    return page


@pytest.fixture
def pointed_at(monkeypatch) -> Callable[[QWidget], str]:
    """What is told beside the pointer where it rests on a widget."""

    def told(widget: QWidget) -> str:
        said = [""]
        monkeypatch.setattr(QToolTip, "showText", lambda _at, text, _widget: said.append(text))
        QApplication.sendEvent(widget, QHelpEvent(QEvent.Type.ToolTip, QPoint(5, 5), QPoint(5, 5)))
        return said[-1]

    return told


def test_a_line_tells_whole_what_it_has_no_room_for(page: QWidget, pointed_at):
    page.line.setText("Leg")
    assert (page.line.too_long, pointed_at(page.line)) == (False, "")
    page.line.setText(LONG)
    assert page.line.too_long
    assert pointed_at(page.line) == f"<p>{escape(LONG)}</p>"
    page.line.setToolTip("as it is printed")
    assert pointed_at(page.line) == f"<p>{escape(LONG)}</p><p>as it is printed</p>"
    page.line.clear()
    page.line.setPlaceholderText(LONG)
    assert escape(LONG) in pointed_at(page.line)


def test_a_line_ends_in_dots_where_it_is_too_long_and_nobody_types(page: QWidget):
    page.line.setText(LONG)
    page.line.setCursorPosition(0)
    shortened = page.line.grab().toImage()
    page.line.setText(page.line.fontMetrics().elidedText(LONG, ELIDED, page.line.room.width()))
    assert not page.line.too_long
    page.line.setCursorPosition(0)
    assert page.line.grab().toImage() == shortened
    page.line.setText(LONG)
    page.line.setFocus()
    page.line.setCursorPosition(0)
    page.line.setReadOnly(True)  # no cursor that blinks
    assert page.line.grab().toImage() != shortened


@pytest.mark.qt_log_ignore("does not support")  # that a list is raised and has the keyboard
def test_a_choice_tells_whole_what_it_has_no_room_for_and_lists_it_whole(page: QWidget, pointed_at):
    assert page.choice.too_long
    assert page.choice.whole_width > 150
    assert escape(LONG) in pointed_at(page.choice)
    page.choice.showPopup()
    assert page.choice.view().viewport().width() >= page.choice.fontMetrics().horizontalAdvance(LONG)
    page.choice.hidePopup()
    page.choice.setCurrentIndex(1)
    assert (page.choice.too_long, pointed_at(page.choice)) == (False, "")


def test_a_choice_ends_in_dots(page: QWidget):
    shortened = page.choice.grab().toImage()
    page.choice.setItemText(0, page.choice.fontMetrics().elidedText(LONG, ELIDED, page.choice.room.width()))
    assert not page.choice.too_long
    assert page.choice.grab().toImage() == shortened
