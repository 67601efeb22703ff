"""Each tool that draws, by mouse and keys; and that a gesture given up leaves nothing behind."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from core.document.project import Aircraft, Circle, Polygon, Project, View, Wall
from core.geometry.outlines import outline
from tests.app.sketcher import Sketcher
from tests.app.window import opened_window, settle


@pytest.fixture
def hand(qtbot, tmp_path: Path):
    empty = Project(aircraft=Aircraft(name="Pellow 3", scale=8), views=(View(id="side", plane="side"),))
    with opened_window(qtbot, tmp_path, empty) as window:
        sketcher = Sketcher(window)
        sketcher.canvas.fit()
        sketcher.canvas.setFocus()
        settle()
        yield sketcher


def bodies(hand):
    return hand.window.session.project.bodies


def test_an_outline_closes_on_its_first_corner(hand):
    hand.tool("outline")
    for corner in ((0, 0), (20, 0), (20, 10), (0, 10), (0, 0)):
        hand.click(*corner)
    (body,) = bodies(hand)
    assert body.shapes == (Polygon(points=((0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (0.0, 10.0))),)
    assert (body.name, body.role, body.fixed) == ("Bay", "structure", True)
    assert hand.window.session.undo_label == "Draw Bay"


def test_an_edge_is_bent_by_dragging_as_it_is_made(hand):
    hand.tool("outline")
    hand.click(0, 0)
    hand.drag((20, 0), (20, -6))
    hand.click(20, 20)
    hand.key(Qt.Key.Key_Return, hand.canvas)
    (body,) = bodies(hand)
    assert body.shapes[0].points[0][2] == pytest.approx(0.6, abs=0.05), "the rise over half the chord"


def test_a_crossing_outline_is_said_and_not_drawn(hand):
    said = []
    hand.window.session.trouble.connect(said.append)
    hand.tool("outline")
    for corner in ((0, 0), (20, 10), (20, 0), (0, 12)):
        hand.click(*corner)
    hand.key(Qt.Key.Key_Return, hand.canvas)
    assert bodies(hand) == ()
    assert "crosses itself at 1" in said[0]
    hand.key(Qt.Key.Key_Backspace, hand.canvas)
    hand.click(10, -5)
    hand.key(Qt.Key.Key_Return, hand.canvas)
    assert len(bodies(hand)) == 1, "nothing was lost: the last corner was taken back and put elsewhere"


def test_numbers_are_typed_while_drawing(hand):
    hand.tool("outline")
    hand.click(0, 0)
    hand.move(30, 1)
    hand.type("1 in")
    hand.move(25, 20)
    hand.click(25.4, 20)
    hand.key(Qt.Key.Key_Return, hand.canvas)
    assert bodies(hand)[0].shapes[0].points[1] == pytest.approx((25.4, 0.0))


@pytest.mark.parametrize(("radius", "bulge"), [("10", 1.0), ("-12.5", -0.5), ("12.5", 0.5)])
def test_an_edge_is_bent_to_a_typed_radius(hand, radius, bulge):
    """Over a chord of 20 mm a radius of 10 makes a half circle, one of 12.5 an arc that rises by 5 (Euclid III.35)."""
    hand.tool("outline")
    hand.click(0, 0)
    hand.move(20, 0)
    line = hand.window.sheet.line._lines["radius"]
    line.setFocus()
    hand.type(radius, line)
    hand.click(10, 30)
    hand.key(Qt.Key.Key_Return, hand.canvas)
    start, end = bodies(hand)[0].shapes[0].points[:2]
    assert start == pytest.approx((0.0, 0.0, bulge))
    assert end == pytest.approx((20.0, 0.0))


def test_a_radius_that_does_not_reach_is_refused_with_the_least_that_does(hand):
    said = []
    hand.window.session.trouble.connect(said.append)
    hand.tool("outline")
    hand.click(0, 0)
    hand.move(20, 0)
    line = hand.window.sheet.line._lines["radius"]
    line.setFocus()
    hand.type("9", line)
    assert said == ["An arc over this edge has a radius of 10 mm at the least"]
    assert hand.window.sheet._tool.back()
    assert not hand.window.sheet._tool.back(), "only the first corner was there"


def test_a_number_that_is_none_is_refused_and_nothing_lost(hand):
    hand.tool("circle")
    hand.click(0, 0)
    hand.move(10, 0)
    hand.type("3 furlongs")
    assert bodies(hand) == ()
    assert "furlongs" in hand.window.sheet.line.hint.text()


@pytest.mark.parametrize(
    ("tool", "clicks", "area"),
    [
        ("circle", [(0, 0), (10, 0)], 314.16),
        ("circle-by-ends", [(0, 0), (20, 0)], 314.16),
        ("circle-through", [(10, 0), (0, 10), (-10, 0)], 314.16),
        ("box", [(0, 0), (20, 10)], 200.0),
        ("bar", [(0, 0), (20, 0)], 80.0 + 3.1416 * 4.0),
        ("wheel", [(0, 0), (12, 0)], 452.39),
    ],
)
def test_figures_of_a_few_clicks(hand, tool, clicks, area):
    hand.tool(tool)
    for at in clicks:
        hand.click(*at)
    (body,) = bodies(hand)
    assert outline(body).area == pytest.approx(area, rel=2e-3)
    assert (body.role == "wheel") is (tool == "wheel")


def test_a_radius_a_diameter_and_a_bore_are_typed(hand):
    hand.tool("circle")
    hand.click(0, 0)
    hand.move(3, 3)
    hand.type("12.5")
    assert bodies(hand)[0].shapes == (Circle(centre=(0.0, 0.0), radius=12.5),)


def tyre_field(hand):
    hand.tool("wheel")
    hand.click(0, 0)
    hand.move(3, 3)
    line = hand.window.sheet.line._lines["tyre"]
    line.setFocus()
    return line


def test_a_tyre_is_typed_as_printed_and_drawn_at_its_largest(hand):
    """49x17 is 48.75 in across and 17.25 in wide at the most: a tyre maker's Type VII table (seen)."""
    hand.type("49x17", tyre_field(hand))
    (wheel,) = bodies(hand)
    assert wheel.role == "wheel"
    assert wheel.shapes == (Circle(centre=(0.0, 0.0), radius=pytest.approx(48.75 * 25.4 / 16)),)
    assert wheel.depth == pytest.approx((-17.25 * 25.4 / 16, 17.25 * 25.4 / 16), abs=1e-4)
    hint = hand.window.sheet.line.hint.text()
    assert hint.startswith("49x17 is really 47.7 to 48.75 in across, and 20.15 in from axle to ground under its load")
    assert wheel.tyre == "49x17"
    assert hand.window.details.table.text("Tyre").startswith("49x17: really 47.7 to 48.75 in across, by a tyre maker's")
    hand.click(60, 0)
    hand.click(66, 0)
    assert bodies(hand)[1].tyre is None


