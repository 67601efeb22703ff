"""Words on as many lines as they take, typed as on a line."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from app.widgets.prose import MOST_LINES, Prose
from app.widgets.value_field import ValueField

LONG = "Everything is measured from the wheel's axle with the oleo out, after the drawing. "


def one_line(text: str) -> str:
    words = " ".join(text.split())
    if words == "nothing":
        raise ValueError("it says nothing")
    return words


@pytest.fixture
def page(qtbot) -> QWidget:
    page = QWidget()
    qtbot.addWidget(page)
    page.field = ValueField("Note", read=one_line, write=str, words=True, prose=True)
    page.other = QLineEdit()
    page.setLayout(QVBoxLayout())
    page.layout().addWidget(page.field)
    page.layout().addWidget(page.other)
    page.layout().addStretch(1)
    page.seen = []
    page.field.entered.connect(page.seen.append)
    page.field.set_value("of brass")
    page.resize(260, 400)
    page.show()
    qtbot.waitExposed(page)
    page.field.line.setFocus()
    return page


def test_enter_takes_what_is_typed(page: QWidget):
    page.field.line.selectAll()
    QTest.keyClicks(page.field.line, "of steel")
    assert page.seen == []
    QTest.keyClick(page.field.line, Qt.Key.Key_Return)
    assert page.seen == ["of steel"]
    page.field.line.insertPlainText("two\nlines ")
    page.other.setFocus()
    assert page.seen[1:] == ["two lines of steel"], "so does leaving it, and what is pasted comes to one line"


def test_escape_takes_back_what_is_typed_and_tab_goes_on(page: QWidget):
    QTest.keyClicks(page.field.line, "not ")
    QTest.keyClick(page.field.line, Qt.Key.Key_Escape)
    assert (page.field.line.text(), page.seen) == ("of brass", [])
    escape = QKeyEvent(QKeyEvent.Type.KeyPress, Qt.Key.Key_Escape, Qt.KeyboardModifier.NoModifier)
    page.field.line.keyPressEvent(escape)
    assert not escape.isAccepted(), "the next one is left to the page"
    QTest.keyClick(page.field.line, Qt.Key.Key_Tab)
    assert page.other.hasFocus()
    assert page.seen == []


def test_what_is_refused_is_told_until_it_is_typed_anew(page: QWidget):
    page.field.enter("nothing")
    assert page.field.reason == "“nothing” is not taken: it says nothing"
    assert (page.field.line.text(), page.field.line.property("refused")) == ("of brass", True)
    QTest.keyClicks(page.field.line, "x")
    assert page.field.reason == ""


def test_it_is_as_high_as_its_words_need(page: QWidget, qtbot):
    prose = page.field.line
    assert isinstance(prose, Prose)
    low = prose.height()
    line = prose.fontMetrics().lineSpacing()
    page.field.set_value(LONG)
    lines = round(prose.document().size().height())
    assert 1 < lines <= MOST_LINES
    assert prose.height() == pytest.approx(low + (lines - 1) * line, abs=lines)
    qtbot.waitUntil(lambda: prose.verticalScrollBar().maximum() == 0)
    page.resize(900, 400)
    qtbot.waitUntil(lambda: prose.height() == low)
    page.resize(260, 400)
    page.field.set_value(20 * LONG)
    assert prose.height() == pytest.approx(low + (MOST_LINES - 1) * line, abs=MOST_LINES)
    qtbot.waitUntil(lambda: prose.verticalScrollBar().maximum() > 0)
