"""The smaller dialogs: what they list, ask and keep, and that none is larger than the screen."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QPushButton, QWidget

from app import __version__
from app.action_table import TABLE
from app.actions import key_groups
from app.dialogs.about import CAUTIONS, About
from app.dialogs.frame import Dialog
from app.dialogs.keys import MOUSE, KeyList
from app.dialogs.new_aircraft import NewAircraft
from app.dialogs.strip import StripFrames


def texts(dialog: QWidget) -> list[str]:
    return [label.text() for label in dialog.findChildren(QLabel)]


def press(dialog: QWidget, words: str) -> None:
    button = next(one for one in dialog.findChildren(QPushButton) if one.text() == words)
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def test_every_key_of_the_table_is_in_the_list(qtbot):
    page = QWidget()
    qtbot.addWidget(page)
    dialog = KeyList(key_groups(), page)
    shown = texts(dialog)
    for row in TABLE:
        if row.keys:
            assert row.words.replace("&", "") in shown
    assert {"Space", "Ctrl+Shift+Z or Ctrl+Y", "1 to 9"} <= set(shown)


@pytest.mark.parametrize("width", [1180, 940])
def test_what_the_mouse_does_is_in_the_list_and_the_list_is_no_larger_than_its_window(qtbot, width):
    page = QWidget()
    qtbot.addWidget(page)
    page.resize(width, 700)
    dialog = KeyList(key_groups(), page)
    shown = texts(dialog)
    for group in MOUSE:
        assert group.title in shown
        assert {words for row in group.rows for words in row} <= set(shown)
    assert dialog.height() < page.height()
    assert dialog.width() <= page.width()


def test_a_dialog_is_no_larger_than_the_screen(qtbot):
    page = QWidget()
    qtbot.addWidget(page)
    dialog = Dialog("Built models", page)
    dialog.open_to(300, 200)
    assert (dialog.width(), dialog.height()) == (300, 200)
    dialog.open_to(9000, 9000)
    screen = dialog.screen().availableSize()
    assert dialog.width() < screen.width()
    assert dialog.height() < screen.height()


def test_the_cautions_are_told(qtbot):
    page = QWidget()
    qtbot.addWidget(page)
    dialog = About(__version__, page)
    said = " ".join(texts(dialog))
    for word in ("fingers", "relief valve", "attended", "authority", "approves nothing for full-size flight"):
        assert word in said
    assert len(CAUTIONS) == 5


def test_a_strip_says_how_far_its_frames_are_apart(qtbot):
    page = QWidget()
    qtbot.addWidget(page)
    dialog = StripFrames("Retract", 7.2, page)
    chosen: list[int] = []
    dialog.chosen.connect(chosen.append)
    dialog.slider.setValue(5)
    assert "5 frames from start to end, one every 1.80 s." in texts(dialog)
    dialog.open()
    press(dialog, "Choose a file…")
    assert chosen == [5]


@pytest.mark.parametrize(("unit", "clearance"), [("mm", 0.5), ("in", 0.508), ("ft", 0.508)])
def test_a_new_aircraft_keeps_a_clearance_that_is_told_without_rounding(qtbot, unit, clearance):
    page = QWidget()
    qtbot.addWidget(page)
    question, made = NewAircraft(page), []
    question.made.connect(made.append)
    question.name.setText("Pellow 3")
    question.unit.setCurrentIndex(question.unit.findData(unit))
    for scale, why in (("0", "0 is no scale"), ("1e9", "1e9 is no scale")):
        question.scale.setText(scale)
        press(question, "Begin")
        assert any(why in words for words in texts(question))
    question.scale.setText("1:7½")
    press(question, "Begin")
    assert (made[0].length_unit, made[0].aircraft.scale) == (unit, 7.5)
    assert made[0].least_clearance == pytest.approx(clearance)
