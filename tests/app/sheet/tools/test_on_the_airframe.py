"""Connections to the airframe where nothing of it is drawn: offered by name, never taken for granted."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from core.document.project import Jack, Pivot
from tests.app.window import settle

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support (raise|grabbing)")


def offered(hand):
    return hand.window.sheet._choices.menu


def test_a_body_alone_is_pivoted_on_the_airframe_once_that_is_picked(hand):
    before = hand.window.session.project
    hand.tool("pivot")
    hand.click(38, -11)
    menu = offered(hand)
    assert [one.text() for one in menu.actions()] == ["Door – Bay, not drawn there"]
    assert hand.window.session.project is before, "nothing is taken before it is picked"
    menu.actions()[0].trigger()
    made = hand.window.session.project.connections[-1]
    assert isinstance(made, Pivot)
    assert made.bodies == ("bay", "door")
    assert hand.window.session.undo_label == "Add pivot Door pivot"


def test_an_end_on_nothing_can_be_on_the_airframe(hand):
    hand.tool("jack")
    hand.click(-38, -25)
    menu = offered(hand)
    assert [one.text() for one in menu.actions()] == ["Bay, not drawn there"]
    menu.actions()[0].trigger()
    hand.click(0, -25)
    made = hand.window.session.project.connections[-1]
    assert isinstance(made, Jack)
    assert made.bodies == ("bay", "leg")


def test_what_is_clicked_last_on_the_airframe_is_named_after_what_it_moves(hand):
    hand.tool("rod")
    hand.click(0, -25)
    hand.click(-38, 25)
    assert hand.window.session.project.connections[-1].name == "Leg rod"


def test_the_airframe_is_not_offered_to_itself(hand):
    said = []
    hand.window.session.trouble.connect(said.append)
    hand.tool("rod")
    hand.click(-38, 25)
    hand.click(-38, -25)
    assert said == ["There is no other body there"]


def test_a_line_above_does_not_carry_off_what_a_tool_works_on(hand, qtbot):
    """A notice pushes the sheet down; what lies under the hand stays there on the screen."""
    hand.tool("pivot")
    settle()
    before = hand.canvas.mapToGlobal(hand.pixel(0.0, 0.0))
    hand.click(-38, -25)
    settle()
    assert hand.window.notice.isVisible()
    assert hand.canvas.mapToGlobal(hand.pixel(0.0, 0.0)) == before


def test_a_body_drawn_in_a_fitted_view_does_not_move_the_view(hand, qtbot):
    hand.command("fit")
    placed = hand.canvas.placement.scale
    hand.tool("box")
    hand.click(50, 40)
    hand.click(90, 80)
    QTest.keyClick(hand.canvas, Qt.Key.Key_Escape)
    settle()
    assert hand.window.sheet.tool == ""
    assert hand.canvas.placement.scale == placed
