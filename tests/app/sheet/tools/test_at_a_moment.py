"""Corners and connections' points dragged where they stand at the scrubbed moment, with real mouse events."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.sheet.tools.end_in_hand import HELD_OFF, NOWHERE, goes_as_drawn
from core.document.joint_edits import ReplaceConnection
from core.document.project import Drive, Jack, Moment, Move, Rod, Sequence, Step, Target
from core.findings.finding import Kind
from tests.app.sheet.tools.things import aircraft, body
from tests.app.sketcher import Sketcher
from tests.app.window import opened_window, wait_for_check

LEFT = Qt.MouseButton.LeftButton
WITHIN = 0.35
"""Millimetres: a pixel of the sheet, more or less."""


def place(hand: Sketcher, connection: str, number: int) -> tuple[float, float]:
    project = hand.window.session.project
    one = next(each for each in project.connections if each.id == connection)
    return (one.at,)[number] if hasattr(one, "at") else one.ends[number]


def standing(hand: Sketcher, of: str, at: tuple[float, float]) -> tuple[float, float]:
    return hand.window.sheet.shown.stand.placed(of, at)


def take(hand: Sketcher, moment: float, chosen: str, *, snap: bool = False) -> None:
    hand.window.session.set_moment(moment)
    hand.window.session.choose(chosen)
    hand.window.sheet.bench.set_snapping(snap)
    hand.tool("reshape")


def test_the_moment_stays_where_it_is_while_something_is_reshaped(hand):
    take(hand, 0.5, "leg")
    shown = hand.window.sheet.shown
    assert not shown.as_drawn
    assert shown.poses[1, 2] == pytest.approx(math.pi / 4.0)
    assert hand.window.sheet.line.hint.text().endswith("click another body to reshape that")
    assert "where it stands at this moment" in hand.window.sheet.line.hint.text()


def test_the_line_says_what_can_be_dragged_of_what_is_chosen(hand):
    take(hand, 0.5, "rod")
    hint = hand.window.sheet.line.hint
    assert hint.text().startswith("Drag a point of ")
    assert ", where it stands at this moment, or click the body to reshape" in hint.text()
    hand.window.session.choose(None)
    assert hint.text().startswith("Click the body to reshape, or whose connections' points")


@pytest.mark.parametrize("moment", [0.0, 0.5, 1.0])
def test_a_corner_follows_the_hand_where_the_body_stands(hand, moment):
    take(hand, moment, "leg")
    corner = standing(hand, "leg", (3.0, -30.0))
    to = (corner[0] + 4.0, corner[1] + 3.0)
    hand.drag(corner, to)
    made = body(hand, "leg").shapes[0].points
    moved = next(one for one in made if one not in {(-3.0, -30.0), (-3.0, 3.0), (3.0, 3.0)})
    assert math.dist(standing(hand, "leg", moved), to) < WITHIN
    assert len(made) == 4
    assert hand.window.session.undo_label == "Reshape of Leg"
    words = [field.words for field in hand.window.sheet._tool.fields()]
    assert words[:2] == (["x", "y"] if moment == 0.0 else ["x as drawn", "y as drawn"])


@pytest.mark.parametrize("moment", [0.0, 0.5, 1.0])
def test_a_rods_end_stands_under_the_hand_and_the_check_follows(qtbot, hand, moment):
    """On the leg, which turns whatever the rod does."""
    take(hand, moment, "rod")
    session = hand.window.session
    start = standing(hand, "leg", (0.0, -20.0))
    to = (start[0] + 3.0, start[1] - 2.0)
    hand.move(*start)
    QTest.mousePress(hand.canvas, LEFT, pos=hand.pixel(*start))
    for share in (0.5, 1.0):
        hand.move(start[0] + share * 3.0, start[1] - share * 2.0)
    assert session.drafting
    assert hand.window.sheet.line.hint.text() == "Drag the point of rod; everything is solved and checked as it moves"
    wait_for_check(qtbot, hand.window)
    assert session.study.project is session.shown
    QTest.mouseRelease(hand.canvas, LEFT, pos=hand.pixel(*to))
    wait_for_check(qtbot, hand.window)
    assert math.dist(standing(hand, "leg", place(hand, "rod", 0)), to) < WITHIN
    assert place(hand, "rod", 1) == (30.0, -15.0)
    assert session.undo_label == "Move end"
    session.undo()
    assert place(hand, "rod", 0) == (0.0, -20.0)


def test_a_pivot_between_a_fixed_body_and_one_that_has_turned_goes_where_the_hand_is(qtbot, hand):
    take(hand, 1.0, "leg")
    hand.drag((0.0, 0.0), (2.0, 4.0))
    wait_for_check(qtbot, hand.window)
    assert math.dist(place(hand, "trunnion", 0), (2.0, 4.0)) < WITHIN
    assert math.dist(standing(hand, "leg", place(hand, "trunnion", 0)), (2.0, 4.0)) < WITHIN
    assert math.dist(standing(hand, "bay", place(hand, "trunnion", 0)), (2.0, 4.0)) < WITHIN


def test_where_all_stands_as_drawn_a_pivot_is_drawn_where_the_hand_is_and_nothing_moves(qtbot, hand):
    take(hand, 0.0, "leg")
    hand.drag((0.0, 0.0), (2.0, 4.0))
    wait_for_check(qtbot, hand.window)
    assert math.dist(place(hand, "trunnion", 0), (2.0, 4.0)) < WITHIN
    assert abs(hand.window.sheet.shown.poses).max() == pytest.approx(0.0, abs=1e-9)


def test_a_rod_of_a_given_length_is_solved_even_where_all_stands_as_drawn(hand):
    rod = Rod(id="rod", bodies=("leg", "door"), ends=((0.0, -20.0), (30.0, -15.0)))
    stand, given = hand.window.sheet.bench.stand(), replace(rod, length=math.dist(*rod.ends))
    assert stand.moment is not None
    assert goes_as_drawn(stand, rod)
    assert not goes_as_drawn(stand, given)


def test_given_up_it_is_where_it_was(hand):
    take(hand, 0.5, "leg")
    session = hand.window.session
    before = session.project
    hand.move(0.0, 0.0)
    QTest.mousePress(hand.canvas, LEFT, pos=hand.pixel(0.0, 0.0))
    hand.move(5.0, 5.0)
    assert session.drafting
    hand.key(Qt.Key.Key_Escape, hand.canvas)
    QTest.mouseRelease(hand.canvas, LEFT, pos=hand.pixel(5.0, 5.0))
    assert session.project is before
    assert not session.drafting
    assert session.moment == 0.5


@pytest.mark.parametrize("tool", ["reshape", ""])
def test_a_drag_ends_where_another_sequence_is_looked_at_and_each_is_found_where_it_was_left(qtbot, tmp_path, tool):
    down = Sequence(id="down", steps=(Step(id="wait", duration=2.0),))
    made = aircraft()
    with opened_window(qtbot, tmp_path, replace(made, sequences=(*made.sequences, down))) as window:
        hand, session = Sketcher(window), window.session
        hand.canvas.fit()
        session.choose_sequence("down")
        session.set_moment(1.5)
        session.choose_sequence("up")
        assert session.moment == 0.0
        session.choose("leg")
        session.set_moment(0.5)
        hand.tool(tool or "none")
        start = standing(hand, "leg", (3.0, -30.0) if tool else (0.0, -25.0))
        hand.move(*start)
        QTest.mousePress(hand.canvas, LEFT, pos=hand.pixel(*start))
        for away in (3.0, 6.0):
            hand.move(start[0] + away, start[1])
        assert session.drafting
        session.choose_sequence("down")
        assert not session.drafting
        assert session.moment == 1.5
        hand.move(start[0] + 9.0, start[1])
        assert not session.drafting
        QTest.mouseRelease(hand.canvas, LEFT, pos=hand.pixel(start[0] + 9.0, start[1]))
        assert session.project.bodies == made.bodies
        session.choose_sequence("up")
        assert session.moment == 0.5


def test_where_the_linkage_does_not_hold_together_the_line_says_so(qtbot, tmp_path):
    """The rod's other body is made fast, so that the leg cannot turn at all."""
    with opened_window(qtbot, tmp_path, aircraft()) as window:
        hand = Sketcher(window)
        hand.canvas.fit()
        window.session.push(ReplaceConnection(Rod(id="rod", bodies=("leg", "bay"), ends=((0.0, -20.0), (30.0, 25.0)))))
        wait_for_check(qtbot, window)
        take(hand, 0.9, "rod")
        assert window.session.sequence_study.motion.troubles
        start = standing(hand, "bay", (30.0, 25.0))
        hand.move(*start)
        QTest.mousePress(hand.canvas, LEFT, pos=hand.pixel(*start))
        hand.move(start[0] + 3.0, start[1])
        assert window.sheet.line.hint.text() == NOWHERE
        assert not window.session.drafting
        QTest.mouseRelease(hand.canvas, LEFT, pos=hand.pixel(start[0] + 3.0, start[1]))
        assert window.session.undo_label == "Change rod"


