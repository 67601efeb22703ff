"""What the details say of locked and hidden things, and the swatches of tints."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.main_window import MainWindow
from app.painting.theme import DARK
from core.document.look_edits import SetHidden, SetLocked
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window


@pytest.fixture
def window(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        yield window


def tints(window: MainWindow) -> list[str | None]:
    return [one.tint for one in window.session.project.bodies]


def test_what_is_locked_says_so_and_is_freed_there(window: MainWindow):
    session, details = window.session, window.details
    session.choose("leg")
    assert details.look_note.isHidden()
    session.push(SetLocked(("leg",), True, "Lock"))
    assert details.look_note.text == "Locked: it stays as it is"
    assert not details.entries.fields["mass"].isEnabled()
    assert not details.section.isEnabled()
    details.look_note.buttons["locked"].click()
    assert session.undo_label == "Free Nose leg"
    assert details.look_note.isHidden()
    assert details.entries.fields["mass"].isEnabled()


def test_several_are_counted_and_freed_together(window: MainWindow):
    session, note = window.session, window.details.look_note
    session.push(SetLocked(("leg", "door"), True, "Lock"))
    session.push(SetHidden(("hinge",), True, "Hide"))
    session.choose_several(("leg", "door", "hinge"))
    assert note.text == "2 are locked and stay as they are\n1 are hidden, still checked"
    note.buttons["hidden"].click()
    note.buttons["locked"].click()
    assert note.text == ""
    assert not any(one.locked for one in session.project.bodies)


def test_a_tint_is_picked_by_a_click_and_by_keys(window: MainWindow):
    window.session.choose("leg")
    swatches = window.details.tints.swatches
    assert swatches[None].isChecked()
    swatches["moss"].click()
    assert tints(window) == [None, "moss", None, None]
    assert window.session.undo_label == "Tint Nose leg"
    assert swatches["moss"].isChecked()
    swatches["moss"].setFocus()
    QTest.keyClick(swatches["moss"], Qt.Key.Key_Right)
    assert tints(window) == [None, "straw", None, None]
    swatches[None].click()
    assert tints(window) == [None] * 4


def test_a_tint_is_for_all_chosen_bodies_and_none_is_in_use_where_they_differ(window: MainWindow):
    window.session.choose("leg")
    window.details.tints.swatches["sky"].click()
    window.session.choose_several(("leg", "door", "hinge"))
    assert not any(one.isChecked() for one in window.details.tints.swatches.values())
    window.details.tints.swatches["copper"].click()
    assert tints(window) == [None, "copper", "copper", None]


def test_swatches_are_there_for_bodies_alone_and_have_names(window: MainWindow):
    window.session.choose("hinge")
    assert window.details.tints.isHidden()
    window.session.choose("leg")
    assert not window.details.tints.isHidden()
    assert window.details.tints.swatches["heather"].accessibleName() == "Tint: heather"
    assert window.details.tints.swatches["heather"].toolTip() == "Heather"


def test_swatches_wear_the_theme(window: MainWindow):
    window.session.choose("leg")
    swatch = window.details.tints.swatches["straw"]
    before = swatch.grab().toImage()
    window.details.tints.set_theme(DARK)
    assert swatch.grab().toImage() != before


def test_renaming_goes_to_the_name_in_the_details(window: MainWindow):
    window.session.choose("leg")
    window.commands["rename"].trigger()
    line = window.details.entries.fields["name"].line
    assert line.selectedText() == "Nose leg"
    QTest.keyClicks(line, "Shank")
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert window.session.project.bodies[1].name == "Shank"


def test_a_key_after_a_new_name_is_a_key_of_the_window_again(window: MainWindow):
    window.session.choose("leg")
    window.sheet.panes.canvas.setFocus()
    window.commands["rename"].trigger()
    line = window.details.entries.fields["name"].line
    QTest.keyClicks(line, "Shank")
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert window.sheet.panes.canvas.hasFocus()


def test_escape_leads_from_a_field_and_from_a_list_back_to_the_sheet(window: MainWindow):
    window.session.choose("leg")
    lists = window.details.lists
    for one in (window.details.entries.fields["mass"].line, lists.view, lists.search):
        one.setFocus()
        assert one.hasFocus()
        QTest.keyClick(one, Qt.Key.Key_Escape)
        assert window.sheet.panes.canvas.hasFocus()


def test_renaming_shows_the_details_where_they_are_put_away(window: MainWindow):
    window.commands["show-details"].trigger()
    assert window.details.isHidden()
    window.session.choose("hinge")
    window.commands["rename"].trigger()
    assert not window.details.isHidden()
    assert window.details.entries.fields["name"].line.selectedText() == "Main door hinge"


def test_a_step_is_renamed_over_its_bar(window: MainWindow):
    window.session.choose("leg-up")
    window.commands["rename"].trigger()
    assert window.sequence.lanes.name_line.isVisible()


def test_what_is_locked_is_not_renamed_and_that_is_said(window: MainWindow):
    said: list[str] = []
    window.session.trouble.connect(said.append)
    window.session.push(SetLocked(("leg",), True, "Lock"))
    window.session.choose("leg")
    window.commands["rename"].trigger()
    assert said == ["Nose leg is locked and stays as it is: free it first"]
