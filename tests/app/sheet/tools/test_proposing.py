"""What is dragged on the sheet is shown and checked meanwhile; given up, nothing of that is left."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from tests.app.sheet.tools.things import corner
from tests.app.sketcher import Sketcher
from tests.app.window import wait_for_check

LEFT = Qt.MouseButton.LeftButton


def take_hold(hand: Sketcher, kind: str) -> tuple[tuple[float, float], tuple[float, float]]:
    """Have something in hand; where from, and where it is to go."""
    session = hand.window.session
    if kind == "pivot":
        session.choose("trunnion")
        hand.tool("reshape")
        return (0.0, 0.0), (2.0, 1.0)
    if kind == "carried body":
        session.choose("door")
        return (38.0, -12.0), (44.0, -9.0)
    session.choose("door")
    hand.tool({"corner": "reshape", "rod": "reshape"}.get(kind, kind))
    return {"corner": ((40.0, -10.0), (43.0, -8.0)), "rod": ((30.0, -15.0), (31.0, -12.0))}.get(
        kind, ((38.0, -12.0), (44.0, -9.0))
    )


def hold(hand: Sketcher, kind: str) -> tuple[float, float]:
    begin, end = take_hold(hand, kind)
    hand.move(*begin)
    QTest.mousePress(hand.canvas, LEFT, pos=hand.pixel(*begin))
    for share in (0.5, 1.0):
        at = tuple(a + share * (b - a) for a, b in zip(begin, end, strict=True))
        QTest.mouseMove(hand.canvas, hand.pixel(*at))
        QApplication.processEvents()
    return end


KINDS = ("pivot", "rod", "corner", "carried body", "move", "turn", "mirror", "copy")


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_dragged_is_checked_and_given_up_without_a_trace(qtbot, hand: Sketcher, kind: str):
    session = hand.window.session
    project, study, history = session.project, session.study, session.history
    hold(hand, kind)
    assert session.project is project
    assert session.drafting
    assert not session.study_current or session.study.project is session.shown
    wait_for_check(qtbot, hand.window)
    assert session.study.project is session.shown is not project
    hand.key(Qt.Key.Key_Escape, hand.canvas)
    assert (session.project is project, session.shown is project) == (True, True)
    assert session.study is study
    assert session.study_current
    assert session.history == history
    assert not hand.window.runner.working


@pytest.mark.parametrize("kind", ["pivot", "rod", "corner", "carried body", "move"])
def test_what_was_checked_while_it_was_dragged_needs_no_new_check_when_it_is_let_go(qtbot, hand: Sketcher, kind: str):
    session = hand.window.session
    end = hold(hand, kind)
    wait_for_check(qtbot, hand.window)
    shown, study = session.shown, session.study
    QTest.mouseRelease(hand.canvas, LEFT, pos=hand.pixel(*end))
    assert session.project is shown
    assert session.study is study
    assert session.study_current
    assert not session.drafting


def test_a_corner_that_makes_no_sense_is_no_draft(qtbot, hand: Sketcher):
    session = hand.window.session
    begin, _ = take_hold(hand, "corner")
    hand.move(*begin)
    QTest.mousePress(hand.canvas, LEFT, pos=hand.pixel(*begin))
    QTest.mouseMove(hand.canvas, hand.pixel(36, -26))
    QApplication.processEvents()
    assert session.senseless
    assert session.shown is session.project
    assert hand.window.standing == "not checked"
    assert hand.window.findings.standing.title == "This can not be"
    before = corner(hand, "door")
    hand.key(Qt.Key.Key_Escape, hand.canvas)
    assert session.study_current
    assert corner(hand, "door") == before
