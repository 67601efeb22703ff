"""An aircraft in feet and inches is told in one way wherever it is told; a number alone is inches wherever typed."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel

from app.dialogs.view_settings import DatumSettings
from app.main_window import MainWindow
from app.panels.figure_entries import entries_of_figure
from app.sheet.head import place_words
from core.document.figure_sizes import published
from core.document.project import Figure
from tests.app.sheet.tools.things import aircraft
from tests.app.sketcher import Sketcher
from tests.app.window import opened_window

FOOT = 304.8
ACROSS = [{"body": "bay", "point": [-40.0, 30.0]}, {"body": "bay", "point": [40.0, 30.0]}]
FIGURE = Figure(id="width", name="Bay width", quantity="distance", between=ACROSS, published="2", source="sheet 4")


@pytest.fixture
def window(qtbot, tmp_path: Path):
    project = replace(aircraft(), length_unit="ft", figures=(FIGURE,))
    with opened_window(qtbot, tmp_path, project) as window:
        window.sheet.canvases[0].setFocus()
        yield window


def test_a_field_says_itself_what_it_is_and_takes_a_number_alone_for_inches(window: MainWindow):
    form = window.details.entries
    window.session.choose(None)
    field = form.fields["least_clearance"]
    assert field.line.text() == "0 in"
    assert not [label for label in field.findChildren(QLabel) if label.text() == "ft"]
    field.enter("0.25")
    assert window.session.project.least_clearance == 0.25 * 25.4
    assert field.line.text() == "0.25 in"
    field.enter("1' 2½\"")
    assert window.session.project.least_clearance == FOOT + 2.5 * 25.4
    assert field.line.text() == "1 ft 2.5 in"
    field.line.setFocus()
    QTest.keyClick(field.line, Qt.Key.Key_Up)
    assert field.line.text() == "1 ft 2.505 in"
    QTest.keyClick(field.line, Qt.Key.Key_Escape)


def test_how_it_is_chosen_and_how_things_are_made_is_told_so(window: MainWindow):
    form = window.details.entries
    window.session.choose(None)
    assert form.picks["unit"].currentText() == "feet and inches"
    window.session.choose("leg")
    made = [form.picks["made"].itemText(row) for row in range(form.picks["made"].count())]
    assert len(made) > 1
    assert all(words.endswith(" in") for words in made[1:])


def test_both_numbers_of_a_point_are_seen_at_the_narrowest_window(window: MainWindow, qtbot):
    window.resize(1100, 700)
    window.session.choose("rod")
    form = window.details.entries
    ends = [form.fields[key] for key in ("end 1", "end 2")]
    ends[1].enter("-1 ft 10.0625 in, 1 ft 11.9375 in")

    def left(key: str) -> int:
        return form.fields[key].mapTo(form, form.fields[key].rect().topLeft()).x()

    qtbot.waitUntil(lambda: left("name") > left("end 2") == 0)
    assert ends[1].line.text() == "−1 ft 10.0625 in, 1 ft 11.9375 in"
    assert all(one.width() >= one.whole_width for one in ends)
    ends[1].enter("0 in, 1 in")
    qtbot.waitUntil(lambda: left("end 2") == left("name") > 0)


def test_a_number_typed_on_the_sheet_and_the_place_of_the_pointer(window: MainWindow):
    hand = Sketcher(window)
    hand.tool("circle")
    hand.click(0.0, 0.0)
    hand.type("2")
    assert window.session.project.bodies[-1].shapes[0].radius == pytest.approx(50.8)
    assert place_words(window.session.project, None, (FOOT, -25.4), 2.0) == "x 1 ft 0.00 in    y −1.00 in"


def test_a_bar_is_as_wide_as_is_told_without_rounding(window: MainWindow):
    hand = Sketcher(window)
    hand.tool("bar")
    hand.click(0.0, 0.0)
    hand.move(20.0, 0.0)
    assert window.sheet.line._lines["width"].text() == "0.156 in"
    assert window.sheet.bench.width == pytest.approx(5 / 32 * 25.4)


def test_the_rulers_count_in_inches(window: MainWindow):
    assert [one.text() for one in window.sheet.findChildren(QLabel) if one.text() in ("ft", "in")] == ["in", "in"]


def test_a_datum_is_typed_in_inches(window: MainWindow):
    question = DatumSettings(window.session.project.views[0], window.session.project, window)
    said = []
    question.chosen.connect(said.append)
    question.lines["x"].setText("3")
    question.lines["first"].setText("120½")
    question._set()
    assert said[0].at == (pytest.approx(76.2), 0.0)
    assert said[0].reads[0] == pytest.approx(120.5 * 25.4)


def test_a_figure_without_a_unit_keeps_its_feet_and_one_that_is_typed_says_its_inches(window: MainWindow):
    project = window.session.project
    entry = next(one for one in entries_of_figure(project, FIGURE) if one.key == "published")
    assert published(project, FIGURE, angle=False).value == 2.0 * FOOT, "as the file has always been read"
    assert entry.write(entry.value) == "2 ft"
    assert entry.read("3 ± 1/8") == "3 in ± 1/8 in"
    assert entry.read("1 ft 3 in") == "1 ft 3 in"
