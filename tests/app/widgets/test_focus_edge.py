"""The edge about a large widget that the keyboard has come to."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from app.widgets.focus_edge import EdgedList


@pytest.fixture
def page(qtbot) -> QWidget:
    page = QWidget()
    qtbot.addWidget(page)
    column = QVBoxLayout(page)
    page.line, page.list = QLineEdit(), EdgedList()
    column.addWidget(page.line)
    column.addWidget(page.list)
    page.edge = page.list.edge
    with qtbot.waitActive(page):
        page.show()
        page.activateWindow()
    page.line.setFocus()
    return page


def test_it_is_seen_when_the_keyboard_comes_by_a_key_and_goes_with_it(page: QWidget):
    assert not page.edge.isVisible()
    QTest.keyClick(page.line, Qt.Key.Key_Tab)
    assert page.list.hasFocus()
    assert page.edge.isVisible()
    assert page.edge.size() == page.list.size()
    page.resize(page.width() + 40, page.height())
    assert page.edge.size() == page.list.size()
    page.line.setFocus()
    assert not page.edge.isVisible()


def test_who_clicks_needs_none(page: QWidget):
    page.list.setFocus(Qt.FocusReason.MouseFocusReason)
    assert not page.edge.isVisible()
    QTest.keyClick(page.list, Qt.Key.Key_Backtab)
    QTest.keyClick(page.line, Qt.Key.Key_Tab)
    assert page.edge.isVisible()
    QTest.mouseClick(page.list.viewport(), Qt.MouseButton.LeftButton)
    assert page.list.hasFocus()
    assert not page.edge.isVisible()


def test_it_is_there_again_after_a_menu(page: QWidget):
    QTest.keyClick(page.line, Qt.Key.Key_Tab)
    page.line.setFocus(Qt.FocusReason.PopupFocusReason)
    page.list.setFocus(Qt.FocusReason.PopupFocusReason)
    assert page.edge.isVisible()
