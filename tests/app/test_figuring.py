"""Measuring on the sheet at a moment, and the window of figures: add, edit, remove; what contradicts what."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog

from app.figuring import FiguresWindow
from core.document.joint_edits import ReplaceConnection
from core.document.project import Circle, Figure, Pivot
from core.document.project_file import read_project
from core.sketch.body_edits import AddShape
from tests.app.sheet.tools.things import aircraft
from tests.app.sketcher import Sketcher
from tests.app.window import dialog_of, opened_window, settle, wait_for_check

ACROSS = [{"body": "bay", "point": [-40.0, 30.0]}, {"body": "bay", "point": [40.0, 30.0]}]
TWICE = (
    Figure(id="width", name="Bay width", quantity="distance", between=ACROSS, published="640 mm ± 1 mm", full_size=True,
           shop="0.01 mm", source="sheet 4"),
    Figure(id="width-2", name="Bay again", quantity="distance", between=ACROSS, published="660 mm", full_size=True,
           plus_minus="1 mm", source="sheet 5"),
)  # fmt: skip

LIMITED = Pivot(id="trunnion", bodies=("bay", "leg"), at=(0.0, 0.0), limits=(-5.0, 95.0))


@pytest.fixture
def hand(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, replace(aircraft(), figures=TWICE)) as window:
        sketcher = Sketcher(window)
        sketcher.canvas.fit()
        sketcher.canvas.setFocus()
        settle()
        yield sketcher


def figures(hand) -> tuple[Figure, ...]:
    return hand.window.session.project.figures


def typed(hand, text: str, field) -> None:
    field.line.setFocus()
    field.line.selectAll()
    hand.type(text, field.line)


def hint(hand) -> str:
    return hand.window.sheet.line.hint.text()


def labels(hand) -> list[str]:
    return [label.text for label in hand.canvas._tool.preview().labels]


def test_a_distance_is_measured_at_the_moment_and_runs_with_it(hand, qtbot):
    session = hand.window.session
    session.set_moment(1.0)
    hand.tool("measure-distance")
    hand.click(30, 3)  # the leg, drawn hanging from (-3, -30) to (3, 3), lies to the right now
    hand.click(-40, 20)
    assert "70 × " not in hint(hand)
    away = math.hypot(70.0, 17.0)
    assert hint(hand).startswith(f"{away:.3f}".rstrip("0"))
    assert "full size" in hint(hand)
    session.set_moment(0.0)
    back = math.hypot(3.0 + 40.0, -30.0 - 20.0)
    assert hint(hand).startswith(f"{back:.3f}".rstrip("0"))
    assert len(figures(hand)) == 2, "nothing is kept unasked"


def test_what_is_measured_is_kept_with_its_moment_or_thrown_away(hand, qtbot, tmp_path):
    hand.window.session.set_moment(1.0)
    hand.tool("measure-distance")
    hand.click(0, 0)
    hand.click(40, 20)
    hand.key(Qt.Key.Key_Return, hand.canvas)
    kept = figures(hand)[-1]
    assert kept.name == "Distance"
    assert kept.full_size, "what is published of an aircraft at a scale is its prototype's"
    assert kept.between[0] == {"pivot": "trunnion", "at": {"sequence": "up", "at": "end"}}
    assert kept.between[1]["body"] == "bay"
    wait_for_check(qtbot, hand.window)
    result = hand.window.session.study.figures[-1]
    assert result.model == pytest.approx(math.hypot(40, 20), abs=1e-6)
    assert dialog_of(hand.window, FiguresWindow).panel.chosen == kept
    hand.click(0, 0)
    hand.click(40, 30)
    hand.key(Qt.Key.Key_Escape, hand.canvas)
    assert len(figures(hand)) == 3
    hand.window.session.undo()
    assert len(figures(hand)) == 2
    hand.window.session.redo()
    hand.window.keeping.save()
    assert read_project(tmp_path / "aircraft").figures[-1] == kept


def test_an_angle_and_a_gap(hand, qtbot):
    hand.window.session.set_moment(1.0)
    hand.tool("measure-angle")
    for place in ((40, 20), (0, 0), (40, -20)):
        hand.click(*place)
    wanted = 2.0 * math.degrees(math.atan2(20, 40))
    assert hint(hand).startswith(f"{wanted:.2f}°")
    hand.tool("measure-gap")
    hand.click(20, 0)
    hand.click(20, 25)
    assert hint(hand).startswith("17 mm")
    hand.key(Qt.Key.Key_Return, hand.canvas)
    assert [one["body"] for one in figures(hand)[-1].between] == ["leg", "bay"]
    wait_for_check(qtbot, hand.window)
    assert hand.window.session.study.figures[-1].model == pytest.approx(17.0, abs=1e-6)


def shift_click(hand, x: float, y: float) -> None:
    hand.move(x, y)
    QTest.mouseClick(hand.canvas, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.ShiftModifier, hand.pixel(x, y))


def test_with_shift_a_gap_ends_at_an_edge_a_corner_or_a_joint(hand, qtbot):
    hand.window.session.set_moment(1.0)
    hand.tool("measure-gap")
    assert "Shift" in hint(hand)
    shift_click(hand, -25, 20)  # the bay's lower edge
    assert len(hand.canvas._tool.preview().marks) > 0, "what was picked is shown"
    shift_click(hand, 30, 3)  # a corner of the leg, which lies to the right now
    assert hint(hand).startswith("17 mm")
    hand.key(Qt.Key.Key_Return, hand.canvas)
    kept = figures(hand)[-1]
    assert kept.between[0] == {
        "body": "bay",
        "edge": [[-40.0, 20.0], [40.0, 20.0]],
        "at": {"sequence": "up", "at": "end"},
    }
    assert kept.between[1]["point"] == [3.0, -30.0]
    panel = dialog_of(hand.window, FiguresWindow).panel
    assert panel.about.text() == "The gap from edge of Bay at 0, 20 mm to Leg at 3, −30 mm."
    wait_for_check(qtbot, hand.window)
    assert hand.window.session.study.figures[-1].model == pytest.approx(17.0, abs=1e-6)
    shift_click(hand, 0, 0)
    hand.click(0, 25)
    assert hint(hand).startswith("20 mm"), "from the joint to the bay as a whole"


def test_where_nothing_is_drawn_a_gap_has_no_body(hand):
    said: list[str] = []
    hand.window.session.trouble.connect(said.append)
    hand.tool("measure-gap")
    hand.click(-30, -25)
    assert said == ["Nothing that can be measured is drawn there"]


def test_a_rod_a_wheel_and_a_stroke_are_measured_where_they_are_clicked(hand, qtbot):
    hand.window.session.push(ReplaceConnection(LIMITED))
    wait_for_check(qtbot, hand.window)
    hand.window.session.set_moment(1.0)
    hand.tool("measure-length")
    hand.move(20, 0)  # the leg lies to the right now, and the rod hangs on it there
    assert labels(hand) == ["length of rod"]
    hand.click(20, 0)
    assert hint(hand).startswith(f"{math.dist((0, -20), (30, -15)):.3f} mm")
    hand.tool("measure-stroke")
    hand.click(0, 0)
    assert hint(hand) == (
        "90°. It uses 90° of 100°: 5° left at its lower limit, 5° left at its upper limit – "
        "Enter keeps it, Escape drops it"
    )
    hand.key(Qt.Key.Key_Return, hand.canvas)
    assert (figures(hand)[-1].quantity, figures(hand)[-1].of) == ("stroke", "trunnion")
    hand.tool("measure-diameter")
    hand.click(34, -16)
    assert hint(hand).startswith("4 mm, 0.1575 in; full size 32 mm")
    hand.key(Qt.Key.Key_Backspace, hand.canvas)
    assert hint(hand) == "Click a wheel, or any other body, to measure across it"
    hand.click(20, 0)
    assert hint(hand).startswith("33 mm")
    hand.key(Qt.Key.Key_Return, hand.canvas)
    assert figures(hand)[-1].name == "Leg diameter"
    assert dialog_of(hand.window, FiguresWindow).panel.chosen == figures(hand)[-1]


def test_of_a_body_that_is_not_round_the_circle_under_the_hand_is_measured(hand, qtbot):
    hand.window.session.push(AddShape("door", Circle(centre=(50.0, -15.0), radius=6.0)))
    wait_for_check(qtbot, hand.window)
    hand.tool("measure-diameter")
    hand.click(52, -15)
    assert hint(hand).startswith("12 mm, 0.4724 in; full size 96 mm")
    hand.key(Qt.Key.Key_Return, hand.canvas)
    assert figures(hand)[-1].between == [{"body": "door", "point": [50.0, -15.0]}]
    panel = dialog_of(hand.window, FiguresWindow).panel
    assert panel.about.text() == "The diameter of Door, its circle about 50, −15 mm."
    picked(panel, "of", "Leg")
    assert (figures(hand)[-1].of, figures(hand)[-1].between) == ("leg", None)


def test_where_no_rod_lies_none_is_measured(hand):
    said: list[str] = []
    hand.window.session.trouble.connect(said.append)
    hand.tool("measure-length")
    hand.click(-30, 25)
    assert said == ["Nothing that can be measured so is drawn there"]


def test_the_table_judges_both_tolerances_in_both_unit_families(hand):
    hand.command("figures")
    panel = dialog_of(hand.window, FiguresWindow).panel
    cells = [panel.table.item(0, column).text() for column in range(panel.table.columnCount())]
    assert cells[:3] == ["Bay width", "80 mm\n3.1496 in", "80 mm\n3.1496 in"]
    assert cells[5] == "✓ within\n± 0.125 mm"
    assert cells[6] == "✓ within\n± 0.01 mm"
    assert panel.table.item(1, 4).text() == "−20 mm\n−0.7874 in"
    assert panel.table.item(1, 5).text().startswith("✗ outside")
    assert panel.table.item(1, 6).text() == "none given"
    assert "sheet 4 against sheet 5" in panel.said.text()
    assert panel.said.isVisible()


def test_a_figure_is_typed_and_what_makes_no_sense_is_refused_beside_its_field(hand, qtbot):
    hand.command("figures")
    panel = dialog_of(hand.window, FiguresWindow).panel
    panel.choose("width-2")
    field = panel.form.fields["published"]
    typed(hand, "1,640.5 mm", field)
    assert "thousands" in field.reason
    assert figures(hand) == TWICE
    typed(hand, "2 ft 1.2 in +0.1/-0.05 in", field)
    assert "written twice" in panel.form.fields["plus_minus"].reason + field.reason
    typed(hand, "2 ft 1.2 in", field)
    assert figures(hand)[1].published == "2 ft 1.2 in"
    assert hand.window.session.undo_label == "Change figure"


def test_what_a_workshop_may_hold_is_offered_for_the_size(hand):
    hand.command("figures")
    field = dialog_of(hand.window, FiguresWindow).panel.form.fields["shop"]
    menu = field.offers.menu_now()
    lines = [one.text() for one in menu.actions()]
    assert "0.3 mm, medium, m  –  ISO 2768-1" in lines, "of 80 mm"
    assert "0.05 mm, milled  –  this workshop" in lines
    menu.actions()[0].trigger()
    assert figures(hand)[0].shop == "0.05 mm"


def test_rows_are_as_high_as_their_words_need(hand):
    hand.command("figures")
    table = dialog_of(hand.window, FiguresWindow).panel.table
    for row in range(table.rowCount()):
        assert table.rowHeight(row) == table.sizeHintForRow(row)


def added(hand, quantity: str, thing: str):
    """The panel, with a figure begun of a quantity and a thing that were picked by their names."""
    hand.command("figures")
    panel = dialog_of(hand.window, FiguresWindow).panel
    for pick, text in ((panel.adding.quantities, quantity), (panel.adding.of, thing)):
        assert pick.findText(text) >= 0, [pick.itemText(row) for row in range(pick.count())]
        pick.setCurrentIndex(pick.findText(text))
    hand.press_on(panel.adding.button)
    return panel


def picked(panel, key: str, text: str) -> None:
    pick = panel.form.picks[key]
    pick.setCurrentIndex(pick.findText(text))
    pick.activated.emit(pick.currentIndex())


def test_a_travel_is_added_by_name_and_its_moments_picked(hand, qtbot):
    panel = added(hand, "Travel", "trunnion")
    wait_for_check(qtbot, hand.window)
    assert (figures(hand)[2].of, figures(hand)[2].name) == ("trunnion", "trunnion travel")
    assert figures(hand)[2].full_size
    assert panel.table.item(2, 1).text() == "90°"
    picked(panel, "second", "at the start of up")
    wait_for_check(qtbot, hand.window)
    assert panel.table.item(2, 1).text() == "0°"
    panel.remove_chosen()
    assert figures(hand) == TWICE


def test_what_is_chosen_on_the_sheet_is_what_is_offered_first(hand):
    hand.command("figures")
    adding = dialog_of(hand.window, FiguresWindow).panel.adding
    adding.quantities.setCurrentIndex(adding.quantities.findText("Diameter"))
    assert [adding.of.itemText(row) for row in range(adding.of.count())] == ["Bay", "Leg", "Door", "Link"]
    hand.window.session.choose("door")
    assert adding.of.currentText() == "Door"
    hand.window.session.choose("trunnion")
    assert adding.of.currentText() == "Door", "what cannot be meant changes nothing"


def test_a_stroke_shows_what_is_used_of_what_there_is_and_either_is_compared(hand, qtbot):
    panel = added(hand, "Stroke used", "trunnion")
    wait_for_check(qtbot, hand.window)
    assert panel.table.item(2, 1).text() == "90°\nnot limited"
    hand.window.session.push(ReplaceConnection(LIMITED))
    wait_for_check(qtbot, hand.window)
    assert panel.table.item(2, 1).text() == "90°\nof 100°"
    assert "It uses 90° of 100°: 5° left at its lower limit, 5° left at its upper limit." in panel.about.text()
    picked(panel, "compared", "the stroke available")
    wait_for_check(qtbot, hand.window)
    assert panel.table.item(2, 1).text() == "100°\n90° used"
    typed(hand, "100°", panel.form.fields["published"])
    wait_for_check(qtbot, hand.window)
    assert panel.table.item(2, 3).text() == "0°"
    assert [panel.form.picks["first"].itemText(row) for row in range(3)] == [
        "at the start of up", "after leg-up", "at the end of up",
    ]  # fmt: skip


def test_a_rods_length_and_a_diameter_are_added_by_name(hand, qtbot):
    panel = added(hand, "Length of a rod", "rod")
    wait_for_check(qtbot, hand.window)
    assert panel.table.item(2, 1).text().startswith("30.414 mm")
    picked(panel, "at", "at the end of up")
    assert figures(hand)[2].between == [{"sequence": "up", "at": "end"}]
    picked(panel, "at", "as it is made")
    assert figures(hand)[2].between == []
    panel = added(hand, "Diameter", "Leg")
    wait_for_check(qtbot, hand.window)
    assert figures(hand)[3].across == "outline", "a slim body is seen edge on"
    assert panel.table.item(3, 1).text() == "33 mm\n1.2992 in\nby 6 mm"
    picked(panel, "across", "its circle, about its hub")
    wait_for_check(qtbot, hand.window)
    assert panel.table.item(3, 1).text().endswith("not round")
    for _ in range(5):
        hand.window.session.undo()
    assert figures(hand) == TWICE


def test_the_figures_are_written_as_a_table(hand, qtbot, tmp_path: Path):
    wait_for_check(qtbot, hand.window)
    hand.command("figures")
    panel = dialog_of(hand.window, FiguresWindow).panel
    hand.press_on(panel.write)
    asked = dialog_of(hand.window, QFileDialog)
    assert asked.selectedFiles()[0].endswith("figures.csv")
    asked.reject()
    said: list[str] = []
    hand.window.errands.done.connect(said.append)
    hand.window.figuring.write(hand.window.session.study, tmp_path / "figures.csv")
    qtbot.waitUntil(lambda: bool(said))
    lines = (tmp_path / "figures.csv").read_text(encoding="utf-8").splitlines()
    assert [line.partition(",")[0] for line in lines] == ["figure", "Bay width", "Bay again"]
    hand.window.errands.failed.connect(said.append)
    hand.window.figuring.write(hand.window.session.study, tmp_path / "nowhere" / "figures.csv")
    qtbot.waitUntil(lambda: len(said) > 1)
    assert "nowhere" in said[1]


def test_what_is_only_looked_at_offers_no_change(hand):
    hand.command("figures")
    panel = dialog_of(hand.window, FiguresWindow).panel
    hand.window.session.look_only("somebody else has it open")
    panel.refresh()
    assert not panel.remove.isEnabled()
    assert not panel.adding.button.isEnabled()
