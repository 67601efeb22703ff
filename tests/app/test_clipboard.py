"""Copied, cut and pasted through two windows; and what a clipboard may hold besides."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QMimeData, Qt
from PySide6.QtGui import QGuiApplication, QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit

from app.clipboard import PARTS
from app.main_window import MainWindow
from core.document.project import Aircraft, Project, View
from tests.app.sheet.tools.things import aircraft
from tests.app.window import opened_window


@pytest.fixture
def window(qtbot, tmp_path: Path) -> Iterator[MainWindow]:
    QGuiApplication.clipboard().clear()
    with opened_window(qtbot, tmp_path / "one", aircraft()) as opened:
        yield opened
    QGuiApplication.clipboard().clear()


def do(window: MainWindow, *commands: str) -> None:
    for command in commands:
        window.commands[command].trigger()


def said_by(window: MainWindow) -> list[str]:
    said: list[str] = []
    window.session.trouble.connect(said.append)
    return said


def put(data: bytes) -> None:
    mime = QMimeData()
    mime.setData(PARTS, data)
    QGuiApplication.clipboard().setMimeData(mime)


def test_a_linkage_is_pasted_beside_itself_chosen_and_undone_at_once(window: MainWindow):
    session = window.session
    before = session.project
    session.choose_several(("bay", "leg"))
    do(window, "copy")
    assert session.project is before
    do(window, "paste")
    assert session.chosen == ("bay-2", "leg-2")
    assert session.project.connections[-1].bodies == ("bay-2", "leg-2")
    assert session.project.connections[-1].at == (8.0, -8.0), "a tenth of the bay's 80 mm"
    assert session.project.drives[-1].on == session.project.connections[-1].id
    assert session.undo_label == "Paste 2 bodies"
    session.undo()
    assert session.project is before


def test_what_is_cut_in_one_window_is_pasted_in_another(qtbot, tmp_path: Path, window: MainWindow):
    other = Project(
        aircraft=Aircraft(name="Skarn P.9"), views=(View(id="front", plane="front"), View(id="flank", plane="side"))
    )
    window.session.choose_several(("bay", "leg", "door"))
    do(window, "cut")
    assert [one.id for one in window.session.project.bodies] == ["link"]
    assert window.session.chosen == ()
    assert window.session.undo_label == "Cut 3 bodies"
    with opened_window(qtbot, tmp_path / "two", other) as second:
        do(second, "paste")
        project = second.session.project
        assert [(one.id, one.view) for one in project.bodies] == [("bay", "flank"), ("leg", "flank"), ("door", "flank")]
        assert [one.bodies for one in project.connections] == [("bay", "leg"), ("leg", "door")]
        assert second.sheet.looked_at == "flank", "what was pasted is shown"
        second.session.undo()
        assert second.session.project.bodies == ()
    window.session.undo()
    assert len(window.session.project.bodies) == 4


def test_nothing_chosen_that_is_a_body_leaves_the_clipboard_alone(window: MainWindow):
    QGuiApplication.clipboard().setText("a note")
    said, before = said_by(window), window.session.project
    window.session.choose("trunnion")
    do(window, "copy", "cut")
    assert window.session.project is before
    assert QGuiApplication.clipboard().text() == "a note"
    assert len(said) == 2
    assert "Only bodies can be copied" in said[0]


def test_other_things_on_the_clipboard_are_left_with_one_line(window: MainWindow):
    said, before = said_by(window), window.session.project
    QGuiApplication.clipboard().setText("a note")
    do(window, "paste")
    assert window.session.project is before
    assert said == ["There are no bodies on the clipboard: choose some and copy them first"]


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"{",
        b"\xff\xfe",
        b"[]",
        b'{"format": "bayfold-project", "version": 1}',
        b'{"format": "bayfold-project", "version": 1, "aircraft": {"name": "Pellow 3"}}',
        b'{"format": "bayfold-project", "version": 1, "aircraft": {"name": "Pellow 3"}, "views": [{"id": "side"}], '
        b'"bodies": [{"id": "a", "view": "gone", "shapes": []}]}',
        b'{"format": "bayfold-project", "version": 1, "aircraft": {"name": "Pellow 3"}, "views": [{"id": "side"}], '
        b'"bodies": [{"id": "a", "view": "side", "shapes": [{"kind": "circle", "centre": [0, NaN], "radius": 1}]}]}',
        b'{"format": "bayfold-project", "version": 1, "aircraft": {"name": "Pellow 3"}, "views": [{"id": "side"}], '
        b'"bodies": [{"id": "a", "view": "side", "shapes": [{"kind": "circle", "centre": [0, 0], "radius": -1}]}]}',
    ],
)
def test_what_makes_no_sense_is_refused_as_a_file_would_be(window: MainWindow, data: bytes):
    said, before = said_by(window), window.session.project
    put(data)
    do(window, "paste")
    assert window.session.project is before
    assert len(said) == 1
    assert "\n" not in said[0]
    assert "cannot be pasted" in said[0] or "no bodies" in said[0]


def test_an_aircraft_that_is_only_looked_at_gives_and_does_not_take(window: MainWindow):
    session = window.session
    session.look_only("Another window has it open")
    said, before = said_by(window), session.project
    session.choose("door")
    do(window, "copy", "paste", "cut")
    assert session.project is before
    assert session.chosen == ("door",)
    assert said == ["Another window has it open"] * 2


def test_pasted_by_keys_and_not_while_a_text_is_written(qtbot, window: MainWindow):
    window.session.choose("door")
    window.sheet.canvases[0].setFocus()
    for key in (Qt.Key.Key_C, Qt.Key.Key_V):
        QTest.keyClick(window.sheet.canvases[0], key, Qt.KeyboardModifier.ControlModifier)
    assert len(window.session.project.bodies) == 5
    after = window.session.project
    field = QLineEdit("a note", window)
    field.show()
    field.setFocus()
    qtbot.waitUntil(field.hasFocus)
    field.selectAll()
    for key in (Qt.Key.Key_X, Qt.Key.Key_V, Qt.Key.Key_V):
        QTest.keyClick(field, key, Qt.KeyboardModifier.ControlModifier)
    assert field.text() == "a notea note"
    assert window.session.project is after


@pytest.mark.parametrize(
    ("command", "standard"),
    [
        ("cut", QKeySequence.StandardKey.Cut),
        ("copy", QKeySequence.StandardKey.Copy),
        ("paste", QKeySequence.StandardKey.Paste),
    ],
)
def test_the_keys_are_those_of_the_desktop(window: MainWindow, command: str, standard: QKeySequence.StandardKey):
    assert window.commands[command].shortcuts()[0] in QKeySequence.keyBindings(standard)


def test_a_copy_outlives_a_change_of_what_was_copied(window: MainWindow):
    session = window.session
    session.choose("door")
    do(window, "copy", "remove", "paste")
    (door,) = (one for one in session.project.bodies if one.name == "Door")
    assert replace(door, shapes=()) == replace(aircraft().bodies[2], shapes=())
