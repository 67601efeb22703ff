"""Each tool that changes what is drawn, by mouse and keys; and that a gesture given up leaves nothing behind."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from core.geometry.outlines import outline
from tests.app.sheet.tools.things import body, corner
from tests.app.sketcher import Sketcher


def test_a_corner_is_pulled(hand: Sketcher):
    hand.window.session.choose("door")
    hand.tool("reshape")
    hand.move(40, -10)
    hand.drag((40, -10), (45, -5))
    assert body(hand, "door").shapes[0].points[2] == pytest.approx((45.0, -5.0))
    assert hand.window.session.undo_label == "Reshape of Door"


def test_a_corner_pulled_and_given_up_stays(hand: Sketcher):
    before = hand.window.session.project
    hand.window.session.choose("door")
    hand.tool("reshape")
    hand.move(40, -10)
    QTest.mousePress(hand.canvas, Qt.MouseButton.LeftButton, pos=hand.pixel(40, -10))
    QTest.mouseMove(hand.canvas, hand.pixel(50, 0))
    hand.key(Qt.Key.Key_Escape, hand.canvas)
    QTest.mouseRelease(hand.canvas, Qt.MouseButton.LeftButton, pos=hand.pixel(50, 0))
    assert hand.window.session.project is before
    assert hand.window.session.undo_label is None


def test_a_corner_pulled_over_its_opposite_edge_is_refused(hand: Sketcher):
    said: list[str] = []
    hand.window.session.trouble.connect(said.append)
    before = hand.window.session.project
    hand.window.session.choose("door")
    hand.tool("reshape")
    hand.move(40, -10)
    hand.drag((40, -10), (36, -26))
    assert hand.window.session.project is before
    assert "cross itself" in said[0]


def test_a_corner_is_taken_away_and_one_is_put_in(hand: Sketcher):
    hand.window.session.choose("door")
    hand.tool("reshape")
    hand.click(40, -10)
    hand.key(Qt.Key.Key_Delete, hand.canvas)
    assert len(body(hand, "door").shapes[0].points) == 3
    hand.click(35, -20)
    hand.key(Qt.Key.Key_Return, hand.canvas)
    assert len(body(hand, "door").shapes[0].points) == 4


def test_a_corner_is_rounded_to_a_typed_radius(hand: Sketcher):
    hand.window.session.choose("door")
    hand.tool("reshape")
    hand.click(40, -10)
    line = hand.window.sheet.line._lines["round"]
    line.setFocus()
    line.selectAll()
    hand.type("2", line)
    assert outline(body(hand, "door")).area == pytest.approx(100.0 - (4.0 - 3.14159265), abs=0.01)


def test_a_body_is_moved_by_two_clicks(hand: Sketcher):
    hand.tool("move")
    hand.click(40, -20)
    hand.click(50, -20)
    assert corner(hand, "door") == pytest.approx((40.0, -20.0))


def test_several_are_moved_together_by_typed_numbers(hand: Sketcher):
    hand.window.session.choose_several(("door", "link"))
    hand.tool("move")
    hand.click(40, -20)
    hand.move(45, -20)
    hand.type("12.5")
    assert corner(hand, "door")[0] == pytest.approx(42.5)
    assert corner(hand, "link")[0] == pytest.approx(44.5)
    assert hand.window.session.undo_label == "Move 2 bodies"


def test_a_body_is_turned_by_a_typed_angle(hand: Sketcher):
    hand.window.session.choose("door")
    hand.tool("turn")
    hand.click(30, -20)
    hand.move(40, -15)
    hand.type("90")
    xs = [point[0] for point in body(hand, "door").shapes[0].points]
    assert (min(xs), max(xs)) == pytest.approx((20.0, 30.0))


def test_a_body_is_mirrored_over_a_line(hand: Sketcher):
    hand.window.session.choose("door")
    hand.tool("mirror")
    hand.click(40, -20)
    hand.click(40, 10)
    xs = [point[0] for point in body(hand, "door").shapes[0].points]
    assert (min(xs), max(xs)) == pytest.approx((40.0, 50.0))


def test_a_body_is_scaled_by_two_points_about_a_third(hand: Sketcher):
    hand.window.session.choose("door")
    before = [point[0] for point in body(hand, "door").shapes[0].points]
    hand.tool("scale")
    hand.click(30, -20)
    hand.click(40, -20)
    hand.click(45, -20)
    xs = [point[0] for point in body(hand, "door").shapes[0].points]
    assert xs == pytest.approx([30.0 + 1.5 * (x - 30.0) for x in before])
    assert hand.window.session.undo_label == "Scale Door"


def test_a_body_is_scaled_by_a_typed_factor(hand: Sketcher):
    hand.window.session.choose("door")
    before = [point[1] for point in body(hand, "door").shapes[0].points]
    hand.tool("scale")
    hand.click(30, -20)
    hand.move(40, -20)
    hand.type("0.5")
    ys = [point[1] for point in body(hand, "door").shapes[0].points]
    assert ys == pytest.approx([-20.0 + 0.5 * (y + 20.0) for y in before])


def test_several_are_copied_as_one_edit_and_the_copies_chosen(hand: Sketcher):
    hand.window.session.choose_several(("door", "link"))
    hand.tool("copy")
    hand.click(40, -20)
    hand.click(60, -20)
    names = [one.name for one in hand.window.session.project.bodies]
    assert names[-2:] == ["Door 2", "Link 2"]
    assert hand.window.session.chosen == ("door-2", "link-2")
    hand.window.session.undo()
    assert len(hand.window.session.project.bodies) == 4


@pytest.mark.parametrize("tool", ["move", "turn", "scale", "mirror", "copy"])
def test_what_is_given_up_leaves_nothing_behind(hand: Sketcher, tool: str):
    before = hand.window.session.project
    hand.tool(tool)
    hand.click(40, -20)
    hand.move(50, 0)
    hand.key(Qt.Key.Key_Escape, hand.canvas)
    assert hand.window.session.project is before
    assert hand.window.sheet.tool == tool


def test_grips_are_there_as_soon_as_the_tool_is_taken_up(hand: Sketcher):
    hand.window.session.choose("door")
    hand.tool("reshape")
    hand.canvas.grab()
    preview = hand.window.sheet._tool.preview()
    assert [len(mark.geometry.lines) for mark in preview.marks] == [4, 4], "four corners, four edges"
    hand.window.session.choose("trunnion")
    assert hand.window.sheet._tool.preview().marks == ()


def test_what_is_begun_in_one_view_is_drawn_in_no_other(hand: Sketcher):
    hand.tool("box")
    hand.click(-10, -10)
    hand.move(10, -25)
    shown = hand.canvas.grab().toImage()
    hand.window.sheet.bench.view = "another"
    assert hand.canvas.grab().toImage() != shown
