"""A choice under a wheel that scrolls the page it stands on."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF
from PySide6.QtGui import QPalette
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget

from app.widgets.choice import Choice


@pytest.mark.parametrize("focused", [False, True])
def test_the_wheel_scrolls_the_page_and_picks_nothing(qtbot, focused: bool):
    page, area = QWidget(), QScrollArea()
    column, choice = QVBoxLayout(page), Choice("Profile")
    choice.addItems(["steady", "eased", "early"])
    choice.setCurrentIndex(1)
    column.addWidget(choice)
    column.addStretch(1)
    page.setMinimumHeight(900)
    area.setWidgetResizable(True)
    area.setWidget(page)
    area.resize(200, 200)
    qtbot.addWidget(area)
    with qtbot.waitExposed(area):
        area.show()
    if focused:
        choice.setFocus()
    picked: list[int] = []
    choice.activated.connect(picked.append)
    at = choice.mapTo(area, choice.rect().center())
    QTest.wheelEvent(area.windowHandle(), QPointF(at), QPoint(0, -120))
    qtbot.waitUntil(lambda: area.verticalScrollBar().value() > 0)
    assert (choice.currentText(), picked) == ("eased", [])


def test_a_choice_with_the_keyboard_has_an_edge(qtbot):
    choice = Choice("Profile")
    choice.addItems(["steady", "eased"])
    qtbot.addWidget(choice)
    with qtbot.waitActive(choice):
        choice.show()
        choice.activateWindow()
    accent = choice.palette().color(QPalette.ColorRole.Accent)
    middle = QPoint(choice.width() // 2, 0)
    choice.setFocus()
    assert choice.hasFocus()
    with_edge = choice.grab().toImage().pixelColor(middle)
    choice.clearFocus()
    without = choice.grab().toImage().pixelColor(middle)
    assert with_edge != without
    assert abs(with_edge.hue() - accent.hue()) < 20
