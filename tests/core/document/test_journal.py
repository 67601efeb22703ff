"""Every finished edit is kept, whatever happens afterwards."""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule
from msgspec.structs import replace

from core.document import locks
from core.document.history import History
from core.document.journal import FOLDER, NAME, Journal, check_sum, check_sum_of, open_folder
from core.document.journal_records import HEAD
from core.document.locks import Lock
from core.document.project import Aircraft, Project
from core.document.project_file import read_project, write_project
from core.errors import UnwritableProject

BASE = Project(aircraft=Aircraft(name="Merrow T.2", scale=12))


def noted(number: int) -> Project:
    return replace(BASE, aircraft=replace(BASE.aircraft, note=f"edit {number}"))


def push(folder: Path, number: int) -> None:
    with Journal(folder) as journal:
        journal.push(f"Edit {number}", noted(number))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    write_project(BASE, tmp_path)
    Journal(tmp_path).begin(History(project=BASE), check_sum(tmp_path / "project.json"))
    return tmp_path


def test_edits_undo_and_redo_come_back(folder):
    with Journal(folder) as journal:
        for number in range(4):
            journal.push(f"Edit {number}", noted(number))
        journal.undo()
        journal.undo()
        journal.redo()
    history = Journal(folder).read().history
    assert history.project == noted(2)
    assert [one.label for one in history.undo] == ["Edit 0", "Edit 1", "Edit 2"]
    assert [one.label for one in history.redo] == ["Edit 3"]
    assert history.undone().project == noted(1)
    assert history.redone().project == noted(3)


def test_a_number_out_of_an_array_is_kept_as_any_other(folder):
    scaled = replace(BASE, least_clearance=np.float64(0.25))
    with Journal(folder) as journal:
        journal.push("Change least clearance", scaled)
    assert open_folder(folder, read_project(folder)).history.project == scaled


def test_edits_that_were_not_in_the_file_yet_are_recovered(folder):
    push(folder, 1)
    found = open_folder(folder, read_project(folder))
    assert found.recovered
    assert found.history.project == noted(1)


def test_a_file_that_another_program_changed_counts_and_can_be_undone(folder):
    push(folder, 1)
    write_project(noted(9), folder)
    found = open_folder(folder, read_project(folder))
    assert (found.changed_outside, found.recovered) == (True, False)
    assert found.history.project == noted(9)
    assert found.history.undone().project == noted(1)


@pytest.mark.parametrize("written", [False, True])
def test_killed_amid_saving_with_an_edit_after_it(folder, written):
    with Journal(folder) as journal:
        journal.push("Edit 1", noted(1))
        journal.saving(check_sum_of(noted(1)))
        journal.push("Edit 2", noted(2))
    if written:
        write_project(noted(1), folder)
    found = open_folder(folder, read_project(folder))
    assert (found.recovered, found.changed_outside) == (True, False)
    assert found.history.project == noted(2)
    with Journal(folder) as journal:
        journal.go_on(found, check_sum(folder / "project.json"))
        journal.push("Edit 3", noted(3))
    assert not open_folder(folder, read_project(folder)).changed_outside


def test_an_earlier_file_that_was_put_back_counts_as_changed(folder):
    first = (folder / "project.json").read_bytes()
    with Journal(folder) as journal:
        journal.push("Edit 1", noted(1))
        journal.saving(check_sum_of(noted(1)))
        write_project(noted(1), folder)
        journal.saved(check_sum_of(noted(1)))
        journal.push("Edit 2", noted(2))
    (folder / "project.json").write_bytes(first)
    found = open_folder(folder, read_project(folder))
    assert found.changed_outside
    assert found.history.project == BASE


def test_a_folder_without_a_journal_has_no_history(tmp_path):
    assert open_folder(tmp_path, BASE).history == History(project=BASE)


