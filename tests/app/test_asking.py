"""Another program changes the file, the disk refuses, the folder goes: each is told with its choices, and whichever is
taken, nothing is lost."""

from __future__ import annotations

import errno
import os
import shutil
from pathlib import Path

import pytest
from PySide6.QtWidgets import QFileDialog

from app.dialogs.both import BothStates
from core.document.journal import FOLDER, Journal
from core.document.look_edits import SetLocked
from core.document.project import Project
from core.document.project_file import read_project, write_project
from core.document.step_time_edits import SetStepDuration
from core.errors import UnwritableProject
from core.sketch.body_edits import MoveBodies
from core.sketch.moving import Likeness
from tests.app.small_aircraft import small_aircraft
from tests.app.window import dialog_of, opened_window


def longer(seconds: float) -> SetStepDuration:
    return SetStepDuration("retract", "leg-up", seconds)


def duration(project: Project) -> float:
    return project.sequences[0].steps[1].duration


def theirs(seconds: float = 9.0) -> Project:
    return longer(seconds).apply(small_aircraft())


def beside(folder: Path) -> list[float]:
    """The durations in the copies beside the file."""
    found = []
    for copy in sorted(folder.glob("project-*.json")):
        kept = folder.parent / f"look-{copy.stem}"
        kept.mkdir()
        shutil.copyfile(copy, kept / "project.json")
        found.append(duration(read_project(kept)))
    return found


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "aircraft"


