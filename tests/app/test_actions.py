"""The table of actions: keys and letters that mean one thing, and what can be done when."""

from collections import Counter

import pytest
from PySide6.QtGui import QKeySequence

from app.action_table import MENUS, TABLE, Needs
from app.actions import Actions, what_is_there
from app.session import Session
from core.document.project import Aircraft, Project
from core.document.step_time_edits import SetStepDuration
from tests.app.small_aircraft import small_aircraft


def test_no_key_means_two_things():
    keys = Counter(QKeySequence(key).toString() for row in TABLE for key in row.keys)
    assert [key for key, count in keys.items() if count > 1] == []
    assert "" not in keys


def test_plain_digits_are_left_to_the_sequences():
    assert not {str(number) for number in range(1, 10)} & {key for row in TABLE for key in row.keys}


@pytest.mark.parametrize("menu", MENUS)
def test_no_two_words_of_a_menu_have_the_same_letter(menu: str):
    rows = [row for row in TABLE if row.menu == menu]
    inner = dict.fromkeys(row.submenu for row in rows if row.submenu)
    shown = [[row.words for row in rows if not row.submenu] + list(inner)]
    shown += [[row.words for row in rows if row.submenu == one] for one in inner]
    for words in shown:
        letters = Counter(one[one.index("&") + 1].lower() for one in words)
        assert [letter for letter, count in letters.items() if count > 1] == []


def test_every_row_stands_in_a_menu_and_says_what_it_does():
    for row in TABLE:
        assert row.menu in MENUS
        assert row.tip
    assert len({row.id for row in TABLE}) == len(TABLE)


def test_an_empty_window_offers_only_what_can_be_done(qapp):
    session = Session()
    actions = Actions(session)
    actions.refresh(session)
    on = {row.id for row in TABLE if actions[row.id].isEnabled()}
    assert {"open", "quit", "keys", "about"} <= on
    assert not {"save", "save-as", "undo", "redo", "play", "fit", "finding-on"} & on


def test_undo_and_redo_name_the_edit(qapp):
    session = Session()
    actions = Actions(session)
    session.open(small_aircraft(), None)
    session.push(SetStepDuration("retract", "leg-up", 5.0))
    actions.refresh(session)
    assert actions["undo"].text() == "&Undo: change step duration"
    assert (actions["undo"].isEnabled(), actions["redo"].isEnabled()) == (True, False)
    session.undo()
    actions.refresh(session)
    assert actions["redo"].text() == "&Redo: change step duration"
    assert Needs.REDO in what_is_there(session)


def test_a_button_that_is_off_says_why(qapp):
    session = Session()
    session.open(Project(aircraft=Aircraft(name="Merrow T.2", scale=12)), None)
    actions = Actions(session)
    actions.refresh(session)
    assert not actions["play"].isEnabled()
    assert actions["play"].toolTip() == "Play, or pause – not now: no step takes any time yet"
    session.open(small_aircraft(), None)
    actions.refresh(session)
    assert actions["play"].toolTip().startswith("Play, or pause  (")
