"""Sequences made, doubled, named, ordered, turned round and removed, by the chooser and the menu; all of it undone."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.main_window import MainWindow
from core.document.project_file import encode
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window, wait_for_check


@pytest.fixture
def window(qtbot, tmp_path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        yield window


def names(window: MainWindow) -> list[str]:
    return [one.name for one in window.session.project.sequences]


def do(window: MainWindow, *actions: str) -> None:
    for action in actions:
        window.commands[f"sequence-{action}"].trigger()


def test_extending_is_made_of_retracting_by_one_command(window: MainWindow, qtbot):
    window.session.set_moment(3.0)
    retract = window.session.sequence
    do(window, "back")
    assert names(window) == ["Retract", "Extend", "Hold"]
    extend = window.session.sequence
    assert extend.name == "Extend"
    assert [step.name for step in extend.steps] == ["Doors open", "Leg down", "Doors close"]
    assert extend.start == {"gear": 92.0, "doors": 0.0}
    assert window.session.schedule.seconds == pytest.approx(7.2)
    assert window.session.undo_label == "Add sequence Extend"
    wait_for_check(qtbot, window)
    assert window.session.sequence_study.sequence == extend
    window.session.undo()
    assert window.session.sequence == retract


def test_all_that_is_done_to_sequences_can_be_undone(window: MainWindow):
    before = encode(window.session.project)
    do(window, "copy", "later", "sooner", "new", "back", "remove", "remove")
    assert encode(window.session.project) != before
    while window.session.undo_label is not None:
        window.session.undo()
    assert encode(window.session.project) == before


def test_a_new_sequence_begins_where_this_one_does(window: MainWindow):
    do(window, "new")
    assert names(window) == ["Retract", "Hold", "Sequence"]
    assert window.session.sequence.name == "Sequence"
    assert window.session.sequence.start == {"gear": 0.0, "doors": 0.0}
    assert window.session.schedule.seconds == 0.0


def test_a_sequence_is_named_in_place(window: MainWindow):
    do(window, "rename")
    line = window.sequence.transport.name_line
    assert line.text() == "Retract"
    QTest.keyClicks(line, "Gear up")
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert names(window) == ["Gear up", "Hold"]


def test_a_sequence_changes_places(window: MainWindow):
    do(window, "later")
    assert names(window) == ["Hold", "Retract"]
    assert window.session.sequence.name == "Retract"
    do(window, "later")
    assert names(window) == ["Hold", "Retract"]
    do(window, "sooner", "sooner")
    assert names(window) == ["Retract", "Hold"]


def test_a_doubled_sequence_is_looked_at_and_stands_beside(window: MainWindow):
    do(window, "copy")
    assert names(window) == ["Retract", "Retract 2", "Hold"]
    assert window.session.sequence.name == "Retract 2"
    assert window.session.schedule.seconds == pytest.approx(7.2)


def test_after_a_removed_sequence_its_neighbour_is_looked_at(window: MainWindow):
    do(window, "remove")
    assert names(window) == ["Hold"]
    assert window.session.sequence.name == "Hold"
    do(window, "remove")
    assert names(window) == []
    assert not window.commands["sequence-back"].isEnabled()
    do(window, "new")
    assert names(window) == ["Retract"]


def test_the_chooser_has_them_all_in_a_menu(window: MainWindow):
    texts = [one.text().replace("&", "") for one in window.sequence.transport.more.menu().actions()]
    assert texts[:3] == ["New sequence", "Double the sequence", "Make the way back"]
    assert window.sequence.transport.more.accessibleName() == "Change the sequences"
