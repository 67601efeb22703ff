"""What is new, worse or gone beside the sound sequence."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from core.document.finding_edits import Accept
from core.document.project_file import read_project
from core.errors import CheckCancelled
from core.findings.acceptance import acceptance_of
from core.findings.finding import Kind
from core.study import run
from core.trials.comparing import change_of
from core.trials.every import trials_of
from core.trials.fault import Back, Late, Slow, Stuck
from core.trials.trial import Trial
from core.trials.trying import try_all
from tests.core.trials.gear import UP, gear, step
from tests.core.trials.tried import try_out

SAMPLES = Path(__file__).resolve().parents[3] / "sample_projects"
MEETING = (step("open", 1.0, {"doors": 20.0}), step("up", 15.0, {"gear": UP}))
"""The leg meets a door that opens too little."""


def test_what_was_there_already_and_is_no_worse_is_not_told():
    outcome, study = try_out(run(gear(*MEETING)), Trial("run", Late("doors", 0.5)))
    assert [one.kind for one in study.sequences[0].findings] == [Kind.CLASH]
    assert (outcome.compared.new, outcome.compared.worse, outcome.compared.gone) == ((), (), ())
    assert change_of(outcome.compared, study.sequences[0].findings[0]) == ""


def test_a_deeper_clash_is_worse_and_says_what_it_was():
    outcome, study = try_out(run(gear(*MEETING)), Trial("run", Stuck("doors", 0.5)))
    (worse,) = outcome.compared.worse
    assert worse.finding.amount > worse.was.amount + 0.01
    assert change_of(outcome.compared, worse.finding) == "worse"
    assert outcome.compared.harmful == (worse.finding,)
    assert study.sequences[0].findings == (worse.finding,)


def test_what_is_not_come_to_is_gone():
    outcome, _ = try_out(run(gear(*MEETING)), Trial("run", Back(2.0)))
    assert [one.kind for one in outcome.compared.gone] == [Kind.CLASH]
    assert outcome.compared.harmful == ()


def test_a_pair_that_was_near_and_touches_now_is_new_and_not_gone():
    project = replace(gear(step("open", 1.0, {"doors": 70.0}), step("up", 15.0, {"gear": UP})), least_clearance=30.0)
    sound = run(project)
    assert [one.kind for one in sound.sequences[0].findings] == [Kind.TIGHT]
    outcome, _ = try_out(sound, Trial("run", Stuck("doors")))
    assert [one.kind for one in outcome.compared.new] == [Kind.CLASH]
    assert outcome.compared.gone == ()


def test_what_is_lived_with_is_not_new_in_a_trial():
    project = gear(*MEETING)
    (clash,) = run(project).sequences[0].findings
    project = Accept(acceptance_of(clash, "it gives way")).apply(project)
    outcome, _ = try_out(run(project), Trial("run", Late("doors", 0.5)))
    assert outcome.compared.harmful == ()
    deeper, _ = try_out(run(project), Trial("run", Stuck("doors", 0.5)))
    assert [one.finding.kind for one in deeper.compared.worse] == [Kind.CLASH]


def test_every_fault_comes_worst_first():
    sound = run(gear())
    told: list[float] = []
    outcomes = try_all(sound, trials_of(gear(), "run"), progress=lambda _words, share: told.append(share))
    assert told == sorted(told)
    assert told[-1] == 1.0
    bad = {one.trial.fault for one in outcomes if one.compared.harmful}
    assert {Stuck("doors"), Stuck("doors", 0.5), Stuck("gear"), Stuck("gear", 8.5)} <= bad
    assert Late("doors", 1.0) not in bad
    harmful = [bool(one.compared.harmful) for one in outcomes]
    assert harmful == sorted(harmful, reverse=True)
    depths = [one.compared.harmful[0].amount for one in outcomes if one.compared.harmful[:1] and
              one.compared.harmful[0].kind is Kind.CLASH]  # fmt: skip
    assert depths == sorted(depths, reverse=True)


def test_trying_can_be_stopped():
    with pytest.raises(CheckCancelled):
        try_all(run(gear()), trials_of(gear(), "run"), cancelled=lambda: True)


def test_the_merrows_doors_that_stay_shut_are_met_by_the_leg():
    """The flawed twin has its doors shut too soon: late they are clear of the wheel, slow legs meet them deeper."""
    sound = run(read_project(SAMPLES / "merrow-t2"), sequence="retract")
    new = try_out(sound, Trial("retract", Stuck("doors")))[0].compared.new
    assert ("leg", "main-door") in [one.bodies for one in new if one.kind is Kind.CLASH]
    flawed = run(read_project(SAMPLES / "merrow-t2-flawed"), sequence="retract")
    late = try_out(flawed, Trial("retract", Late("doors", 1.0)))[0].compared
    assert [one.bodies for one in late.gone] == [("wheel", "main-door")]
    assert late.harmful == ()
    slow = try_out(flawed, Trial("retract", Slow("gear")))[0].compared
    assert ("wheel", "main-door") in [one.finding.bodies for one in slow.worse]
