"""The menu under the right button: of one thing, of several, of what is locked, of a connection and of bare film."""

from __future__ import annotations

import pytest

from app.sheet.things_menu import INNER, WITH_BODIES, WITH_LOCKED, WITH_NOTHING
from core.document.look_edits import SetHidden, SetLocked
from tests.app.sheet.tools.test_choosing import OFFSCREEN_MENU, ask
from tests.app.sheet.tools.things import body
from tests.app.sketcher import Sketcher


def lock(hand: Sketcher, *things: str) -> None:
    hand.window.session.push(SetLocked(things, True, "Lock"))


def hide(hand: Sketcher, *things: str) -> None:
    hand.window.session.push(SetHidden(things, True, "Hide"))


@OFFSCREEN_MENU
def test_what_is_locked_is_named_in_the_menu_and_freed_from_there(hand: Sketcher):
    lock(hand, "leg")
    words = ask(hand, 0, -25)
    assert "Leg (locked)" in words
    assert hand.window.session.chosen == (), "nothing is picked by mistake"
    menu = hand.window.sheet.things_menu.menu
    next(one for one in menu.actions() if one.text() == "Leg (locked)").trigger()
    assert hand.window.session.chosen == ("leg",)
    words = ask(hand, 0, -25)
    assert {"Copy", "Hidden", "Locked"} <= set(words)
    assert not {"Move", "Remove", "Cut"} & set(words)
    hand.window.commands["lock"].trigger()
    assert not body(hand, "leg").locked


@OFFSCREEN_MENU
def test_several_bodies_are_joined_from_the_menu(hand: Sketcher):
    hand.window.session.choose_several(("link", "door"))
    assert ask(hand, 38, -12)[:2] == ["Join bodies", "Cut away"]
    menu = hand.window.sheet.things_menu.menu
    next(one for one in menu.actions() if one.text() == "&Join bodies").trigger()
    assert [one.id for one in hand.window.session.project.bodies] == ["bay", "leg", "door"]


@OFFSCREEN_MENU
def test_the_menus_inside_are_the_windows_own_actions(hand: Sketcher):
    ask(hand, 38, -12)
    menu = hand.window.sheet.things_menu.menu
    inner = {one.text(): one.menu() for one in menu.actions() if one.menu() is not None}
    lay = inner["&Lay it"].actions()
    assert lay[0] is hand.window.commands["lay-higher"]
    next(one for one in inner["Tint &of it"].actions() if one.text() == "&Heather").trigger()
    assert body(hand, "door").tint == "heather"
    menu.close()


@OFFSCREEN_MENU
def test_the_menu_of_bare_film_offers_to_paste_fit_and_show_everything(hand: Sketcher):
    hide(hand, "link")
    assert {"Paste", "Fit the view", "Show everything"} <= set(ask(hand, -30, -28))
    assert hand.window.commands["show-all"].isEnabled()


@OFFSCREEN_MENU
def test_the_menu_of_a_connection_offers_what_can_be_done_with_one(hand: Sketcher):
    hand.window.session.choose("trunnion")
    words = ask(hand, 0, 0)
    assert {"Drive it", "Reshape", "Remove", "Rename", "Hidden", "Show only the chosen", "Locked"} <= set(words)
    assert not {"Lay it", "Tint of it", "Cut"} & set(words)


@OFFSCREEN_MENU
def test_the_menu_of_a_locked_connection_offers_to_free_it_and_nothing_that_would_change_it(hand: Sketcher):
    lock(hand, "trunnion")
    hand.window.session.choose("trunnion")
    assert not {"Drive it", "Reshape", "Remove"} & set(ask(hand, 0, 0))
    hand.window.commands["lock"].trigger()
    assert "Remove" in ask(hand, 0, 0)


@pytest.mark.parametrize("groups", [WITH_BODIES, WITH_LOCKED, WITH_NOTHING])
def test_every_command_of_a_menu_is_the_windows_own(hand: Sketcher, groups):
    for one in (*INNER, *(one for group in groups for one in group)):
        assert hand.window.commands[one].objectName() == one