def test_a_diameter_beside_a_tyre_that_does_not_fit_it_is_drawn_and_told(hand):
    """One row of the maker's table has a 26x6.6 of 28.7 in, where every other has 25.75 (seen)."""
    line = tyre_field(hand)
    beside = hand.window.sheet.line._lines["diameter"]
    beside.setText("28.7 in full size")
    beside.setModified(True)
    hand.type("26x6.6", line)
    (wheel,) = bodies(hand)
    assert wheel.shapes == (Circle(centre=(0.0, 0.0), radius=pytest.approx(28.7 * 25.4 / 16)),)
    assert hand.window.sheet.line.hint.text().startswith("▲ 26x6.6: 28.7 in across does not fit it")
    hand.click(100, 0)
    assert "▲" not in hand.window.sheet.line.hint.text()


def test_a_size_whose_numbers_do_not_fit_each_other_is_told(hand):
    hand.type("26x6.6-10", tyre_field(hand))
    assert len(bodies(hand)) == 1
    assert "▲ 26x6.6-10: a rim of 10 in does not fit it" in hand.window.sheet.line.hint.text()


@pytest.mark.parametrize(("tool", "field"), [("hole", "diameter"), ("wheel", "bore"), ("rod", "width")])
def test_pins_are_offered_where_something_is_as_wide_as_a_pin(hand, tool, field):
    for x in (0, 60):
        hand.tool("circle")
        hand.click(x, 40)
        hand.click(x + 8, 40)
    hand.tool(tool)
    if tool != "rod":
        hand.click(0, 0)
        hand.move(3, 3)
    lines = [one.text() for one in hand.window.sheet.line._lines[field].offers.menu_now().actions()]
    assert "3 mm, H7/g6 slides: 2 to 18 µm (ISO 286-2)  –  ISO 2338, unconfirmed" in lines


def test_a_tyre_by_its_name_alone_and_one_that_says_no_diameter(hand):
    line = tyre_field(hand)
    hand.type("6.00-6", line)
    assert "no outer diameter" in hand.window.sheet.line.hint.text()
    line.selectAll()
    hand.type("27", line)
    assert "no tyre size" in hand.window.sheet.line.hint.text()
    assert bodies(hand) == ()
    line.selectAll()
    hand.type("380x150-5", line)
    (wheel,) = bodies(hand)
    assert wheel.shapes[0].radius == pytest.approx(190.0 / 8)
    assert wheel.depth == pytest.approx((-75.0 / 8, 75.0 / 8))
    hint = hand.window.sheet.line.hint.text()
    assert hint.startswith("▲ 380x150-5 is drawn 380 mm across by its name alone; no table here tells how large")
    hand.window.sheet.take_up("")
    told = hand.window.details.table.text("Tyre")
    assert told == "380x150-5: 380 mm across by its name alone; no table here tells how large it really is"


