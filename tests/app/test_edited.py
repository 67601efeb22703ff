"""The way of a project that is edited, there and back."""

from __future__ import annotations

from msgspec.structs import replace

from app.edited import Edited
from core.document.history import History, Past
from core.document.project import Project
from tests.app.small_aircraft import small_aircraft

FIRST = small_aircraft()
SECOND, THIRD = (replace(FIRST, bodies=FIRST.bodies[:count]) for count in (1, 0))


def edited() -> Edited:
    it = Edited()
    it.open(FIRST, None)
    return it


def test_back_and_on_again_come_to_the_very_same_projects():
    it = edited()
    it.go_on("Cut", SECOND)
    it.go_on("Clear", THIRD)
    seen: list[Project | None] = []
    for step in (it.undo, it.undo, it.redo, it.redo):
        assert step()
        seen.append(it.project)
    assert [one is other for one, other in zip(seen, (SECOND, FIRST, SECOND, THIRD), strict=True)] == [True] * 4
    assert not it.redo()
    assert it.project is THIRD


def test_what_was_taken_back_is_gone_once_something_else_is_done():
    it = edited()
    it.go_on("Cut", SECOND)
    it.undo()
    assert (it.undo_label, it.redo_label) == (None, "Cut")
    it.go_on("Clear", THIRD)
    assert (it.undo_label, it.redo_label) == ("Clear", None)


def test_a_history_says_where_the_project_stands_and_the_file_what_is_saved():
    it = Edited()
    further = History(project=SECOND, undo=(Past(label="Cut", project=FIRST),), redo=())
    assert it.open(FIRST, further) is SECOND
    assert it.unsaved
    assert it.history == further
    it.mark_saved()
    assert not it.unsaved
    it.undo()
    assert it.unsaved
    assert it.project is FIRST


def test_without_a_project_there_is_no_way():
    it = Edited()
    assert it.history is None
    assert not it.undo()
