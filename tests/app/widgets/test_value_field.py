"""A field under the keyboard: what it takes, what it refuses and why, and what stepping tries."""

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QVBoxLayout, QWidget

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


def test_what_would_stand_there_as_nothing_is_refused(page: QWidget):
    field = ValueField("Play", read=read, write=lambda value: f"{value:.2f}", unit="mm", parent=page)
    field.set_value(1.5)
    field.enter("0.001")
    assert field.reason == "“0.001” is not taken: it is finer than can be told here; 0, or more"
    assert (field.value, field.line.text()) == (1.5, "1.50")
    field.enter("0")
    assert (field.value, field.reason) == (0.0, "")


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


def test_arrow_keys_step_the_value_and_it_counts_when_it_is_entered(page: QWidget):
    tried = []
    page.field.tried.connect(tried.append)
    for key in (Qt.Key.Key_Up, Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Up):
        QTest.keyClick(page.field.line, key)
    assert (tried, page.seen, page.field.line.text()) == ([2.5, 3.5, 2.5, 3.5], [], "3.5")
    QTest.keyClick(page.field.line, Qt.Key.Key_Return)
    assert page.seen == [3.5]
    page.other.setFocus()
    assert page.seen == [3.5]


def test_a_stepped_value_is_given_up_with_escape_and_entered_when_the_field_is_left(page: QWidget):
    given_up = []
    page.field.given_up.connect(lambda: given_up.append(page.field.value))
    QTest.keyClick(page.field.line, Qt.Key.Key_Up)
    QTest.keyClick(page.field.line, Qt.Key.Key_Escape)
    assert (given_up, page.field.line.text(), page.seen) == ([1.5], "1.5", [])
    QTest.keyClick(page.field.line, Qt.Key.Key_Down)
    page.other.setFocus()
    assert page.seen == [0.5]


def test_what_is_typed_after_a_step_is_what_counts(page: QWidget):
    QTest.keyClick(page.field.line, Qt.Key.Key_Up)
    type_in(page, "7")
    QTest.keyClick(page.field.line, Qt.Key.Key_Return)
    assert page.seen == [7.0]


def test_a_step_that_would_not_be_read_is_refused(qtbot):
    def least(text: str) -> float:
        if float(text) < 0:
            raise ValueError("it cannot be below 0")
        return float(text)

    field = ValueField("Width", read=least, write=str, unit="mm")
    qtbot.addWidget(field)
    field.set_value(0.5)
    field.show()
    field.line.setFocus()
    QTest.keyClick(field.line, Qt.Key.Key_Down)
    assert (field.value, field.reason) == (0.5, "No further: it cannot be below 0")


def test_the_wheel_steps_only_where_the_keyboard_is(page: QWidget):
    tried = []
    page.field.tried.connect(tried.append)
    middle = page.field.line.rect().center()
    turn_wheel(page.field.line, middle, 240)
    page.field.line.clearFocus()
    turn_wheel(page.field.line, middle, 120)
    assert tried == [3.5]


def turn_wheel(line: QLineEdit, at: QPoint, by: int) -> None:
    none, left = Qt.KeyboardModifier.NoModifier, Qt.MouseButton.NoButton
    event = QWheelEvent(
        QPointF(at),
        QPointF(line.mapToGlobal(at)),
        QPoint(),
        QPoint(0, by),
        left,
        none,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(line, event)


def lend(page: QWidget) -> None:
    page.other.setFocus()
    page.field.type_anew()
    assert page.field.line.hasFocus()
    assert page.field.line.selectedText() == "1.5"


@pytest.mark.parametrize("key", [Qt.Key.Key_Return, Qt.Key.Key_Escape])
def test_a_field_that_borrowed_the_keyboard_gives_it_back(page: QWidget, key: Qt.Key):
    lend(page)
    QTest.keyClicks(page.field.line, "2")
    QTest.keyClick(page.field.line, key)
    assert page.other.hasFocus()
    assert page.seen == ([2.0] if key == Qt.Key.Key_Return else [])


def test_what_is_refused_keeps_the_keyboard_it_borrowed(page: QWidget):
    lend(page)
    QTest.keyClicks(page.field.line, "two")
    QTest.keyClick(page.field.line, Qt.Key.Key_Return)
    assert page.field.line.hasFocus()
    assert page.field.reason


def test_a_field_that_was_clicked_keeps_the_keyboard(page: QWidget):
    lend(page)
    page.other.setFocus()
    page.field.line.setFocus()
    type_in(page, "3")
    QTest.keyClick(page.field.line, Qt.Key.Key_Return)
    assert page.field.line.hasFocus(), "arrows go on stepping it"


def test_escape_takes_back_what_was_typed_and_then_is_left_to_what_the_field_stands_in(page: QWidget, qtbot):
    passed_on = []
    page.keyPressEvent = lambda event: passed_on.append(event.key())
    type_in(page, "7")
    QTest.keyClick(page.field.line, Qt.Key.Key_Escape)
    assert (page.field.line.text(), passed_on) == ("1.5", [])
    QTest.keyClick(page.field.line, Qt.Key.Key_Escape)
    assert passed_on == [Qt.Key.Key_Escape]


def test_why_something_was_refused_stays_until_the_value_changes(page: QWidget):
    type_in(page, "many")
    QTest.keyClick(page.field.line, Qt.Key.Key_Return)
    page.field.set_value(1.5)
    assert "it is not a number" in page.field.reason, "the same value told again, as while the sequence plays"
    page.field.set_value(1.5, of_another=True)
    assert page.field.reason == "", "it was refused of another thing"
    type_in(page, "many")
    QTest.keyClick(page.field.line, Qt.Key.Key_Return)
    page.field.set_value(2.0)
    assert page.field.reason == ""


def test_who_is_about_to_type_has_what_is_chosen_though_the_same_value_is_told_again(page: QWidget):
    lend(page)
    page.field.set_value(1.5)
    QTest.keyClicks(page.field.line, "2")
    assert page.field.line.text() == "2"
    QTest.keyClick(page.field.line, Qt.Key.Key_Escape)
    page.field.line.setFocus()
    page.field.line.setCursorPosition(1)
    page.field.set_value(1.5)
    assert page.field.line.cursorPosition() == 1
    page.field.set_value(2.25)
    assert (page.field.line.text(), page.field.line.cursorPosition()) == ("2.25", 0)