@pytest.fixture
def window(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as opened:
        yield opened


# ---- another program, while it is open ------------------------------------------------------------------------------


def changed_amid(window, folder: Path) -> None:
    """Mine is 5 s and not written yet; theirs is 9 s."""
    write_project(theirs(), folder)
    window.session.push(longer(5.0))
    assert not window.keeping.keeper.flush()
    assert window.question.isVisible()


def test_it_is_asked_about_and_nothing_is_written_until_answered(window, folder):
    changed_amid(window, folder)
    assert "changed by another program" in window.question.text
    assert duration(read_project(folder)) == 9.0
    window.session.push(longer(6.0))
    assert not window.keeping.keeper.flush()
    assert duration(read_project(folder)) == 9.0
    assert [one.text().replace("&", "") for one in window.question.buttons] == [
        "What you have", "What the file has", "See both…",
    ]  # fmt: skip


def test_mine_kept_theirs_is_beside(window, folder):
    changed_amid(window, folder)
    window.question.button("What you have").click()
    assert duration(read_project(folder)) == 5.0
    assert beside(folder) == [9.0]
    assert window.question.isHidden()
    assert not window.session.unsaved


def test_theirs_taken_mine_is_beside_and_one_undo_away(window, folder):
    changed_amid(window, folder)
    window.question.button("What the file has").click()
    assert duration(window.session.project) == 9.0
    assert duration(read_project(folder)) == 9.0
    assert beside(folder) == [5.0]
    assert window.question.isHidden()
    assert not window.session.unsaved
    window.session.undo()
    assert duration(window.session.project) == 5.0
    assert window.keeping.keeper.flush()
    assert duration(read_project(folder)) == 5.0


@pytest.mark.parametrize(("words", "left", "other"), [("&What you have", 5.0, 9.0), ("What the &file has", 9.0, 5.0)])
def test_both_are_looked_at_first(window, folder, words, left, other):
    changed_amid(window, folder)
    window.question.button("See both…").click()
    dialog = dialog_of(window, BothStates)
    assert dialog.lines.toPlainText() == "sequence Retract, step Leg up, duration: 5 here, 9 in the file"
    assert duration(read_project(folder)) == 9.0
    button = next(one for one in dialog.findChildren(type(window.question.buttons[0])) if one.text() == words)
    button.click()
    assert duration(window.session.project) == left
    assert duration(read_project(folder)) == left
    assert beside(folder) == [other]


def test_theirs_counts_also_where_mine_has_something_locked(window, folder):
    window.session.push(SetLocked(("leg",), True, "Lock leg"))
    moved = MoveBodies(("leg",), Likeness.moving(1.0, 0.0)).apply(small_aircraft())
    write_project(moved, folder)
    assert not window.keeping.keeper.flush()
    window.question.button("What the file has").click()
    assert window.session.project == moved
    assert window.question.isHidden()


def test_what_another_program_writes_at_the_very_moment_is_seen(window, folder, monkeypatch):
    def overtaken(project: Project, into: Path) -> None:
        write_project(project, into)
        write_project(theirs(), into)

    monkeypatch.setattr("app.keeper.write_project", overtaken)
    window.session.push(longer(5.0))
    assert window.keeping.keeper.flush()
    monkeypatch.undo()
    window.session.push(longer(6.0))
    assert not window.keeping.keeper.flush()
    assert window.question.isVisible()
    assert duration(read_project(folder)) == 9.0


def test_what_another_program_writes_while_its_state_is_taken_is_seen(window, folder, monkeypatch):
    changed_amid(window, folder)

    def overtaken(of: Path, **options: bool) -> Project:
        found = read_project(of, **options)
        write_project(theirs(7.0), of)
        return found

    monkeypatch.setattr("app.keeper.read_project", overtaken)
    window.question.button("What the file has").click()
    monkeypatch.undo()
    assert duration(window.session.project) == 9.0
    window.keeping.keeper.look()
    assert window.question.isVisible()
    assert duration(read_project(folder)) == 7.0


def test_it_is_seen_without_an_edit_of_mine(qtbot, window, folder):
    write_project(theirs(), folder)
    qtbot.waitUntil(window.question.isVisible)
    window.question.button("What the file has").click()
    assert duration(window.session.project) == 9.0


def test_what_is_the_same_is_no_question(window, folder):
    window.session.push(longer(5.0))
    file = folder / "project.json"
    write_project(theirs(5.0), folder)
    file.write_bytes(file.read_bytes() + b"\n")
    assert not window.keeping.keeper.flush()
    assert window.question.isHidden()
    assert not window.session.unsaved


def test_what_cannot_be_read_is_told_and_kept_beside(window, folder):
    (folder / "project.json").write_text("{")
    window.session.push(longer(5.0))
    assert not window.keeping.keeper.flush()
    assert "cannot be read" in window.question.text
    assert [one.text() for one in window.question.buttons] == ["&What you have", "Read it a&gain"]
    window.question.button("What you have").click()
    assert duration(read_project(folder)) == 5.0
    (copy,) = folder.glob("project-*.json")
    assert copy.read_text() == "{"


def test_saved_by_hand_theirs_is_beside(window, folder):
    changed_amid(window, folder)
    window.keeping.save()
    assert duration(read_project(folder)) == 5.0
    assert beside(folder) == [9.0]
    assert window.question.isHidden()


def test_left_unanswered_it_is_asked_again_and_nothing_is_lost(qtbot, tmp_path: Path, folder):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        changed_amid(window, folder)
    with opened_window(qtbot, tmp_path) as window:
        assert window.keeping.open(folder)
        assert window.question.isVisible()
        assert duration(window.session.project) == 9.0
        window.question.button("What you have").click()
        assert duration(window.session.project) == 5.0


# ---- another program, while it was not open -------------------------------------------------------------------------


@pytest.fixture
def reopened(qtbot, tmp_path: Path, folder):
    """Mine was 5 s; theirs, written while no window was open, is 9 s."""
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        window.session.push(longer(5.0))
        assert window.keeping.keeper.flush()
    write_project(theirs(), folder)
    with opened_window(qtbot, tmp_path) as window:
        assert window.keeping.open(folder)
        assert window.question.isVisible()
        assert duration(window.session.project) == 9.0
        yield window


def test_on_opening_theirs_taken_mine_is_beside(reopened, folder):
    reopened.question.button("What the file has").click()
    assert beside(folder) == [5.0]
    assert reopened.question.isHidden()
    assert duration(read_project(folder)) == 9.0


def test_on_opening_mine_kept_theirs_is_beside(reopened, folder):
    reopened.question.button("What you have").click()
    assert duration(reopened.session.project) == 5.0
    assert duration(read_project(folder)) == 5.0
    assert beside(folder) == [9.0]
    assert reopened.question.isHidden()
    reopened.session.redo()
    assert duration(reopened.session.project) == 9.0


def test_on_opening_who_goes_on_has_taken_theirs(reopened, folder):
    reopened.session.push(longer(10.0))
    assert reopened.question.isHidden()
    assert reopened.keeping.keeper.flush()
    assert duration(read_project(folder)) == 10.0
    reopened.session.undo()
    reopened.session.undo()
    assert duration(reopened.session.project) == 5.0


@pytest.fixture
def spoilt(qtbot, tmp_path: Path, folder):
    """Mine was 5 s; the file was broken off while no window was open."""
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        window.session.push(longer(5.0))
        assert window.keeping.keeper.flush()
    file = folder / "project.json"
    file.write_bytes(file.read_bytes()[:200])
    with opened_window(qtbot, tmp_path) as window:
        assert not window.keeping.open(folder)
        assert "The journal has the aircraft" in window.question.text
        yield window


def test_a_file_that_cannot_be_read_is_opened_as_the_journal_has_it(spoilt, folder):
    broken = (folder / "project.json").read_bytes()
    spoilt.question.button("Open what stood here").click()
    assert duration(spoilt.session.project) == 5.0
    assert duration(read_project(folder)) == 5.0
    (copy,) = folder.glob("project-*.json")
    assert copy.read_bytes() == broken
    assert spoilt.question.isHidden()
    spoilt.session.undo()
    assert spoilt.session.project == small_aircraft()


def test_left_as_it_is_nothing_is_changed(spoilt, folder):
    broken = (folder / "project.json").read_bytes()
    spoilt.question.button("Leave it").click()
    assert (folder / "project.json").read_bytes() == broken
    assert spoilt.session.project is None
    assert spoilt.question.isHidden()


# ---- the disk -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EACCES, errno.EROFS, errno.EIO])
def test_a_disk_that_refuses_is_told_with_choices_and_tried_again(window, folder, monkeypatch, code):
    def refuse(_file: Path, _data: bytes) -> None:
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr("core.document.project_file.put_in_place", refuse)
    window.session.push(longer(5.0))
    assert not window.keeping.keeper.flush()
    assert os.strerror(code) in window.question.text
    window.session.push(longer(6.0))
    assert window.question.isVisible(), "it is not put away by the next edit"
    assert duration(window.session.project) == 6.0
    window.question.button("Try again").click()
    assert window.question.isVisible()
    monkeypatch.undo()
    window.question.button("Try again").click()
    assert duration(read_project(folder)) == 6.0
    assert window.question.isHidden()


def test_elsewhere_is_asked_for(window, tmp_path: Path, monkeypatch):
    def refuse(_project: Project, folder: Path) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(folder))

    monkeypatch.setattr("app.keeper.write_project", refuse)
    window.session.push(longer(5.0))
    assert not window.keeping.keeper.flush()
    monkeypatch.undo()
    window.question.button("Save in another folder…").click()
    dialog = dialog_of(window, QFileDialog)
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    dialog.fileSelected.emit(str(elsewhere))
    assert window.session.folder == elsewhere
    assert duration(read_project(elsewhere)) == 5.0
    assert window.question.isHidden()