def test_tyres_are_offered_beside_the_field(hand):
    line = tyre_field(hand)
    menu = line.offers.menu_now()
    first = menu.actions()[0]
    assert first.text().startswith("16x4.4  –  a tyre maker's Type VII")
    first.trigger()
    assert bodies(hand)[0].shapes[0].radius == pytest.approx(16.0 * 25.4 / 16)
    assert line.offers.accessibleName() == "Offers for Tyre"


def test_a_wall_has_the_thickness_that_was_typed(hand):
    hand.tool("wall")
    hand.window.sheet.bench.width = 1.5
    for at in ((0, 0), (0, 20), (30, 20)):
        hand.click(*at)
    hand.key(Qt.Key.Key_Return, hand.canvas)
    assert bodies(hand)[0].shapes == (Wall(points=((0.0, 0.0), (0.0, 20.0), (30.0, 20.0)), thickness=1.5),)


def test_a_hole_is_cut_into_the_body_under_it(hand):
    hand.tool("box")
    hand.click(0, 0)
    hand.click(40, 20)
    hand.tool("hole")
    hand.click(20, 10)
    hand.click(25, 10)
    (body,) = bodies(hand)
    assert len(body.shapes[0].holes) == 1
    assert outline(body).area == pytest.approx(800.0 - 78.54, rel=1e-3)


def test_shapes_go_into_the_chosen_body_where_that_is_wanted(hand):
    hand.tool("box")
    hand.click(0, 0)
    hand.click(20, 10)
    hand.window.sheet.tray.into.setChecked(True)
    hand.tool("circle")
    hand.click(20, 5)
    hand.click(26, 5)
    (body,) = bodies(hand)
    assert len(body.shapes) == 2


@pytest.mark.parametrize("tool", ["outline", "wall", "circle", "circle-through", "box", "bar", "wheel"])
def test_what_is_given_up_leaves_nothing_behind(hand, tool):
    before = hand.window.session.project
    hand.tool(tool)
    hand.click(0, 0)
    hand.key(Qt.Key.Key_Escape, hand.canvas)
    assert hand.window.session.project is before
    assert hand.window.session.undo_label is None
    assert hand.window.sheet.tool == tool, "one Escape gives up the gesture"
    hand.key(Qt.Key.Key_Escape, hand.canvas)
    assert hand.window.sheet.tool == "", "another puts the tool away"


def test_everything_drawn_can_be_undone(hand):
    before = hand.window.session.project
    for tool, clicks in (("box", [(0, 0), (20, 10)]), ("circle", [(40, 0), (45, 0)])):
        hand.tool(tool)
        for at in clicks:
            hand.click(*at)
    hand.window.session.undo()
    hand.window.session.undo()
    assert hand.window.session.project is before


def test_while_a_tool_is_at_work_the_sheet_shows_things_as_drawn(hand):
    shown = hand.window.sheet.shown
    assert not shown.as_drawn
    hand.tool("box")
    assert shown.as_drawn
    assert hand.window.sheet.line.hint.text() == "Click a corner"
    hand.command("tool-none")
    assert not shown.as_drawn
    assert hand.window.sheet.line.isHidden()


def test_tab_goes_through_the_numbers_and_enter_takes_them(hand):
    hand.tool("bar")
    hand.click(0, 0)
    hand.move(13, 5)
    hand.key(Qt.Key.Key_Tab, hand.canvas)
    for number in ("30", "90", "6"):
        for letter in number:
            QTest.keyClicks(QApplication.focusWidget(), letter)
        if number != "6":
            hand.key(Qt.Key.Key_Tab)
    hand.key(Qt.Key.Key_Return)
    left, low, right, high = outline(bodies(hand)[0]).bounds
    assert (right - left, high - low) == pytest.approx((6.0, 36.0), abs=0.02)


def test_escape_in_a_number_gives_only_that_up(hand):
    hand.tool("bar")
    hand.click(0, 0)
    hand.move(13, 5)
    hand.key(Qt.Key.Key_Tab, hand.canvas)
    QTest.keyClicks(QApplication.focusWidget(), "99")
    hand.key(Qt.Key.Key_Escape)
    assert hand.canvas.hasFocus()
    assert hand.window.sheet._tool.start() == (0.0, 0.0), "the first click is kept"
    hand.click(20, 0)
    assert outline(bodies(hand)[0]).bounds[2] == pytest.approx(22.0, abs=0.02)


@pytest.mark.parametrize(
    ("tool", "field"), [("circle", "radius"), ("wheel", "diameter"), ("bar", "width"), ("hole", "diameter")]
)
def test_a_size_that_is_none_is_refused_where_it_was_typed(hand, tool, field):
    hand.tool(tool)
    hand.click(0, 0)
    hand.move(8, 0)
    line = hand.window.sheet.line._lines[field]
    for text, why in (("-5", "this is 0 or less; a size of more than 0"), ("0.0001", "finer than can be told here")):
        line.setFocus()
        line.selectAll()
        hand.type(text, line)
        assert why in hand.window.sheet.line.hint.text()
        assert f"→{text}←" in hand.window.sheet.line.hint.text()
    assert bodies(hand) == ()
