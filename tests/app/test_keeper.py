"""Every edit is on disk within a second, with its history; one window at a time; what others write is never lost."""

from __future__ import annotations

from pathlib import Path

from core.document.journal import FOLDER, Journal
from core.document.project import Aircraft, Project
from core.document.project_file import read_project
from core.document.step_time_edits import SetStepDuration
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window, wait_for_check

SAMPLES = Path(__file__).resolve().parents[2] / "sample_projects"


def longer(seconds: float) -> SetStepDuration:
    return SetStepDuration("retract", "leg-up", seconds)


def duration(project: Project) -> float:
    return project.sequences[0].steps[1].duration


def test_an_edit_is_in_the_file_within_a_second_and_in_the_journal_at_once(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        window.session.push(longer(5.0))
        history = Journal(tmp_path / "aircraft").read().history
        assert duration(history.project) == 5.0
        assert 0 <= window.keeping.keeper._soon.remainingTime() <= 1000
        qtbot.waitUntil(lambda: duration(read_project(tmp_path / "aircraft")) == 5.0)
        assert not window.session.unsaved


def test_history_comes_back_with_the_aircraft(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        window.session.push(longer(5.0))
        window.session.push(longer(6.0))
        window.session.undo()
    with opened_window(qtbot, tmp_path) as window:
        assert window.keeping.open(tmp_path / "aircraft")
        assert (window.session.undo_label, window.session.redo_label) == ("Change step duration",) * 2
        assert duration(window.session.project) == 5.0
        window.session.redo()
        assert duration(window.session.project) == 6.0


def test_what_a_killed_window_had_not_written_is_there_again(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        before = (tmp_path / "aircraft" / "project.json").read_bytes()
        window.session.push(longer(5.0))
        journal = (tmp_path / "aircraft" / FOLDER / "journal").read_bytes()
    (tmp_path / "aircraft" / "project.json").write_bytes(before)
    (tmp_path / "aircraft" / FOLDER / "journal").write_bytes(journal)
    with opened_window(qtbot, tmp_path) as window:
        assert window.keeping.open(tmp_path / "aircraft")
        assert duration(window.session.project) == 5.0
        assert "from the journal" in window.notice.text
        qtbot.waitUntil(lambda: duration(read_project(tmp_path / "aircraft")) == 5.0)


def test_a_second_window_looks_only(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as first, opened_window(qtbot, tmp_path) as second:
        assert second.keeping.open(tmp_path / "aircraft")
        assert "open in another window" in second.notice.text
        assert "looked at only" in second.windowTitle()
        second.session.push(longer(9.0))
        assert duration(second.session.project) == 4.0
        first.session.push(longer(5.0))
        qtbot.waitUntil(lambda: duration(read_project(tmp_path / "aircraft")) == 5.0)
        second.close()
        assert first.session.looked_at_only == ""


def test_the_lock_is_given_back(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()):
        assert (tmp_path / "aircraft" / FOLDER / "lock").exists()
    assert not (tmp_path / "aircraft" / FOLDER / "lock").exists()


def test_a_kill_between_the_file_and_its_note_is_no_change_by_another_program(qtbot, tmp_path: Path, monkeypatch):
    folder = tmp_path / "aircraft"
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        monkeypatch.setattr(Journal, "saved", lambda _journal, _written: None)
        window.session.push(longer(5.0))
        assert window.keeping.keeper.flush()
        window.session.push(longer(6.0))
        journal = (folder / FOLDER / "journal").read_bytes()
        written = (folder / "project.json").read_bytes()
    monkeypatch.undo()
    (folder / FOLDER / "journal").write_bytes(journal)
    (folder / "project.json").write_bytes(written)
    with opened_window(qtbot, tmp_path) as window:
        assert window.keeping.open(folder)
        assert window.question.isHidden()
        assert duration(window.session.project) == 6.0
        assert "from the journal" in window.notice.text


def test_a_new_aircraft_has_its_folder_from_the_start(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path) as window:
        for _ in range(2):
            window.keeping.begin(Project(aircraft=Aircraft(name="Pellow 3")))
        assert window.session.folder == tmp_path / "home" / "pellow-3-2"
        assert not window.session.unsaved


def test_a_sample_is_opened_as_a_copy(qtbot, tmp_path: Path):
    before = (SAMPLES / "pellow-3" / "project.json").read_bytes()
    with opened_window(qtbot, tmp_path) as window:
        assert window.keeping.open(SAMPLES / "pellow-3")
        wait_for_check(qtbot, window)
        assert window.session.folder == tmp_path / "home" / "pellow-3"
        assert (tmp_path / "home" / "pellow-3" / "drawings").is_dir()
    assert (SAMPLES / "pellow-3" / "project.json").read_bytes() == before
    assert not (SAMPLES / "pellow-3" / FOLDER).exists()


def test_a_sample_that_cannot_be_copied_is_only_looked_at(qtbot, tmp_path: Path):
    before = (SAMPLES / "pellow-3" / "project.json").read_bytes()
    (tmp_path / "home").write_text("a file where the folder would be")
    with opened_window(qtbot, tmp_path) as window:
        assert window.keeping.open(SAMPLES / "pellow-3")
        assert "No copy of the sample" in window.notice.text
        project = window.session.project
        window.session.push(SetStepDuration(project.sequences[0].id, project.sequences[0].steps[0].id, 9.0))
        assert window.session.project is project
    assert (SAMPLES / "pellow-3" / "project.json").read_bytes() == before
    assert not (SAMPLES / "pellow-3" / FOLDER).exists()