def test_what_the_drives_hold_off_is_said(qtbot, tmp_path):
    """The jack that turns the leg is as long as its step says at the end, wherever its end is drawn."""
    ram = Jack(id="ram", bodies=("bay", "leg"), ends=((35.0, 25.0), (2.0, -20.0)), closed=40.0, stroke=40.0)
    step = Step(id="leg-up", duration=1.0, moves=(Move(drive="gear", to=10.0),))
    project = replace(
        aircraft(), connections=(aircraft().connections[0], ram), drives=(Drive(id="gear", on="ram"),),
        sequences=(Sequence(id="up", steps=(step,)),),
    )  # fmt: skip
    with opened_window(qtbot, tmp_path, project) as window:
        hand = Sketcher(window)
        hand.canvas.fit()
        take(hand, 1.0, "ram")
        start = standing(hand, "leg", (2.0, -20.0))
        away = math.dist(start, (35.0, 25.0))
        x, y = (start[0] - 35.0) / away, (start[1] - 25.0) / away
        hand.move(*start)
        QTest.mousePress(hand.canvas, LEFT, pos=hand.pixel(*start))
        hand.move(start[0] + 6.0 * x, start[1] + 6.0 * y)
        assert window.sheet.line.hint.text() == HELD_OFF
        hand.move(start[0] - 3.0 * y, start[1] + 3.0 * x)
        assert window.sheet.line.hint.text().startswith("Drag the point of ram")
        QTest.mouseRelease(hand.canvas, LEFT, pos=hand.pixel(start[0] - 3.0 * y, start[1] + 3.0 * x))
        wait_for_check(qtbot, window)
        assert math.dist(standing(hand, "leg", place(hand, "ram", 1)), (35.0, 25.0)) == pytest.approx(50.0)


