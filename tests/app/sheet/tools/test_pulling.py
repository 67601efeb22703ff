"""Pulling by hand on the sheet: what is shown and said, the way back, and what is kept."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.main_window import MainWindow
from core.document.joint_edits import AddConnection
from core.document.project import Body, Circle, Pivot
from core.document.step_time_edits import SetStepDuration
from core.drawing.drawing import Line
from core.pulling.taking import Kept
from core.sketch.body_edits import AddBodies
from core.trials.fault import Stuck
from core.trials.trial import Trial
from tests.app.clock import Clock
from tests.app.sketcher import Sketcher
from tests.app.small_aircraft import LEG_TO, small_aircraft
from tests.app.window import opened_window, wait_for_check

LEG_UP_ENDS = 3.0
SHANK = (0.0, -40.0)


@pytest.fixture
def window(qtbot, tmp_path) -> Iterator[MainWindow]:
    with opened_window(qtbot, tmp_path, small_aircraft()) as opened:
        opened.commands["tool-pull"].trigger()
        yield opened


def turned(point: tuple[float, float], degrees: float) -> tuple[float, float]:
    at = complex(*point) * np.exp(1j * np.deg2rad(degrees))
    return (float(at.real), float(at.imag))


class Hand(Sketcher):
    """Presses, drags and lets go one at a time."""

    shift = Qt.KeyboardModifier.NoModifier

    def take(self, at: tuple[float, float]) -> None:
        self.move(*at)
        QTest.mousePress(self.canvas, Qt.MouseButton.LeftButton, self.shift, self.pixel(*at))

    def to(self, end: tuple[float, float], start: tuple[float, float] = SHANK) -> None:
        for share in np.linspace(0.1, 1.0, 10):
            self.move(start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))
        QApplication.processEvents()

    def open(self, at: tuple[float, float]) -> None:
        QTest.mouseRelease(self.canvas, Qt.MouseButton.LeftButton, self.shift, self.pixel(*at))
        QApplication.processEvents()

    def pull(self, start: tuple[float, float], end: tuple[float, float]) -> None:
        self.take(start)
        self.to(end, start)
        self.open(end)


class Shifted(Hand):
    shift = Qt.KeyboardModifier.ShiftModifier


def leg_angle(window: MainWindow) -> float:
    return float(np.rad2deg(window.sheet.shown.poses[1, 2]))


def target(window: MainWindow, step: str, drive: str) -> float | None:
    project = window.session.project
    assert project is not None
    steps = {one.id: one for one in project.sequences[0].steps}
    return next((move.to for move in steps[step].moves if move.drive == drive), None)


def step_of_leg(window: MainWindow) -> tuple[str, float]:
    """The step that takes the leg up, and when it ends."""
    schedule = window.session.schedule
    assert schedule is not None
    step = next(one for one in schedule.steps if any(move.drive == "gear" for move in one.moves))
    return step.id, step.end


def test_a_body_follows_the_hand_and_nothing_is_changed(window: MainWindow):
    hand, before = Hand(window), window.session.project
    hand.take(SHANK)
    hand.to(turned(SHANK, 30.0))
    assert leg_angle(window) == pytest.approx(30.0, abs=0.5)
    assert window.sheet.pulling.readings == (f"Leg angle {leg_angle(window):.2f}".rstrip("0").rstrip(".") + "°",)
    assert any(mark.line is Line.GHOST for mark in window.sheet.canvases[0].drawing.marks)
    assert "Overlaps do not stop it" in window.sheet.line.hint.text()
    assert window.session.project is before
    assert window.session.undo_label is None
    assert not window.sheet.take_bar.isVisible()


def test_overlaps_of_the_pulled_position_are_drawn(window: MainWindow):
    hand = Hand(window)
    hand.take(SHANK)
    hand.to(turned(SHANK, 88.0))
    overlaps = window.sheet.shown.situation.overlaps
    assert {frozenset(one.parts) for one in overlaps} == {frozenset({"leg", "door"})}


def test_let_go_it_swings_back_the_way_it_came(window: MainWindow, qtbot):
    hand = Hand(window)
    hand.pull(SHANK, turned(SHANK, 30.0))
    assert window.sheet.take_bar.isVisible()
    assert window.sheet.pulling.stands_pulled
    hand.key(Qt.Key.Key_Escape, hand.canvas)
    qtbot.waitUntil(lambda: not window.sheet.shown.pulled)
    assert leg_angle(window) == 0.0
    assert not window.sheet.take_bar.isVisible()
    assert window.sheet.tool == "pull"
    assert window.session.undo_label is None


def test_where_the_desktop_wants_no_animation_it_is_back_at_once(window: MainWindow, monkeypatch):
    monkeypatch.setattr("app.sheet.way_back.animation_ms", lambda _wanted: 0.0)
    hand = Hand(window)
    hand.pull(SHANK, turned(SHANK, 30.0))
    hand.key(Qt.Key.Key_Escape, hand.canvas)
    assert not window.sheet.shown.pulled


def test_the_way_back_keeps_every_connection(window: MainWindow, qtbot):
    seen = []
    window.sheet.shown.changed.connect(lambda: seen.append(window.sheet.shown.poses[1].copy()))
    window.sheet.pulling._way_back._clock = Clock(step=20)
    hand = Hand(window)
    hand.pull(SHANK, turned(SHANK, 30.0))
    seen.clear()
    hand.key(Qt.Key.Key_Escape, hand.canvas)
    qtbot.waitUntil(lambda: not window.sheet.shown.pulled)
    assert len(seen) > 3
    assert all(abs(x) + abs(y) < 1e-6 for x, y, _ in seen)  # the leg turns about its pivot at the origin


def test_enter_makes_it_the_end_of_the_step_under_the_rule(window: MainWindow, qtbot):
    step, end = step_of_leg(window)
    window.session.set_moment(end)
    hand, start = Hand(window), turned(SHANK, LEG_TO)
    hand.pull(start, turned(SHANK, 60.0))
    pulled = leg_angle(window)
    assert pulled == pytest.approx(60.0, abs=0.5)
    hand.key(Qt.Key.Key_Return, hand.canvas)
    assert target(window, step, "gear") == pytest.approx(pulled, abs=1e-3)
    wait_for_check(qtbot, window)
    assert not window.sheet.shown.pulled
    assert leg_angle(window) == pytest.approx(pulled, abs=1e-3)
    window.session.undo()
    assert target(window, step, "gear") == LEG_TO
    assert window.session.undo_label is None


def test_a_button_makes_a_new_step_or_the_start_of_it(window: MainWindow):
    step, end = step_of_leg(window)
    hand, bar = Hand(window), window.sheet.take_bar
    window.session.set_moment(end)
    hand.pull(turned(SHANK, LEG_TO), turned(SHANK, 60.0))
    hand.press_on(bar.buttons[Kept.NEW])
    steps = window.session.project.sequences[0].steps
    made = steps[[one.id for one in steps].index(step) + 1]
    assert made.name == "By hand"
    assert [move.drive for move in made.moves] == ["gear"]
    window.session.undo()
    window.session.set_moment(0.0)
    hand.pull(SHANK, turned(SHANK, 20.0))
    assert bar.buttons[Kept.START].font().bold()
    hand.press_on(bar.buttons[Kept.START])
    assert window.session.project.sequences[0].start["gear"] == pytest.approx(20.0, abs=0.5)
    assert window.session.moment == 0.0


def test_what_cannot_be_kept_is_off_and_says_why(window: MainWindow):
    Hand(window).pull(SHANK, turned(SHANK, 20.0))
    button = window.sheet.take_bar.buttons[Kept.END]
    assert not button.isEnabled()
    assert "no step is under the rule" in button.toolTip()


def test_shift_sets_the_step_while_the_hand_moves(window: MainWindow, qtbot):
    step, end = step_of_leg(window)
    window.session.set_moment(end)
    hand, start = Shifted(window), turned(SHANK, LEG_TO)
    hand.take(start)
    hand.to(turned(SHANK, 70.0), start)
    assert window.session.drafting
    assert "Setting" in window.sheet.line.hint.text()
    qtbot.waitUntil(lambda: window.session.study_current)
    shown = window.sheet.shown
    np.testing.assert_allclose(shown.own_poses, shown.poses, atol=1e-4)  # the sequence has it where the hand has it
    hand.open(turned(SHANK, 70.0))
    assert target(window, step, "gear") == pytest.approx(70.0, abs=0.5)
    assert window.session.undo_label is not None
    wait_for_check(qtbot, window)
    assert not shown.pulled


def test_shift_in_the_middle_of_a_step_sets_what_brings_it_there(window: MainWindow, qtbot):
    step, end = step_of_leg(window)
    begin = window.session.schedule.step(step).begin
    window.session.set_moment(begin + 0.7 * (end - begin))
    angle = leg_angle(window)
    hand = Shifted(window)
    hand.pull(turned(SHANK, angle), turned(SHANK, angle - 15.0))
    wait_for_check(qtbot, window)
    assert leg_angle(window) == pytest.approx(angle - 15.0, abs=0.6)
    assert target(window, step, "gear") < LEG_TO - 15.0


def test_escape_takes_back_what_shift_set(window: MainWindow):
    step, end = step_of_leg(window)
    window.session.set_moment(end)
    hand, start = Shifted(window), turned(SHANK, LEG_TO)
    hand.take(start)
    hand.to(turned(SHANK, 70.0), start)
    hand.key(Qt.Key.Key_Escape, hand.canvas)
    assert not window.session.drafting
    hand.open(turned(SHANK, 70.0))
    assert target(window, step, "gear") == LEG_TO
    assert not window.sheet.shown.pulled


def test_shift_where_no_step_is_under_the_rule_says_so(window: MainWindow):
    hand = Shifted(window)
    hand.take(SHANK)
    assert "No step" in window.sheet.line.hint.text()
    assert not window.sheet.pulling.holding


def test_a_limit_is_named_in_the_line_and_at_its_place(window: MainWindow):
    hand = Hand(window)
    hand.take(SHANK)
    hand.to(turned(SHANK, -30.0))
    said = "Leg trunnion is at its limit (0°)"
    assert said in window.sheet.line.hint.text()
    found = window.sheet.pulling.resists_at
    assert found is not None
    place, view, words = found
    assert (place, view, words) == ((0.0, 0.0), "side", said)
    assert leg_angle(window) == pytest.approx(0.0, abs=1e-6)


def test_a_fixed_body_says_so(window: MainWindow):
    hand = Hand(window)
    hand.take((40.0, 25.0))
    hand.to((40.0, 10.0), (40.0, 25.0))
    assert "is fixed to the airframe" in window.sheet.line.hint.text()
    hand.open((40.0, 10.0))
    assert not window.sheet.take_bar.isVisible()


def test_a_loose_body_is_pulled_and_said_to_be_kept_by_nothing(window: MainWindow):
    hand = Hand(window)
    hand.pull((-15.0, -0.5), (-18.0, 8.0))
    assert abs(window.sheet.shown.poses[3, 2]) > 0.1
    assert "Aft door is loose" in window.sheet.line.hint.text()
    assert all(not one.isEnabled() for one in window.sheet.take_bar.buttons.values())


def test_a_wheel_that_rolls_freely_is_not_called_loose(window: MainWindow):
    axle, rim = (0.0, -45.0), (6.0, -45.0)
    wheel = Body(id="wheel", name="Wheel", view="side", role="wheel", shapes=(Circle(centre=axle, radius=8.0),))
    window.session.push(AddBodies((wheel,)))
    window.session.push(AddConnection(Pivot(id="axle", name="Axle", bodies=("leg", "wheel"), at=axle)))
    hand = Hand(window)
    hand.take(rim)
    hand.to(turned(rim, 20.0), rim)
    assert window.sheet.pulling.loose_words == ""
    hand.open(turned(rim, 20.0))
    assert "Leg angle" in window.sheet.line.hint.text()


def test_a_click_on_a_drive_keeps_its_value(window: MainWindow):
    hand = Hand(window)
    hand.click(0.0, 0.0)
    assert window.sheet.pulling.pinned == {"gear"}
    hand.take(SHANK)
    hand.to(turned(SHANK, 30.0))
    assert leg_angle(window) == pytest.approx(0.0, abs=1e-9)
    assert "is kept where it is" in window.sheet.line.hint.text()
    hand.open(turned(SHANK, 30.0))
    hand.click(0.0, 0.0)
    assert window.sheet.pulling.pinned == set()


def test_a_click_on_a_body_chooses_it(window: MainWindow):
    Hand(window).click(*SHANK)
    assert window.session.selection == "leg"
    assert not window.sheet.shown.pulled


def test_another_moment_lets_everything_go(window: MainWindow):
    Hand(window).pull(SHANK, turned(SHANK, 30.0))
    window.session.set_moment(0.5)
    assert not window.sheet.shown.pulled
    assert not window.sheet.take_bar.isVisible()


def test_putting_the_tool_away_lets_everything_go(window: MainWindow, qtbot):
    Hand(window).pull(SHANK, turned(SHANK, 30.0))
    window.sheet.take_up("")
    qtbot.waitUntil(lambda: not window.sheet.shown.pulled)


def test_one_pull_after_another_goes_on_from_there(window: MainWindow):
    hand = Hand(window)
    hand.pull(SHANK, turned(SHANK, 30.0))
    hand.pull((40.0, -0.5), (42.0, -20.0))
    poses = window.sheet.shown.poses
    assert np.rad2deg(poses[1, 2]) == pytest.approx(30.0, abs=0.5)
    assert np.rad2deg(poses[2, 2]) == pytest.approx(23.0, abs=3.0)
    assert len(window.sheet.pulling.readings) == 2


def test_the_draft_and_the_history_know_nothing_of_a_plain_pull(window: MainWindow):
    hand = Hand(window)
    hand.pull(SHANK, turned(SHANK, 30.0))
    assert not window.session.drafting
    assert not window.session.unsaved


def test_an_aircraft_that_is_only_looked_at_can_be_pulled_and_keeps_nothing(window: MainWindow):
    window.session.look_only("Another window has this aircraft open")
    hand, before = Hand(window), window.session.project
    hand.pull(SHANK, turned(SHANK, 30.0))
    assert leg_angle(window) == pytest.approx(30.0, abs=0.5)
    hand.key(Qt.Key.Key_Return, hand.canvas)
    assert window.session.project is before
    assert window.notice.text == "Another window has this aircraft open"
    Shifted(window).take(turned(SHANK, 30.0))
    assert "Another window" in window.sheet.line.hint.text()


@pytest.mark.parametrize("kind", [Hand, Shifted])
def test_in_a_trial_nothing_is_pulled_and_it_is_said(window: MainWindow, qtbot, kind: type[Hand]):
    window.trials.trying.show(Trial("retract", Stuck("doors")))
    wait_for_check(qtbot, window)
    hand = kind(window)
    hand.pull(SHANK, turned(SHANK, 30.0))
    assert leg_angle(window) == pytest.approx(0.0, abs=1e-6)
    hint = window.sheet.line.hint
    assert "A trial is shown" in hint.text()
    window.trials.trying.leave()
    assert "A trial" not in hint.text()


@pytest.mark.parametrize("elsewhere", ["another sequence", "an edit taken back"])
def test_what_shift_sets_is_given_up_where_something_else_is_looked_at(window: MainWindow, elsewhere: str):
    step, _ = step_of_leg(window)
    session = window.session
    session.push(SetStepDuration("retract", step, 3.5))
    session.set_moment(session.schedule.step(step).end)
    hand, start = Shifted(window), turned(SHANK, LEG_TO)
    hand.take(start)
    hand.to(turned(SHANK, 70.0), start)
    assert session.drafting
    if elsewhere == "another sequence":
        session.choose_sequence("hold")
    else:
        session.undo()
    before = session.project
    assert not session.drafting
    hand.to(turned(SHANK, 60.0), turned(SHANK, 70.0))
    hand.open(turned(SHANK, 60.0))
    assert not session.drafting
    assert session.project is before
