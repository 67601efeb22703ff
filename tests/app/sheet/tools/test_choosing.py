"""Chosen bodies carried, nudged, gathered, removed, and asked about, by mouse and keys."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QContextMenuEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.sheet.tools.choosing import nudge_step
from tests.app.sheet.tools.things import aircraft, body, corner
from tests.app.sketcher import Sketcher
from tests.app.window import wait_for_check

OFFSCREEN_MENU = pytest.mark.qt_log_ignore("This plugin does not support (raise|grabbing)")


def shift_click(hand: Sketcher, x: float, y: float) -> None:
    shift = Qt.KeyboardModifier.ShiftModifier
    QTest.mouseClick(hand.canvas, Qt.MouseButton.LeftButton, shift, hand.pixel(x, y))


def shift_drag(hand: Sketcher, start: tuple[float, float], end: tuple[float, float]) -> None:
    shift, left = Qt.KeyboardModifier.ShiftModifier, Qt.MouseButton.LeftButton
    QTest.mousePress(hand.canvas, left, shift, hand.pixel(*start))
    QTest.mouseMove(hand.canvas, hand.pixel(*end))
    QApplication.processEvents()
    QTest.mouseRelease(hand.canvas, left, shift, hand.pixel(*end))


def ask(hand: Sketcher, x: float, y: float) -> list[str]:
    """The words of the menu at a place."""
    at = hand.pixel(x, y)
    event = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, at, hand.canvas.mapToGlobal(at))
    QApplication.sendEvent(hand.canvas, event)
    menu = hand.window.sheet.things_menu.menu
    words = [action.text().replace("&", "") for action in menu.actions() if not action.isSeparator()]
    menu.close()
    return words


# ---- carrying -------------------------------------------------------------------------------------------------------


def test_a_chosen_body_is_carried_with_the_ends_that_hang_on_it(hand):
    hand.click(38, -12)
    hand.drag((38, -12), (48, -17))
    assert corner(hand, "door") == (40.0, -25.0), "round millimetres"
    rod = hand.window.session.project.connections[1]
    assert rod.ends == ((0.0, -20.0), (40.0, -20.0)), "its own end goes along, the leg's does not"
    assert hand.window.session.undo_label == "Move Door"
    hand.window.session.undo()
    assert corner(hand, "door") == (30.0, -20.0)


def test_a_body_that_is_not_chosen_leaves_the_film_to_be_dragged(hand):
    before, project = hand.canvas.placement, hand.window.session.project
    hand.drag((38, -12), (48, -17))
    assert hand.canvas.placement != before
    assert hand.window.session.project is project


def test_a_carry_that_is_given_up_leaves_nothing(hand):
    project = hand.window.session.project
    hand.click(38, -12)
    QTest.mousePress(hand.canvas, Qt.MouseButton.LeftButton, pos=hand.pixel(38, -12))
    QTest.mouseMove(hand.canvas, hand.pixel(55, 0))
    hand.key(Qt.Key.Key_Escape, hand.canvas)
    QTest.mouseRelease(hand.canvas, Qt.MouseButton.LeftButton, pos=hand.pixel(55, 0))
    assert hand.window.session.project is project
    assert hand.window.session.undo_label is None


def test_a_carry_whose_project_changed_meanwhile_changes_nothing_more(hand):
    hand.click(38, -12)
    hand.command("nudge-left")
    QTest.mousePress(hand.canvas, Qt.MouseButton.LeftButton, pos=hand.pixel(38, -12))
    QTest.mouseMove(hand.canvas, hand.pixel(50, -12))
    hand.window.session.undo()
    QTest.mouseRelease(hand.canvas, Qt.MouseButton.LeftButton, pos=hand.pixel(50, -12))
    assert corner(hand, "door") == (30.0, -20.0)


def test_at_a_scrubbed_moment_a_body_follows_the_hand_where_it_stands(hand, qtbot):
    hand.window.session.set_moment(1.0)
    hand.click(12, 2)  # the leg stands level to the right, a quarter turn from where it was drawn
    assert hand.window.session.selection == "leg"
    hand.drag((12, 2), (17, 2))
    assert corner(hand, "leg") == pytest.approx((-3.0, -35.0)), "to the right here is down where it was drawn"
    wait_for_check(qtbot, hand.window)


def test_what_may_only_be_looked_at_is_not_carried_nor_nudged(hand):
    project, before = hand.window.session.project, hand.canvas.placement
    hand.window.session.look_only("Another window has this aircraft open")
    hand.click(38, -12)
    hand.drag((38, -12), (48, -17))
    assert hand.canvas.placement != before, "the film is dragged instead"
    hand.command("nudge-left")
    assert hand.window.session.project is project


# ---- gathering ------------------------------------------------------------------------------------------------------


def test_shift_chooses_several_and_lets_go_of_one(hand):
    hand.click(38, -12)
    shift_click(hand, 0, -25)
    assert hand.window.session.chosen == ("door", "leg")
    assert hand.window.session.selection == "leg", "the last leads"
    shift_click(hand, 0, -25)
    assert hand.window.session.chosen == ("door",)


def test_a_band_chooses_what_lies_wholly_in_it(hand):
    shift_drag(hand, (28, -24), (44, 0))
    assert set(hand.window.session.chosen) == {"door", "link"}
    hand.drag((38, -12), (38, -22))
    assert (corner(hand, "door"), corner(hand, "link")) == ((30.0, -30.0), (32.0, -28.0))
    assert hand.window.session.undo_label == "Move 2 bodies"


def test_a_band_sees_bodies_where_they_stand(hand):
    hand.window.session.set_moment(1.0)
    shift_drag(hand, (-8, -8), (34, 8))
    assert hand.window.session.chosen == ("leg",)


def test_a_band_given_up_chooses_nothing(hand):
    QTest.mousePress(hand.canvas, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.ShiftModifier, hand.pixel(28, -24))
    QTest.mouseMove(hand.canvas, hand.pixel(44, 0))
    hand.key(Qt.Key.Key_Escape, hand.canvas)
    QTest.mouseRelease(hand.canvas, Qt.MouseButton.LeftButton, pos=hand.pixel(44, 0))
    assert hand.window.session.chosen == ()


def test_all_bodies_are_nudged_and_removed_by_keys(hand):
    hand.command("choose-all")
    assert hand.window.session.chosen == ("bay", "leg", "door", "link")
    hand.command("nudge-up")
    assert corner(hand, "leg") == (-3.0, -29.0)
    assert hand.window.session.project.connections[0].at == (0.0, 1.0), "a pivot whose bodies both go, goes too"
    hand.command("remove")
    assert hand.window.session.project.bodies == ()
    hand.window.session.undo()
    assert len(hand.window.session.project.bodies) == 4


@pytest.mark.parametrize("unit", ["in", "ft"])
def test_an_inch_aircraft_is_nudged_by_parts_of_an_inch(unit: str):
    assert nudge_step(replace(aircraft(), length_unit=unit)) == pytest.approx(25.4 / 32)


# ---- asking ---------------------------------------------------------------------------------------------------------


@OFFSCREEN_MENU
def test_the_menu_names_what_lies_under_the_pointer_and_what_can_be_done(hand):
    words = ask(hand, 34, -16)
    assert set(words[:2]) == {"Door", "Link"}
    assert {"Move", "Turn", "Put a copy", "Remove"} <= set(words)
    assert hand.window.session.selection in ("door", "link")


@OFFSCREEN_MENU
def test_the_menu_of_a_pivot_offers_to_drive_it(hand):
    hand.window.session.choose("trunnion")
    assert "Drive it" in ask(hand, 0, 0)


@OFFSCREEN_MENU
def test_the_menu_of_bare_film_offers_tools(hand):
    hand.click(38, -12)
    assert "Outline" in ask(hand, -30, -28)
    assert hand.window.session.chosen == ()


@OFFSCREEN_MENU
def test_what_the_menu_offers_is_done(hand):
    ask(hand, 38, -12)
    menu = hand.window.sheet.things_menu.menu
    next(action for action in menu.actions() if action.text() == "Re&move").trigger()
    assert [one.id for one in hand.window.session.project.bodies] == ["bay", "leg", "link"]
    assert [one.id for one in hand.window.session.project.connections] == ["trunnion"]


def test_several_are_painted_as_chosen(hand):
    hand.window.session.choose_several(("door", "leg"))
    one = hand.canvas.grab().toImage()
    hand.window.session.choose_several(("leg",))
    assert one != hand.canvas.grab().toImage()
    assert hand.canvas.rect().contains(QPoint(5, 5))


# ---- coming to rest -------------------------------------------------------------------------------------------------


def held_over(hand: Sketcher, start: tuple[float, float], end: tuple[float, float], *, alt: bool = False) -> None:
    """A drag that ends a little beside a place, as hands do; not let go yet."""
    modifier = Qt.KeyboardModifier.AltModifier if alt else Qt.KeyboardModifier.NoModifier
    QTest.mousePress(hand.canvas, Qt.MouseButton.LeftButton, modifier, hand.pixel(*start))
    for beside in (QPoint(40, 40), QPoint(3, -2)):
        QTest.mouseMove(hand.canvas, hand.pixel(*end) + beside)
        QApplication.processEvents()


def let_go(hand: Sketcher, end: tuple[float, float]) -> None:
    QTest.mouseRelease(hand.canvas, Qt.MouseButton.LeftButton, pos=hand.pixel(*end) + QPoint(3, -2))


def test_a_carried_body_comes_to_rest_with_its_corner_at_anothers(hand):
    hand.click(38, -12)
    start, end = (38, -12), (38 + 10, -12 + 30)  # its upper left corner goes to the bay's lower right
    held_over(hand, start, end)
    assert [label.text for label in hand.canvas._gesture.preview().labels] == ["corner"]
    let_go(hand, end)
    assert corner(hand, "door") == pytest.approx((40.0, 10.0))
    hand.window.session.undo()
    assert corner(hand, "door") == (30.0, -20.0)


def test_with_snapping_off_a_carried_body_is_where_the_hand_is(hand):
    hand.command("snap")
    hand.click(38, -12)
    held_over(hand, (38, -12), (48, 18))
    assert hand.canvas._gesture.preview().labels == ()
    let_go(hand, (48, 18))
    x, y = corner(hand, "door")
    assert (x, y) == pytest.approx((40.0, 10.0), abs=2.0)
    assert (x, y) != pytest.approx((40.0, 10.0), abs=0.05)
    assert (round(x), round(y)) != (x, y)


def test_at_a_scrubbed_moment_it_comes_to_rest_where_it_stands(hand, qtbot):
    hand.window.session.set_moment(1.0)
    hand.click(12, 2)  # the leg lies level: its corner drawn at (3, -30) stands at (30, 3)
    held_over(hand, (12, 2), (12 + 10, 2 + 17))  # that goes to the bay's lower right corner, (40, 20)
    let_go(hand, (22, 19))
    assert body(hand, "leg").shapes[0].points[1] == pytest.approx((3.0 + 17.0, -30.0 - 10.0))
    wait_for_check(qtbot, hand.window)
