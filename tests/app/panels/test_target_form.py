"""Targets set where a body stands, typed, shown and measured by the next check."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from core.document.project import Moment, Target
from core.document.target_edits import RemoveTarget, SetTarget
from core.findings.finding import Kind
from core.motion.moments import moment_of, moment_words
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window, wait_for_check


def test_moments_are_named_as_people_do():
    project = small_aircraft()
    retract = project.sequences[0]
    cases = ((0.0, "at the start of Retract"), (5.7, "after Leg up"), (7.2, "at the end of Retract"),
             (2.5, "2.5 s into Retract"))  # fmt: skip
    for seconds, words in cases:
        assert moment_words(project, moment_of(retract, seconds)) == words


def test_a_body_is_brought_to_where_it_should_end_and_measured_there(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        session, form = window.session, window.details.targets
        assert form.isHidden(), "nothing is chosen"
        session.choose("airframe")
        assert form.isHidden(), "what is fixed stands where it is"
        session.choose("leg")
        session.set_moment(5.7)
        form.here.click()
        (target,) = session.project.targets
        assert (target.body, target.at) == ("leg", Moment(sequence="retract", after="leg-up"))
        assert target.turn == pytest.approx(92.0, abs=1e-3)
        assert form.forms[target.id].fields["turn"].line.text() == "92"
        wait_for_check(qtbot, window)
        missed = [one for one in session.sequence_study.findings if one.kind == Kind.TARGET]
        assert missed == []
        turn = form.forms[target.id].fields["turn"]
        turn.line.setText("95")
        turn.line.setModified(True)
        turn.line.returnPressed.emit()
        wait_for_check(qtbot, window)
        (missed,) = [one for one in session.sequence_study.findings if one.kind == Kind.TARGET]
        assert missed.target == target.id
        session.set_moment(5.7)
        form.here.click()
        assert len(session.project.targets) == 1, "the same moment has one target"
        session.push(RemoveTarget(target.id))
        assert session.project.targets == ()
        assert form.forms == {}


def test_a_negative_allowance_is_refused(qtbot, tmp_path: Path):
    target = Target(id="up", body="leg", at=Moment(sequence="retract", at="end"), x=0.0, y=0.0, turn=92.0)
    with opened_window(qtbot, tmp_path, replace(small_aircraft(), targets=(target,))) as window:
        window.session.choose("leg")
        within = window.details.targets.forms["up"].fields["within"]
        within.line.setText("-1")
        within.line.setModified(True)
        within.line.returnPressed.emit()
        assert within.reason
        assert window.session.project.targets == (target,)


def test_a_target_that_is_there_already_changes_nothing():
    project = small_aircraft()
    target = Target(id="up", body="leg", at=Moment(sequence="retract", at="end"), x=0.0, y=0.0, turn=92.0)
    once = SetTarget(target).apply(project)
    assert SetTarget(target).apply(once) is once
    assert RemoveTarget("none").apply(once) is once
