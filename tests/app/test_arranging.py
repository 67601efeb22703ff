"""Hidden, locked, tinted and laid over each other by the window's own actions, each undone at once."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QIcon
from PySide6.QtTest import QTest

from app.main_window import MainWindow
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window, wait_for_check


@pytest.fixture
def window(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        yield window


def said_by(window: MainWindow) -> list[str]:
    said: list[str] = []
    window.session.trouble.connect(said.append)
    return said


def hidden(window: MainWindow) -> set[str]:
    project = window.session.project
    return {one.id for one in (*project.bodies, *project.connections) if one.hidden}


def order(window: MainWindow) -> list[str]:
    return [one.id for one in window.session.project.bodies]


def test_what_is_hidden_is_let_go_and_still_checked(qtbot, window: MainWindow):
    session = window.session
    before = [(one.kind, one.bodies) for one in session.sequence_study.findings]
    session.choose_several(("leg", "hinge"))
    window.commands["hide"].trigger()
    assert hidden(window) == {"leg", "hinge"}
    assert session.chosen == ()
    wait_for_check(qtbot, window)
    assert [(one.kind, one.bodies) for one in session.sequence_study.findings] == before
    session.undo()
    assert hidden(window) == set()


def test_a_mark_in_the_menu_says_whether_it_is_so(window: MainWindow):
    hide, lock = window.commands["hide"], window.commands["lock"]
    window.session.choose("leg")
    assert (hide.isChecked(), lock.isChecked()) == (False, False)
    lock.trigger()
    assert lock.isChecked()
    window.session.choose_several(("leg", "door"))
    assert not lock.isChecked(), "not all of them are"
    lock.trigger()
    assert all(one.locked for one in window.session.project.bodies[1:3])
    lock.trigger()
    assert not any(one.locked for one in window.session.project.bodies)


def test_only_the_chosen_and_then_everything_is_shown(window: MainWindow):
    show_all = window.commands["show-all"]
    assert not show_all.isEnabled()
    window.session.choose_several(("airframe", "leg"))
    window.commands["show-only"].trigger()
    assert hidden(window) == {"door", "aft-door", "hinge", "aft-hinge"}
    assert window.session.chosen == ("airframe", "leg")
    assert show_all.isEnabled()
    show_all.trigger()
    assert hidden(window) == set()
    assert window.session.undo_label == "Show everything"


@pytest.mark.parametrize(("command", "then", "words"), [
    ("lay-higher", ["airframe", "door", "leg", "aft-door"], "Lay Nose leg one higher"),
    ("lay-lower", ["leg", "airframe", "door", "aft-door"], "Lay Nose leg one lower"),
    ("lay-top", ["airframe", "door", "aft-door", "leg"], "Lay Nose leg on top"),
    ("lay-bottom", ["leg", "airframe", "door", "aft-door"], "Lay Nose leg under all"),
])  # fmt: skip
def test_a_body_is_laid_over_and_under_others(qtbot, window: MainWindow, command, then, words):
    window.session.choose("leg")
    window.commands[command].trigger()
    assert order(window) == then
    assert window.session.undo_label == words
    assert window.session.chosen == ("leg",)
    wait_for_check(qtbot, window)
    window.session.undo()
    assert order(window) == ["airframe", "leg", "door", "aft-door"]


def test_bodies_stay_where_they_are_while_another_order_is_checked(qtbot, window: MainWindow):
    """The motion known so far goes by the bodies' ids, so that nothing jumps to where it was drawn."""
    window.session.set_moment(4.0)
    shown = window.sheet.shown
    before = dict(zip(order(window), shown.poses.tolist(), strict=True))
    assert before["leg"] != [0.0, 0.0, 0.0]
    window.session.choose("leg")
    window.commands["lay-top"].trigger()
    assert dict(zip(order(window), shown.poses.tolist(), strict=True)) == before
    wait_for_check(qtbot, window)
    assert dict(zip(order(window), shown.poses.tolist(), strict=True))["leg"] == pytest.approx(before["leg"])


