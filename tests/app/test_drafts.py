"""What the hand proposes is shown and checked, and never touches the project until it is pushed."""

from __future__ import annotations

import pytest

from app.session import Session
from core.document.step_time_edits import SetStepDelay, SetStepDuration
from tests.app.empty_study import empty_study
from tests.app.small_aircraft import small_aircraft


def stretched(seconds: float) -> SetStepDuration:
    return SetStepDuration("retract", "leg-up", seconds)


SENSELESS = SetStepDelay("retract", "doors-open", -9.0)
"""It would begin before its sequence."""


@pytest.fixture
def session(qapp) -> Session:
    session = Session()
    session.open(small_aircraft(), None)
    session.put_study(empty_study(session.project))
    return session


@pytest.fixture
def heard(session: Session) -> list[str]:
    heard: list[str] = []
    for name in ("project_changed", "shown_changed", "study_changed", "history_changed", "pushed", "trouble"):
        getattr(session, name).connect(lambda *_args, name=name: heard.append(name))
    return heard


def seconds_shown(session: Session) -> float:
    step = session.schedule.step("leg-up")
    return round(step.end - step.begin, 6)


def test_a_draft_is_shown_and_the_project_stays(session, heard):
    before, history = session.project, session.history
    session.propose(stretched(7.0))
    assert session.project is before
    assert session.history == history
    assert not session.unsaved
    assert session.shown.sequences[0].steps[1].duration == seconds_shown(session) == 7.0
    assert not session.study_current
    assert heard == ["shown_changed", "study_changed"]


def test_what_is_taken_back_leaves_the_earlier_study_current_at_once(session, heard):
    study = session.study
    session.propose(stretched(7.0))
    session.put_study(empty_study(session.shown))
    assert session.study_current
    assert session.study is not study
    session.withdraw()
    assert session.study is study
    assert session.study_current
    assert session.shown is session.project
    assert {"project_changed", "history_changed", "pushed", "trouble"}.isdisjoint(heard)


def test_what_was_proposed_and_is_pushed_keeps_its_study(session):
    session.propose(stretched(7.0))
    study = empty_study(session.shown)
    session.put_study(study)
    session.push(stretched(7.0))
    assert session.project is study.project
    assert session.study_current
    assert session.undo_label is not None
    session.propose(stretched(8.0))
    session.withdraw()
    assert session.study is study


def test_something_else_than_was_proposed_may_be_pushed(session):
    session.propose(stretched(7.0))
    session.push(stretched(8.0))
    assert session.shown is session.project
    assert seconds_shown(session) == 8.0
    assert not session.drafting


def test_what_makes_no_sense_is_no_draft_and_no_trouble(session, heard):
    study = session.study
    session.propose(SENSELESS)
    assert session.drafting
    assert session.shown is session.project
    assert "before its sequence" in session.senseless
    assert not session.study_current, "nothing may look checked that the hand does not mean"
    session.withdraw()
    assert (session.senseless, session.study, session.study_current) == ("", study, True)
    assert "trouble" not in heard


def test_pushing_what_makes_no_sense_takes_it_back_and_says_so(session, heard):
    session.propose(SENSELESS)
    session.push(SENSELESS)
    assert not session.drafting
    assert session.study_current
    assert heard.count("trouble") == 1


def test_a_proposal_that_changes_nothing_is_none(session):
    session.propose(stretched(7.0))
    session.propose(stretched(4.0))
    assert not session.drafting
    assert session.study_current


def test_nothing_is_proposed_to_what_is_looked_at_only(session):
    session.look_only("Another window changes it")
    session.propose(stretched(7.0))
    assert session.shown is session.project
    assert session.senseless == "Another window changes it"


def test_a_draft_that_ends_sooner_does_not_move_the_moment_for_good(session):
    session.set_moment(session.schedule.seconds)
    end = session.moment
    session.propose(stretched(1.0))
    assert session.moment == session.schedule.seconds < end
    session.withdraw()
    assert session.moment == end


@pytest.mark.parametrize("way", ["undo", "open"])
def test_undoing_and_opening_leave_no_draft(session, way):
    session.push(stretched(6.0))
    session.propose(stretched(7.0))
    session.undo() if way == "undo" else session.open(small_aircraft(), None)
    assert session.shown is session.project
    assert not session.drafting
    assert seconds_shown(session) == 4.0