@pytest.mark.parametrize("moment", [0.0, 0.3])
def test_a_target_is_dragged_by_its_middle_and_measured_as_it_goes(qtbot, tmp_path, moment):
    """The leg ends turned by 90 degrees about the origin; its middle, drawn at (0, -13.5), is at (13.5, 0) then."""
    target = Target(id="stowed", body="leg", at=Moment(sequence="up", after="leg-up"), x=0.0, y=0.0, turn=90.0)
    with opened_window(qtbot, tmp_path, replace(aircraft(), targets=(target,))) as window:
        hand = Sketcher(window)
        hand.canvas.fit()
        take(hand, moment, "leg")
        session = window.session
        hand.move(13.5, 0.0)
        QTest.mousePress(hand.canvas, LEFT, pos=hand.pixel(13.5, 0.0))
        hand.move(16.5, -4.0)
        words = "Drag where Leg ought to be after Leg up; how far it is off is measured as it moves"
        assert window.sheet.line.hint.text().lower() == words.replace("Leg up", "leg-up").lower()
        wait_for_check(qtbot, window)
        assert [one.kind for one in session.sequence_study.findings if one.target] == [Kind.TARGET]
        QTest.mouseRelease(hand.canvas, LEFT, pos=hand.pixel(16.5, -4.0))
        (made,) = session.project.targets
        assert (made.x, made.y) == pytest.approx((3.0, -4.0), abs=WITHIN)
        assert (made.turn, made.at) == (90.0, target.at)
        assert session.undo_label == "Set target"
