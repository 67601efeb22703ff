import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from app.widgets.value_field import ValueField


def read(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise ValueError("it is not a number") from None


@pytest.fixture
def page(qtbot) -> QWidget:
    page = QWidget()
    qtbot.addWidget(page)
    page.setLayout(QVBoxLayout())
    page.field = ValueField("Duration", read=read, write=lambda value: f"{value:g}", unit="s")
    page.other = QLineEdit()
    page.layout().addWidget(page.field)
    page.layout().addWidget(page.other)
    page.field.set_value(1.5)
    page.seen = []
    page.field.entered.connect(page.seen.append)
    page.show()
    qtbot.waitExposed(page)
    page.field.line.setFocus()
    return page


def type_in(page: QWidget, text: str) -> None:
    page.field.line.selectAll()
    QTest.keyClicks(page.field.line, text)


def test_a_number_is_taken_with_return(page: QWidget):
    type_in(page, "2.25")
    assert page.seen == [], "not while it is typed"
    QTest.keyClick(page.field.line, Qt.Key.Key_Return)
    assert page.seen == [2.25]
    assert (page.field.value, page.field.line.text(), page.field.reason) == (2.25, "2.25", "")


def test_a_number_is_taken_when_the_field_is_left(page: QWidget):
    type_in(page, "3")
    page.other.setFocus()
    assert page.seen == [3.0]


def test_what_is_not_understood_is_refused_beside_the_field_and_the_old_value_stays(page: QWidget):
    type_in(page, "soon")
    QTest.keyClick(page.field.line, Qt.Key.Key_Return)
    assert page.seen == []
    assert (page.field.value, page.field.line.text()) == (1.5, "1.5")
    assert page.field.reason == "“soon” is not taken: it is not a number"
    assert page.field.line.property("refused") is True
    type_in(page, "2")
    assert page.field.reason == "", "the reason goes when one types again"


def test_escape_puts_the_old_value_back(page: QWidget):
    type_in(page, "9")
    QTest.keyClick(page.field.line, Qt.Key.Key_Escape)
    assert page.field.line.text() == "1.5"
    page.other.setFocus()
    assert page.seen == []


def test_the_same_value_typed_again_is_no_change(page: QWidget):
    type_in(page, "1.5")
    QTest.keyClick(page.field.line, Qt.Key.Key_Return)
    assert page.seen == []


def test_a_new_value_from_outside_is_shown(page: QWidget):
    page.field.set_value(4.0)
    assert page.field.line.text() == "4"