@pytest.mark.parametrize("cut", [1, 5, 9, 40])
def test_a_torn_record_is_left_out_and_written_over(folder, cut):
    journal = Journal(folder)
    journal.push("Edit 1", noted(1))
    journal.push("Edit 2", noted(2))
    journal.close()
    whole = journal.path.read_bytes()
    journal.path.write_bytes(whole[:-cut])
    history = Journal(folder).read().history
    assert history.project == noted(1)
    push(folder, 3)
    history = Journal(folder).read().history
    assert history.project == noted(3)
    assert [one.label for one in history.undo] == ["Edit 1", "Edit 3"]


def test_bytes_that_went_bad_take_nothing_earlier_with_them(folder):
    journal = Journal(folder)
    for number in range(5):
        journal.push(f"Edit {number}", noted(number))
    journal.close()
    data = bytearray(journal.path.read_bytes())
    data[-60] ^= 0xFF
    journal.path.write_bytes(bytes(data))
    history = Journal(folder).read().history
    assert len(history.undo) >= 3


def test_what_is_no_journal_is_not_one(folder):
    (folder / FOLDER / NAME).write_bytes(b"something else")
    assert Journal(folder).read() is None
    with pytest.raises(UnwritableProject):
        Journal(folder).push("Edit", noted(1))


def test_a_journal_written_anew_keeps_the_newest(folder):
    history = History(project=BASE)
    for number in range(150):
        history = history.pushed(f"Edit {number}", noted(number))
    history = history.undone().undone()
    Journal(folder).begin(history, "sum")
    told = Journal(folder).read()
    assert (told.sums, told.whole) == (("sum",), True)
    again = told.history
    assert again.project == history.project
    assert len(again.undo) == 100
    assert again.redo == history.redo


def test_a_journal_that_cannot_be_written_is_told(folder, monkeypatch):
    def full(_descriptor):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(UnwritableProject, match="No space left"):
        Journal(folder).push("Edit", noted(1))


def test_a_folder_that_was_taken_away_is_told_and_not_made_again(folder):
    journal = Journal(folder)
    journal.push("Edit 1", noted(1))
    folder.rename(folder.with_name("elsewhere"))
    for write in (lambda: journal.push("Edit 2", noted(2)), lambda: journal.begin(History(project=BASE), "")):
        with pytest.raises(UnwritableProject, match="No such file"):
            write()
    assert not folder.exists()
    folder.mkdir()
    with pytest.raises(UnwritableProject):
        journal.push("Edit 3", noted(3))


def test_a_file_of_a_newer_version_is_not_taken_for_changed(folder):
    file = folder / "project.json"
    text = file.read_text().replace('"version": 1', '"version": 2, "views": [{"id": "a", "plane": "round"}, 7]')
    file.write_text(text)
    project = read_project(folder)
    assert project.extra
    Journal(folder).begin(History(project=project), check_sum(file))
    found = open_folder(folder, read_project(folder))
    assert (found.recovered, found.changed_outside) == (False, False)
    assert found.history.project == project


def test_one_window_at_a_time(folder):
    mine, other = Lock(folder, "a"), Lock(folder, "b")
    assert mine.take() is None
    assert mine.take() is None
    assert other.take().token == "a"
    mine.give_back()
    assert other.take() is None
    mine.give_back()
    assert other.holder() is not None, "only who holds it gives it back"


def test_the_lock_of_a_process_that_is_gone_is_taken_over(folder):
    gone = subprocess.run([sys.executable, "-c", "import os; print(os.getpid())"], capture_output=True, check=True)
    lock = Lock(folder, "a")
    lock.take()
    file = folder / FOLDER / "lock"
    file.write_text(file.read_text().replace(str(os.getpid()), gone.stdout.decode().strip()))
    assert Lock(folder, "b").take() is None


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="the system does not tell when a process began")
def test_a_later_process_of_the_same_number_does_not_hold_the_lock(folder):
    Lock(folder, "a").take()
    file = folder / FOLDER / "lock"
    held = json.loads(file.read_text())
    assert Lock(folder, "b").take() is not None
    file.write_text(json.dumps(held | {"started": held["started"] + "0"}))
    assert Lock(folder, "b").take() is None


