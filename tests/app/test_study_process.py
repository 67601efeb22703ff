"""Studies in a process of their own: the same as made here, cut short, failing, and made here when it is gone."""

from __future__ import annotations

import io
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import IO

import numpy as np
import pytest
from msgspec.structs import replace

from app import study_process
from app.study_process import StudyFailed, StudyProcess
from core.document.project import Project
from core.document.project_file import read_project
from core.document.step_time_edits import SetStepDuration
from core.drawing.sweep_sheet import sweeps_of
from core.errors import CheckCancelled
from core.parcels import Receiver, Sender
from core.serving import Answer, packed, read_message, unpacked, write_message
from core.study import Asked, Study, run
from tests.app.small_aircraft import small_aircraft

ROOT = Path(__file__).parents[2]
SAMPLES = ROOT / "sample_projects"
STARTS_WITHIN = 240.0


def never() -> bool:
    return False


@pytest.fixture(scope="module")
def studies() -> Iterator[StudyProcess]:
    made = StudyProcess()
    until(lambda: made.ready)
    yield made
    made.shut_down()


def until(done) -> None:
    end = time.monotonic() + STARTS_WITHIN
    while not done():
        assert time.monotonic() < end
        time.sleep(0.02)


def halted(studies: StudyProcess, monkeypatch: pytest.MonkeyPatch) -> None:
    """Have the process halt until it is told to stop what is under way, so that it cannot be done with it before."""
    if os.name != "posix":
        return
    send = studies._send

    def sent(asked: Asked | None) -> bool:
        there = send(asked)
        if asked is None:
            os.kill(studies.pid, signal.SIGCONT)
        return there

    monkeypatch.setattr(studies, "_send", sent)
    os.kill(studies.pid, signal.SIGSTOP)


def told(study: Study) -> list[object]:
    return [(one.kind, one.bodies, one.sentence, one.time) for part in study.sequences for one in part.findings]


def test_it_finds_what_is_found_here_and_of_the_very_project(studies):
    project = small_aircraft()
    there, here = studies(Asked(project), previous=None, cancelled=never), run(project)
    assert there.project is project
    assert told(there) == told(here) != []
    for one, other in zip(there.sequences, here.sequences, strict=True):
        np.testing.assert_array_equal(one.motion.poses, other.motion.poses)
        np.testing.assert_array_equal(one.motion.poses_at(np.array([0.31])), other.motion.poses_at(np.array([0.31])))
        np.testing.assert_array_equal(one.interference.gaps, other.interference.gaps)
        assert one.interference.clearances == other.interference.clearances


def test_what_is_swept_is_known_of_it_as_of_one_made_here(studies):
    project = read_project(SAMPLES / "merrow-t2")
    there, here = studies(Asked(project), previous=None, cancelled=never), run(project)
    assert there.sequences[0].interference.track is None
    areas = [sweeps_of(one, one.sequences[0], ("wheel",))[0].sweep.area for one in (there, here)]
    assert areas[0].equals_exact(areas[1], 0.0)


def test_one_edit_after_another_is_studied_from_the_one_before(studies):
    project = small_aircraft()
    for seconds in (3.0, 5.0, 4.0):
        project = SetStepDuration("retract", "leg-up", seconds).apply(project)
        assert told(studies(Asked(project), previous=None, cancelled=never)) == told(run(project))


def test_what_is_cut_short_is_stopped_and_the_next_answer_is_to_the_next_request(studies, monkeypatch):
    project = small_aircraft()
    halted(studies, monkeypatch)
    with pytest.raises(CheckCancelled):
        studies(Asked(SetStepDuration("retract", "leg-up", 30.0).apply(project)), previous=None, cancelled=lambda: True)
    assert told(studies(Asked(project), previous=None, cancelled=never)) == told(run(project))


def longer(seconds: float) -> Project:
    return SetStepDuration("retract", "leg-up", seconds).apply(small_aircraft())


def test_what_comes_next_is_begun_before_it_is_called_for(studies):
    first, second, third = (Asked(longer(seconds)) for seconds in (3.0, 5.0, 4.0))
    assert told(studies(first, previous=None, cancelled=never, newer=lambda: second)) == told(run(first.project))
    there = studies(second, previous=None, cancelled=never, newer=lambda: third)
    assert there.project is second.project
    assert told(there) == told(run(second.project))
    assert told(studies(third, previous=None, cancelled=never)) == told(run(third.project))


