"""A few choices stand in a row, many behind one button."""

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.widgets.segments import Segments

FEW = (("retract", "Retract"), ("steer", "Steer"))
MANY = tuple((f"s{number}", f"Sequence {number}") for number in range(9))


def test_a_few_stand_in_a_row_and_one_is_down(qtbot):
    segments = Segments("Sequence")
    qtbot.addWidget(segments)
    segments.show_rows(FEW, "retract")
    chosen: list[str] = []
    segments.chosen.connect(chosen.append)
    QTest.mouseClick(segments.button("steer"), Qt.MouseButton.LeftButton)
    assert chosen == ["steer"]
    assert [segments.button(key).isChecked() for key, _words in FEW] == [False, True]


def test_many_stand_in_a_list_behind_one_button(qtbot):
    segments = Segments("Sequence")
    qtbot.addWidget(segments)
    segments.show_rows(MANY, "s3")
    assert segments.list_button.text().startswith("Sequence 3")
    chosen: list[str] = []
    segments.chosen.connect(chosen.append)
    segments.list_button.menu().actions()[7].trigger()
    assert chosen == ["s7"]
    segments.show_rows(FEW, "steer")
    assert segments.list_button is None


def test_an_ampersand_is_read_and_a_long_name_is_told_whole(qtbot):
    segments = Segments("Sequence")
    qtbot.addWidget(segments)
    segments.show_rows((("doors", "Doors & leg"),), "doors")
    assert segments.button("doors").text() == "Doors && leg"
    assert segments.button("doors").accessibleName() == "Doors & leg"
    long = "Doors & leg of the port undercarriage, seen from ahead, with the jack"
    segments.show_rows((("doors", long), ("steer", "Steer")), "doors")
    assert segments.list_button.text().startswith("Doors && leg")
    assert segments.list_button.toolTip() == long
    assert segments.list_button.menu().actions()[0].text() == long.replace("&", "&&")
