"""Requests that replace each other, end badly, or are cut short. The work is made by hand: it waits at a gate."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator

import pytest
from msgspec.structs import replace

from app.aside import unforeseen
from app.session import Session
from app.study_runner import StudyRunner
from core.document.project import Project
from core.document.step_time_edits import SetStepDuration
from core.errors import CheckCancelled, SenselessRequest
from core.study import Asked, Study
from tests.app.empty_study import empty_study
from tests.app.small_aircraft import small_aircraft


class Workshop:
    """Work that waits at a gate; stops, as the real one does, when it is asked to."""

    def __init__(self) -> None:
        self.gate = threading.Event()
        self.asked: list[Project] = []
        self.looked_at: list[str | None] = []
        self.previous: list[Study | None] = []
        self.stopped: list[Project] = []
        self.error: Exception | None = None
        self.deaf = False
        self.others: tuple[str, ...] = ()
        """Sequences that wait where another is looked at."""
        self.threads: set[int] = set()

    def __call__(self, asked: Asked, /, *, previous=None, cancelled=None, newer=None) -> Study:
        project = asked.project
        self.looked_at.append(asked.looked_at)
        self.asked.append(project)
        self.previous.append(previous)
        self.threads.add(threading.get_ident())
        while not self.gate.wait(0.002):
            if cancelled() and not self.deaf:
                self.stopped.append(project)
                raise CheckCancelled
        if self.error is not None:
            raise self.error
        return empty_study(project, () if asked.looked_at is None else self.others)


@pytest.fixture
def workshop() -> Workshop:
    return Workshop()


@pytest.fixture
def session(qapp) -> Session:
    """Its hand rests only when `rest` says so, however long the machine takes over a move."""
    session = Session()
    session._rest.setInterval(3_600_000)
    return session


@pytest.fixture
def runner(session: Session, workshop: Workshop) -> Iterator[StudyRunner]:
    runner = StudyRunner(session, work=workshop)
    yield runner
    workshop.gate.set()
    assert runner.shut_down()


@pytest.fixture
def under_way(qtbot, session: Session, runner: StudyRunner, workshop: Workshop) -> Session:
    """An aircraft is open, and its first study waits at the gate."""
    session.open(small_aircraft(), None)
    qtbot.waitUntil(lambda: len(workshop.asked) == 1)
    return session


@pytest.fixture
def studied(qtbot, session: Session, runner: StudyRunner, workshop: Workshop) -> Session:
    """An aircraft is open and studied, and the gate stands open."""
    workshop.gate.set()
    session.open(small_aircraft(), None)
    qtbot.waitUntil(lambda: session.study_current)
    return session


def edit(session: Session, seconds: float) -> None:
    session.push(SetStepDuration("retract", "leg-up", seconds))


def test_a_study_comes_by_itself_and_from_another_thread(qtbot, session, runner, workshop):
    session.open(small_aircraft(), None)
    assert (runner.working, session.study_current) == (True, False)
    workshop.gate.set()
    qtbot.waitUntil(lambda: session.study_current)
    assert not runner.working
    assert threading.get_ident() not in workshop.threads


def test_a_newer_request_replaces_the_running_and_the_waiting_one(qtbot, under_way, workshop):
    for seconds in (5.0, 6.0, 7.0):
        edit(under_way, seconds)
    qtbot.waitUntil(lambda: len(workshop.asked) == 2)
    workshop.gate.set()
    qtbot.waitUntil(lambda: under_way.study_current)
    durations = [project.sequences[0].steps[1].duration for project in workshop.asked]
    assert durations == [4.0, 7.0], "what was overtaken while it waited is never begun"
    assert workshop.stopped == workshop.asked[:1]


def test_an_answer_that_comes_too_late_is_not_shown(qtbot, under_way, runner, workshop):
    workshop.deaf = True
    edit(under_way, 5.0)
    workshop.gate.set()
    qtbot.waitUntil(lambda: not runner.working)
    assert under_way.study.project is under_way.project


def test_the_study_before_goes_with_the_request(qtbot, studied, workshop):
    first = studied.study
    edit(studied, 5.0)
    qtbot.waitUntil(lambda: studied.study_current)
    assert workshop.previous == [None, first]


@pytest.mark.parametrize(
    ("error", "line"),
    [
        (SenselessRequest("steps a and b wait for each other"), "steps a and b wait for each other"),
        (ZeroDivisionError("float division\n by zero"), "ZeroDivisionError: float division by zero"),
    ],
)
def test_an_error_comes_back_as_one_line_and_the_next_request_works(qtbot, session, runner, workshop, error, line):
    lines: list[str] = []
    session.trouble.connect(lines.append)
    workshop.error = error
    workshop.gate.set()
    session.open(small_aircraft(), None)
    qtbot.waitUntil(lambda: not runner.working)
    assert (session.failure, lines) == (line, [line])
    assert not session.study_current
    workshop.error = None
    edit(session, 5.0)
    qtbot.waitUntil(lambda: session.study_current)
    assert session.failure is None


def test_shutting_down_cuts_the_work_short_and_waits_for_it(qtbot, under_way, runner, workshop):
    assert runner.shut_down()
    assert len(workshop.stopped) == 1
    edit(under_way, 5.0)
    assert len(workshop.asked) == 1, "nothing is begun any more"


def propose(session: Session, seconds: float) -> None:
    session.propose(SetStepDuration("retract", "leg-up", seconds))


def rest(qtbot, session: Session) -> None:
    session._rest.start(0)
    qtbot.waitUntil(lambda: not session.moving)
    session._rest.setInterval(3_600_000)


def test_what_the_hand_proposes_is_studied_and_goes_on_when_it_is_pushed(qtbot, session, runner, workshop):
    workshop.gate.set()
    session.open(replace(small_aircraft(), sequences=small_aircraft().sequences[:1]), None)
    qtbot.waitUntil(lambda: session.study_current)
    workshop.gate.clear()
    propose(session, 5.0)
    qtbot.waitUntil(lambda: len(workshop.asked) == 2)
    edit(session, 5.0)
    workshop.gate.set()
    qtbot.waitUntil(lambda: session.study_current)
    assert session.study.project is session.project
    assert len(workshop.asked) == 2, "what is under way for it already is not begun again"


def test_a_drag_does_not_stop_what_is_under_way_and_the_newest_draft_comes_next(qtbot, studied, workshop):
    workshop.gate.clear()
    for seconds in (5.0, 6.0, 7.0):
        propose(studied, seconds)
    qtbot.waitUntil(lambda: len(workshop.asked) == 2)
    seen: list[tuple[Project, bool, bool]] = []
    studied.study_changed.connect(
        lambda: seen.append((studied.study.project, studied.following, studied.study_current))
    )
    workshop.gate.set()
    qtbot.waitUntil(lambda: studied.study_current)
    assert seen[0] == (workshop.asked[1], True, False), "it is of where the hand was, and counts for no more"
    durations = [project.sequences[0].steps[1].duration for project in workshop.asked]
    assert (durations, workshop.stopped) == ([4.0, 5.0, 7.0], [])


def test_a_study_of_a_moment_ago_is_not_shown_once_the_hand_means_what_can_not_be(qtbot, studied, runner, workshop):
    settled = studied.study
    workshop.gate.clear()
    workshop.deaf = True
    propose(studied, 5.0)
    qtbot.waitUntil(lambda: len(workshop.asked) == 2)
    propose(studied, 1e6)
    assert studied.senseless
    workshop.gate.set()
    qtbot.waitUntil(lambda: not runner.working)
    assert studied.study is settled, "the project is shown, as it is"
    studied.withdraw()
    assert studied.study_current


def test_while_the_hand_moves_only_what_is_looked_at_is_studied_and_all_when_it_rests(qtbot, studied, workshop):
    workshop.others = ("extend",)
    propose(studied, 5.0)
    qtbot.waitUntil(lambda: studied.study.project is studied.shown)
    assert studied.study.behind
    assert studied.following
    assert not studied.study_current
    rest(qtbot, studied)
    qtbot.waitUntil(lambda: studied.study_current)
    assert workshop.looked_at == [None, "retract", None]
    assert not studied.moving


def test_what_is_studied_while_the_hand_rests_is_left_when_it_moves_on(qtbot, studied, runner, workshop):
    workshop.others = ("extend",)
    propose(studied, 5.0)
    qtbot.waitUntil(lambda: len(workshop.asked) == 2 and not runner.working)
    workshop.gate.clear()
    rest(qtbot, studied)
    qtbot.waitUntil(lambda: len(workshop.asked) == 3)
    propose(studied, 6.0)
    qtbot.waitUntil(lambda: len(workshop.asked) == 4)
    assert workshop.stopped == workshop.asked[2:3]
    workshop.gate.set()
    qtbot.waitUntil(lambda: not runner.working)
    rest(qtbot, studied)
    qtbot.waitUntil(lambda: studied.study_current)
    assert workshop.looked_at == [None, "retract", None, "retract", None]


def test_what_is_let_go_of_before_all_is_studied_is_studied_whole(qtbot, studied, workshop):
    workshop.others = ("extend",)
    propose(studied, 5.0)
    qtbot.waitUntil(lambda: studied.study.project is studied.shown)
    edit(studied, 5.0)
    assert not studied.study_current
    qtbot.waitUntil(lambda: studied.study_current)
    assert studied.study.behind == frozenset()
    assert studied.sound is studied.study


def begun_ahead(runner: StudyRunner, workshop: Workshop) -> list[Project]:
    """Has the work ask for what comes next as soon as it is done; what it was told."""
    begun: list[Project] = []

    def work(asked, /, *, newer, **others):
        study = workshop(asked, **others)
        if (following := newer()) is not None:
            begun.append(following.project)
        return study

    runner._work = work
    return begun


def test_what_is_begun_already_is_studied_next_and_then_what_is_newer(qtbot, studied, runner, workshop):
    begun = begun_ahead(runner, workshop)
    workshop.gate.clear()
    propose(studied, 5.0)
    propose(studied, 6.0)
    qtbot.waitUntil(lambda: len(workshop.asked) == 2)
    workshop.gate.set()
    wait_without_events(lambda: begun)
    propose(studied, 7.0)
    qtbot.waitUntil(lambda: studied.study_current)
    durations = [project.sequences[0].steps[1].duration for project in workshop.asked]
    assert (durations, workshop.stopped) == ([4.0, 5.0, 6.0, 7.0], [])
    assert begun == workshop.asked[2:], "the one that is newer was waiting when the other was done"


def test_what_is_begun_already_ends_when_the_hand_gives_up(qtbot, studied, runner, workshop):
    begun = begun_ahead(runner, workshop)
    before = studied.study
    workshop.gate.clear()
    propose(studied, 5.0)
    propose(studied, 6.0)
    qtbot.waitUntil(lambda: len(workshop.asked) == 2)
    workshop.gate.set()
    wait_without_events(lambda: begun)
    workshop.gate.clear()
    studied.withdraw()
    qtbot.waitUntil(lambda: not runner.working)
    assert workshop.stopped == begun
    assert studied.study is before


def wait_without_events(done) -> None:
    end = time.monotonic() + 240.0
    while not done():
        assert time.monotonic() < end
        time.sleep(0.002)


def test_what_is_taken_back_needs_no_new_check(qtbot, studied, runner, workshop):
    workshop.gate.clear()
    propose(studied, 5.0)
    qtbot.waitUntil(lambda: len(workshop.asked) == 2)
    studied.withdraw()
    assert studied.study_current
    qtbot.waitUntil(lambda: not runner.working)
    assert len(workshop.asked) == 2
    assert studied.study_current


def test_shutting_down_amid_a_drag_ends_cleanly(qtbot, studied, runner, workshop):
    workshop.gate.clear()
    propose(studied, 5.0)
    qtbot.waitUntil(lambda: len(workshop.asked) == 2)
    assert runner.shut_down()
    propose(studied, 6.0)
    assert len(workshop.asked) == 2


def test_an_error_without_words_is_still_a_line():
    assert unforeseen(KeyError()) == "KeyError"
