"""Names in the menu bar: as people wrote them, and no wider than there is room for."""

from __future__ import annotations

from pathlib import Path

from msgspec.structs import replace
from PySide6.QtWidgets import QMenu

from core.document.project_file import write_project
from core.sketch.body_edits import ReplaceBody
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window, settings_in


def menu_of(window, title: str) -> QMenu:
    (found,) = (one for one in window.findChildren(QMenu) if one.title() == title)
    return found


def test_an_ampersand_in_a_name_is_read_and_marks_no_key(qtbot, tmp_path: Path):
    project = small_aircraft()
    project = replace(project, sequences=tuple(replace(one, name="Doors & leg") for one in project.sequences))
    with opened_window(qtbot, tmp_path, project) as window:
        assert menu_of(window, "&Choose").actions()[0].text() == "Doors && leg"
        door = next(body for body in project.bodies if body.id == "door")
        window.session.push(ReplaceBody(replace(door, name="Left & right door"), "Rename"))
        assert window.commands["undo"].text() == "&Undo: rename: Left && right door"


def test_a_deep_folder_leaves_the_menu_on_the_screen_and_is_told_whole_below(qtbot, tmp_path: Path):
    deep = tmp_path / "models of aircraft with undercarriages" / (4 * "after the sheets & notes, ") / "Merrow"
    write_project(small_aircraft(), deep)
    settings_in(tmp_path).remember(deep)
    with opened_window(qtbot, tmp_path) as window:
        menu = menu_of(window, "Opened &lately")
        (row, *_) = menu.actions()
        assert menu.sizeHint().width() < 800
        assert row.text().startswith("Merrow   ")
        assert row.statusTip() == str(deep)
