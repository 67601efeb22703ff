"""A trial stands in place of the project in all that is shown, and nothing of it touches the project."""

from __future__ import annotations

import pytest

from app.session import IN_TRIAL, Session
from core.document.joint_edits import RenameDrive
from core.document.step_time_edits import SetStepDuration
from core.trials.fault import Late, Stuck
from core.trials.trial import Trial
from tests.app.empty_study import empty_study
from tests.app.small_aircraft import small_aircraft

LATE = Trial("retract", Late("doors", 0.5))
NAMED = RenameDrive("doors", "Bay doors")


@pytest.fixture
def session(qapp) -> Session:
    session = Session()
    session.open(small_aircraft(), None)
    session.put_study(empty_study(session.project))
    return session


def begins(session: Session) -> list[float]:
    return [round(step.begin, 6) for step in session.schedule.steps]


def test_the_trial_is_shown_and_the_project_stays(session):
    before, history = session.project, session.history
    session.try_out(LATE)
    assert begins(session) == [0.5, 1.7, 6.2]
    assert session.project is before
    assert (session.history, session.unsaved, session.study_current) == (history, False, False)
    assert session.sound is session.study


def test_going_back_has_the_study_of_before_at_once(session):
    study = session.study
    session.try_out(LATE)
    session.put_study(empty_study(session.shown))
    assert session.study_current
    assert session.sound is study
    session.try_out(None)
    assert session.study is study
    assert session.study_current
    assert begins(session) == [0.0, 1.7, 5.7]


def test_what_the_trial_is_about_is_not_changed_meanwhile(session):
    lines: list[str] = []
    session.trouble.connect(lines.append)
    session.try_out(LATE)
    before = session.project
    session.push(SetStepDuration("retract", "leg-up", 7.0))
    assert (session.project, lines) == (before, [IN_TRIAL])
    session.propose(SetStepDuration("retract", "leg-up", 7.0))
    assert session.senseless == IN_TRIAL
    session.withdraw()
    assert begins(session) == [0.5, 1.7, 6.2]


def test_of_what_else_is_changed_the_trial_is_shown(session):
    session.try_out(LATE)
    session.propose(NAMED)
    assert session.shown.drives[1].name == "Bay doors"
    assert begins(session) == [0.5, 1.7, 6.2]
    session.put_study(empty_study(session.shown))
    session.push(NAMED)
    assert session.project.drives[1].name == "Bay doors"
    assert session.study_current, "what was studied as a draft is of what it became"
    assert session.sound is None, "nobody has studied the project without the fault since"
    session.undo()
    assert session.shown.drives[1].name == "Main door"


def test_another_trial_takes_its_place_and_the_moment_stays_within_it(session):
    session.try_out(LATE)
    session.set_moment(7.5)
    session.try_out(Trial("retract", Stuck("doors"), waits=True))
    assert begins(session) == [0.0]
    assert session.moment == 1.5


@pytest.mark.parametrize("sequence", ["hold", "retract"])
def test_choosing_a_sequence_leads_out_of_it(session, sequence):
    session.try_out(LATE)
    session.choose_sequence(sequence)
    assert session.trial is None
    assert session.sequence.id == sequence


def test_another_aircraft_has_no_trial(session):
    heard: list[object] = []
    session.try_out(LATE)
    session.trial_changed.connect(lambda: heard.append(session.trial))
    session.open(small_aircraft(), None)
    assert (session.trial, heard) == (None, [None])
    assert begins(session) == [0.0, 1.7, 5.7]
