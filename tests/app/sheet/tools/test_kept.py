"""What is hidden or locked under the hand: not caught, carried, reshaped nor gathered; and found again by its name."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.sheet.film import note_of
from core.document.look_edits import SetHidden, SetLocked
from tests.app.sheet.tools.test_choosing import shift_drag
from tests.app.sheet.tools.things import body, corner
from tests.app.sketcher import Sketcher


def lock(hand: Sketcher, *things: str) -> None:
    hand.window.session.push(SetLocked(things, True, "Lock"))


def hide(hand: Sketcher, *things: str) -> None:
    hand.window.session.push(SetHidden(things, True, "Hide"))


@pytest.mark.parametrize("keep", [lock, hide])
def test_what_is_kept_from_the_hand_is_not_picked_and_what_lies_behind_it_is(hand: Sketcher, keep):
    keep(hand, "link")
    hand.click(34, -16)
    assert hand.window.session.chosen == ("door",)


@pytest.mark.parametrize("keep", [lock, hide])
def test_it_is_not_gathered_by_a_band_nor_with_all(hand: Sketcher, keep):
    keep(hand, "link")
    shift_drag(hand, (28, -24), (44, 0))
    assert hand.window.session.chosen == ("door",)
    hand.command("choose-all")
    assert hand.window.session.chosen == ("bay", "leg", "door")


def test_a_locked_body_that_is_chosen_is_not_carried_and_the_film_is_dragged(hand: Sketcher):
    lock(hand, "door")
    hand.window.session.choose("door")
    before, placement = hand.window.session.project, hand.canvas.placement
    hand.drag((38, -12), (48, -17))
    assert hand.window.session.project is before
    assert hand.canvas.placement != placement


def test_of_several_chosen_the_locked_one_stays(hand: Sketcher):
    lock(hand, "link")
    hand.window.session.choose_several(("link", "door"))
    hand.drag((38, -12), (38, -22))
    assert (corner(hand, "door"), corner(hand, "link")) == ((30.0, -30.0), (32.0, -18.0))
    hand.command("nudge-up")
    assert (corner(hand, "door"), corner(hand, "link")) == ((30.0, -29.0), (32.0, -18.0))


@pytest.mark.parametrize("tool", ["move", "reshape", "turn", "mirror", "copy"])
def test_no_tool_takes_hold_of_a_locked_body(hand: Sketcher, tool):
    lock(hand, "door", "link")
    before = hand.window.session.project
    hand.tool(tool)
    hand.drag((30, -20), (45, -25))
    hand.click(38, -12)
    hand.click(50, 0)
    assert hand.window.session.project is before
    assert hand.window.session.chosen == ()


def test_the_ends_of_a_locked_rod_are_not_pulled(hand: Sketcher):
    lock(hand, "rod")
    hand.window.session.choose("door")
    hand.tool("reshape")
    hand.drag((30, -15), (30, -12))
    assert hand.window.session.project.connections[1].ends == ((0.0, -20.0), (30.0, -15.0))


def test_a_body_whose_rod_is_locked_stays_with_it_and_that_is_said(hand: Sketcher):
    lock(hand, "rod")
    said: list[str] = []
    hand.window.session.trouble.connect(said.append)
    hand.window.session.choose("door")
    hand.command("nudge-up")
    assert corner(hand, "door") == (30.0, -20.0)
    assert said == ["rod is locked and stays as it is: free it first"]


def test_a_hole_goes_into_the_free_body_beneath(hand: Sketcher):
    lock(hand, "link")
    hand.tool("hole")
    hand.click(34, -16)
    hand.click(35, -16)
    assert body(hand, "door").shapes[0].holes
    assert not body(hand, "link").shapes[0].holes


def test_nothing_is_drawn_into_a_locked_body_nor_beside_it_instead(hand: Sketcher):
    lock(hand, "door")
    hand.window.session.choose("door")
    hand.window.sheet.bench.into_chosen = True
    before = hand.window.session.project
    hand.tool("box")
    hand.click(0, -50)
    hand.click(10, -60)
    assert hand.window.session.project is before


def test_a_locked_bay_can_still_be_joined_to(hand: Sketcher):
    lock(hand, "bay")
    hand.tool("pivot")
    hand.window.session.choose("door")
    hand.window.sheet.take_up("")
    assert hand.window.sheet.bench.bodies_at((0.0, 25.0), 1.0) == ("bay",)
    assert hand.window.sheet.bench.free_at((0.0, 25.0), 1.0) == ()


def test_what_is_hidden_is_not_snapped_to(hand: Sketcher):
    bench = hand.window.sheet.bench
    bench.view = "side"
    assert bench.snapped((30.2, -20.2), 1.0, None, free=False).owner == "door"
    hide(hand, "door")
    assert bench.snapped((30.2, -20.2), 1.0, None, free=False).owner is None


def test_copies_of_what_is_hidden_or_locked_are_in_sight_and_free(hand: Sketcher):
    lock(hand, "link")
    hide(hand, "link")
    hand.window.session.choose("link")
    hand.command("copy")
    hand.command("paste")
    copied = hand.window.session.project.bodies[-1]
    assert (copied.hidden, copied.locked) == (False, False)


def test_the_sheet_says_how_much_is_hidden(hand: Sketcher):
    assert "hidden" not in note_of(hand.window.sheet.shown, "side")[0]
    hide(hand, "leg", "rod")
    assert note_of(hand.window.sheet.shown, "side")[0].endswith(" · 2 hidden, still checked")


def test_a_click_with_shift_on_what_is_locked_chooses_nothing(hand: Sketcher):
    lock(hand, "leg")
    hand.click(38, -12)
    QTest.mouseClick(hand.canvas, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.ShiftModifier, hand.pixel(0, -25))
    assert hand.window.session.chosen == ("door",)