def test_a_folder_that_has_gone_is_told_and_made_again_when_asked(window, folder):
    shutil.rmtree(folder)
    window.session.push(longer(5.0))
    assert not window.keeping.keeper.flush()
    assert "is not there any more" in window.question.text
    assert not folder.exists(), "it is not made again unasked"
    window.question.button("Make it again").click()
    assert duration(read_project(folder)) == 5.0
    assert window.question.isHidden()
    window.session.push(longer(6.0))
    assert window.keeping.keeper.flush()


def test_a_folder_that_has_gone_is_told_as_such_whatever_could_not_be_written_first(window, folder, monkeypatch):
    def refuse(*_of: object) -> None:
        raise UnwritableProject(f"{folder / FOLDER / 'journal'}: could not be written: No such file or directory")

    shutil.rmtree(folder)
    window.keeping.keeper.look()
    monkeypatch.setattr(Journal, "push", refuse)
    window.session.push(longer(5.0))
    assert "is not there any more" in window.question.text


def test_a_folder_that_comes_back_is_gone_on_with(window, folder):
    away = folder.with_name("away")
    folder.rename(away)
    window.session.push(longer(5.0))
    assert not window.keeping.keeper.flush()
    away.rename(folder)
    window.question.button("Look again").click()
    assert window.question.isHidden()
    assert duration(read_project(folder)) == 5.0


def test_a_journal_that_cannot_be_is_told_with_choices_once_and_the_file_is_kept(qtbot, tmp_path: Path, folder):
    write_project(small_aircraft(), folder)
    (folder / FOLDER).write_text("a file where the journal's folder would be")
    with opened_window(qtbot, tmp_path) as window:
        assert window.keeping.open(folder)
        assert "journal: could not be written" in window.question.text
        window.question.button("Try again").click()
        assert window.question.isVisible()
        window.session.push(longer(5.0))
        assert window.keeping.keeper.flush()
        assert duration(read_project(folder)) == 5.0
        (folder / FOLDER).unlink()
        assert window.keeping.keeper.try_again()
        assert window.question.isHidden()
        history = Journal(folder).read().history
        assert (duration(history.project), len(history.undo)) == (5.0, 1)