@pytest.mark.parametrize("text", ["", "[]", '{"pid": "x"}', '{"pid": -1, "host": "", "token": ""}'])
def test_what_is_no_lock_is_taken_over(folder, text):
    (folder / FOLDER / "lock").write_text(text.replace('"host": ""', f'"host": "{socket.gethostname()}"'))
    assert Lock(folder, "b").take() is None


def test_what_was_killed_while_it_cleared_a_lock_away_is_not_waited_for(folder, monkeypatch):
    monkeypatch.setattr(locks, "TRIES", 2)
    (folder / FOLDER / "lock").write_text("")
    (folder / FOLDER / "lock-turn").touch()
    assert Lock(folder, "b").take() is None


def test_what_halts_while_it_clears_a_lock_away_is_not_taken_for_killed(folder, monkeypatch):
    """When it goes on it would clear away the lock of who came after it, and two windows would write."""
    monkeypatch.setattr(locks, "TRIES", 3)
    (folder / FOLDER / "lock").write_text("")
    with (folder / FOLDER / "lock-turn").open("ab") as turn:
        assert locks._alone_with(turn)
        os.utime(folder / FOLDER / "lock-turn", (0, 0))
        assert Lock(folder, "b").take().pid == 0
        assert (folder / FOLDER / "lock").read_text() == ""
    assert Lock(folder, "b").take() is None


def test_a_lock_needs_no_file_of_two_names(folder, monkeypatch):
    def refuse(_self, _target):
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(Path, "hardlink_to", refuse)
    assert Lock(folder, "a").take() is None
    assert Lock(folder, "b").take().token == "a"


def test_of_many_who_find_a_lock_of_a_process_that_is_gone_one_takes_it(folder):
    for turn in range(20):
        (folder / FOLDER / "lock").write_text(
            json.dumps({"pid": 1 << 22, "host": socket.gethostname(), "token": f"gone {turn}"})
        )
        with ThreadPoolExecutor(8) as pool:
            taken = list(pool.map(lambda one: Lock(folder, one).take(), [f"{turn}-{one}" for one in range(8)]))
        assert taken.count(None) == 1
        assert not list((folder / FOLDER).glob("*.tmp"))


class Editing(RuleBasedStateMachine):
    """Random editing: what the journal tells agrees with what was done, after each step."""

    def __init__(self) -> None:
        super().__init__()
        self._place = tempfile.TemporaryDirectory()
        self.folder = Path(self._place.name)
        write_project(BASE, self.folder)
        self.history = History(project=BASE)
        self.journal = Journal(self.folder)
        self.journal.begin(self.history, check_sum(self.folder / "project.json"))

    def teardown(self) -> None:
        self.journal.close()
        self._place.cleanup()

    @rule(number=st.integers(0, 9))
    def edit(self, number: int) -> None:
        if noted(number) != self.history.project:
            self.history = self.history.pushed(f"Edit {number}", noted(number))
            self.journal.push(f"Edit {number}", noted(number))

    @precondition(lambda self: self.history.undo)
    @rule()
    def undo(self) -> None:
        self.history = self.history.undone()
        self.journal.undo()

    @precondition(lambda self: self.history.redo)
    @rule()
    def redo(self) -> None:
        self.history = self.history.redone()
        self.journal.redo()

    @rule()
    def save(self) -> None:
        write_project(self.history.project, self.folder)
        self.journal.saved(check_sum(self.folder / "project.json"))
        assert check_sum(self.folder / "project.json") == check_sum_of(self.history.project)

    @rule()
    def restart(self) -> None:
        self.journal.close()
        found = open_folder(self.folder, read_project(self.folder))
        assert found.history == self.history
        self.journal = Journal(self.folder)

    @rule()
    def begin_anew(self) -> None:
        self.journal.begin(self.history, check_sum(self.folder / "project.json"))

    @invariant()
    def the_journal_agrees(self) -> None:
        told = Journal(self.folder).read()
        assert told is not None
        assert told.history == self.history


Editing.TestCase.settings = settings(max_examples=15, stateful_step_count=20, deadline=None)
TestEditing = Editing.TestCase


def test_a_journal_begins_with_its_name(folder):
    assert (folder / FOLDER / NAME).read_bytes().startswith(HEAD)