def test_what_was_begun_and_is_not_called_for_is_left(studies, monkeypatch):
    first, second, third = (Asked(longer(seconds)) for seconds in (3.0, 30.0, 4.0))
    studies(first, previous=None, cancelled=never, newer=lambda: second)
    assert told(studies(third, previous=None, cancelled=never)) == told(run(third.project))
    studies(first, previous=None, cancelled=never, newer=lambda: halted(studies, monkeypatch) or second)
    with pytest.raises(CheckCancelled):
        studies(second, previous=None, cancelled=lambda: True)
    assert told(studies(third, previous=None, cancelled=never)) == told(run(third.project))


def test_what_is_not_looked_at_may_wait(studies):
    project = read_project(SAMPLES / "skarn-p9")
    looked_at, other = (one.id for one in project.sequences)
    studies(Asked(project), previous=None, cancelled=never)
    moved = SetStepDuration(looked_at, project.sequences[0].steps[0].id, 2.5).apply(
        replace(project, least_clearance=project.least_clearance + 0.1)
    )
    there = studies(Asked(moved, looked_at), previous=None, cancelled=never)
    assert there.behind == {other}
    whole = studies(Asked(moved), previous=None, cancelled=never)
    assert whole.behind == frozenset()
    assert told(whole) == told(run(moved))


def test_a_fault_comes_back_as_one_line_and_the_next_request_works(studies):
    project = small_aircraft()
    broken = Project(aircraft=project.aircraft, views=project.views, bodies=project.bodies[:1],
                     connections=project.connections, drives=project.drives)  # fmt: skip
    with pytest.raises(StudyFailed, match=r"\AKeyError: .*"):
        studies(Asked(broken), previous=None, cancelled=never)
    assert told(studies(Asked(project), previous=None, cancelled=never)) == told(run(project))


def test_what_was_studied_here_before_it_was_ready_it_studies_first(monkeypatch):
    greets = threading.Event()

    def read(stream: IO[bytes]) -> bytes | None:
        greets.wait()
        return read_message(stream)

    monkeypatch.setattr(study_process, "read_message", read)
    studies = StudyProcess()
    project = small_aircraft()
    assert not studies.ready
    assert told(studies(Asked(project), previous=None, cancelled=never)) == told(run(project))
    greets.set()
    until(lambda: studies.ready)
    assert studies._ahead is not None
    assert studies._ahead.project is project
    after = longer(5.0)
    assert told(studies(Asked(after), previous=None, cancelled=never)) == told(run(after))
    studies.shut_down()


def test_without_its_process_it_studies_here():
    studies = StudyProcess()
    until(lambda: studies.ready)
    os.kill(studies.pid, 9)
    project = small_aircraft()
    assert told(studies(Asked(project), previous=None, cancelled=never)) == told(run(project))
    until(lambda: not studies.ready)
    studies.shut_down()


def test_it_ends_with_whoever_began_it(monkeypatch):
    monkeypatch.setattr(study_process, "PATIENCE", STARTS_WITHIN)
    studies = StudyProcess()
    process = studies._process
    assert isinstance(process, subprocess.Popen)
    until(lambda: studies.ready)
    studies.shut_down()
    assert process.returncode == 0
    assert studies.pid is None


BEGINS_ONE = """
import signal
import time
from app.study_process import StudyProcess

signal.signal(signal.SIGINT, signal.SIG_DFL)
studies = StudyProcess()
while not studies.ready:
    time.sleep(0.02)
print("ready", flush=True)
time.sleep(300)
"""


@pytest.mark.skipif(os.name != "posix", reason="a terminal's Ctrl-C goes to a group of processes")
def test_ctrl_c_in_the_terminal_ends_it_without_a_word():
    pipe = subprocess.PIPE
    with subprocess.Popen(
        [sys.executable, "-c", BEGINS_ONE], cwd=ROOT, stdout=pipe, stderr=pipe, start_new_session=True
    ) as window:
        assert window.stdout is not None
        assert window.stdout.readline() == b"ready\n"
        os.killpg(window.pid, signal.SIGINT)
        _, said = window.communicate(timeout=STARTS_WITHIN)  # there until the last that may say something is gone
    assert said == b""
    assert window.returncode == -signal.SIGINT


def test_messages_are_read_whole_or_not_at_all():
    stream = io.BytesIO()
    write_message(stream, b"one")
    write_message(stream, packed(None))
    whole = stream.getvalue()
    back = io.BytesIO(whole)
    assert read_message(back) == b"one"
    assert read_message(back) == packed(None)
    assert read_message(back) is None
    assert read_message(io.BytesIO(whole[:10])) is None


def test_an_answer_without_a_study_says_why():
    project = small_aircraft()
    parcel = Sender().parcel(Answer(why="no way"))
    assert unpacked(Receiver(), parcel, project) == Answer(why="no way")