@pytest.mark.parametrize(("command", "chosen", "line"), [
    ("hide", ("gear",), "Bodies and connections can be hidden"),
    ("lock", ("leg-up",), "Bodies and connections can be locked"),
    ("show-only", ("gear",), "what is to stay in sight"),
    ("lay-top", ("hinge",), "Bodies can be laid over each other"),
    ("lay-top", ("aft-door",), "They lie that way already"),
    ("tint-sky", ("hinge",), "Bodies can be tinted"),
])  # fmt: skip
def test_what_cannot_be_is_said_in_one_line_and_changes_nothing(window: MainWindow, command, chosen, line):
    said, before = said_by(window), window.session.project
    window.session.choose_several(chosen)
    window.commands[command].trigger()
    assert window.session.project is before
    assert len(said) == 1
    assert line in said[0]
    assert not window.commands[command].isChecked()


def test_a_tint_is_chosen_in_the_menu_and_marked_there(window: MainWindow):
    window.session.choose("leg")
    assert window.commands["tint-role"].isChecked()
    window.commands["tint-moss"].trigger()
    assert window.session.project.bodies[1].tint == "moss"
    assert [name for name in ("role", "sky", "moss") if window.commands[f"tint-{name}"].isChecked()] == ["moss"]
    window.commands["tint-role"].trigger()
    assert window.session.project.bodies[1].tint is None


def test_tints_are_shown_beside_their_names_in_either_theme(window: MainWindow):
    def icon(name: str, state: QIcon.State = QIcon.State.Off):
        return window.commands[f"tint-{name}"].icon().pixmap(QSize(16, 16), QIcon.Mode.Normal, state).toImage()

    window.commands["look-light"].trigger()
    light = icon("moss")
    assert light != icon("copper")
    assert light != icon("moss", QIcon.State.On), "the one in use has a dot"
    window.commands["look-dark"].trigger()
    assert icon("moss") != light
    assert window.commands["tint-role"].icon().isNull()


@pytest.mark.parametrize(("chosen", "command"), [
    (("leg",), "remove"), (("leg",), "cut"), (("door", "leg"), "remove"), (("leg", "door"), "cut"),
    (("leg", "aft-door"), "remove"), (("leg",), "nudge-left"), (("door", "airframe"), "join-bodies"),
])  # fmt: skip
def test_what_is_locked_is_not_removed_nor_changed_by_any_command(window: MainWindow, chosen, command):
    window.session.choose_several(("leg", "airframe"))
    window.commands["lock"].trigger()
    window.session.choose_several(chosen)
    said, before = said_by(window), window.session.project
    window.commands[command].trigger()
    assert window.session.project is before
    assert len(said) == 1
    assert window.session.chosen == chosen, "it is still in hand, to be freed"


def test_what_is_typed_of_a_locked_body_is_refused(window: MainWindow):
    window.session.choose("leg")
    window.commands["lock"].trigger()
    said, before = said_by(window), window.session.project
    entry = window.details.entries.fields["mass"]
    entry.entered.emit(12.0)
    assert window.session.project is before
    assert said == ["Nose leg is locked and stays as it is: free it first"]


@pytest.mark.parametrize(("key", "keys", "check"), [
    (Qt.Key.Key_V, Qt.KeyboardModifier.AltModifier, lambda body: body.hidden),
    (Qt.Key.Key_K, Qt.KeyboardModifier.AltModifier, lambda body: body.locked),
])  # fmt: skip
def test_it_is_done_by_keys(window: MainWindow, key, keys, check):
    window.session.choose("leg")
    window.sheet.canvases[0].setFocus()
    QTest.keyClick(window.sheet.canvases[0], key, keys)
    assert check(window.session.project.bodies[1])


def test_bodies_are_laid_higher_by_keys_in_the_list_too(window: MainWindow):
    window.session.choose("leg")
    window.details.lists.view.setFocus()
    both = Qt.KeyboardModifier.AltModifier | Qt.KeyboardModifier.ShiftModifier
    QTest.keyClick(window.details.lists.view, Qt.Key.Key_Up, both)
    assert order(window) == ["airframe", "door", "leg", "aft-door"]
