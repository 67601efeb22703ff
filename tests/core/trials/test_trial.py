"""What becomes of the project in a trial, and what is refused."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from core.document.checks import problems
from core.document.project import Moment, Need, Sequence, Target
from core.document.sequence_edits import AddSequence
from core.errors import SenselessRequest
from core.findings.finding import Kind
from core.motion.schedule import lay_out
from core.study import run
from core.trials.every import every_fault
from core.trials.fault import Back, Fault, Late, NotEngaging, NotReleasing, Slow, Stuck
from core.trials.trial import Trial, kept_sequence, trial_project
from tests.core.trials.gear import gear, step
from tests.core.trials.tried import try_out


def test_all_but_the_sequence_stays_the_same_objects():
    project = gear()
    made = trial_project(project, Trial("run", Late("doors", 1.0)))
    assert made.bodies is project.bodies
    assert made.connections is project.connections
    assert made.drives is project.drives
    (sequence,) = made.sequences
    assert (sequence.id, sequence.name) == ("run", "Run, Doors late by 1.00 s")
    sound = run(project)
    _, study = try_out(sound, Trial("run", Late("doors", 1.0)))
    assert study.mechanism is sound.mechanism
    assert study.parts is sound.parts


def test_targets_are_measured_where_their_moment_still_comes():
    targets = tuple(
        Target(id=name, body="leg", at=at, x=0, y=0, turn=0)
        for name, at in (
            ("start", Moment(sequence="run", at="start")), ("opened", Moment(after="open")),
            ("up", Moment(sequence="run", after="up")), ("end", Moment(at="end")), ("soon", Moment(at=0.5)),
        )
    )  # fmt: skip
    project = replace(gear(), targets=targets)

    def kept(fault: Fault, *, waits: bool = False) -> list[str]:
        return [one.id for one in trial_project(project, Trial("run", fault, waits)).targets]

    assert kept(Late("doors", 1.0)) == ["start", "opened", "up", "end", "soon"]
    assert kept(Stuck("doors"), waits=True) == ["start", "opened", "end", "soon"]
    assert kept(Back(4.0)) == ["start", "opened", "soon"]


def test_another_sequences_targets_are_not_its_own():
    other = Sequence(id="other", steps=(step("swing", 1.0, {"gear": 10.0}),))
    targets = (Target(id="stowed", body="leg", at=Moment(), x=0, y=0, turn=0),)
    project = replace(gear(), sequences=(*gear().sequences, other), targets=targets)
    assert trial_project(project, Trial("other", Late("gear", 1.0))).targets == ()


@pytest.mark.parametrize(
    ("trial", "line"),
    [
        (Trial("rum", Late("doors", 1.0)), "there is no sequence 'rum'; the project has run"),
        (Trial("run", Late("door", 1.0)), "Run moves no drive 'door'; it moves doors, gear"),
        (Trial("run", Late("doors", 0.0)), "a drive cannot be late by 0 s; more than 0 s is needed"),
        (Trial("run", Late("doors", float("nan"))), "a drive cannot be late by nan s; more than 0 s is needed"),
        (Trial("run", Slow("doors", 1.0)), "a share such as 0.5 is needed"),
        (Trial("run", Slow("doors", -1.0)), "a share such as 0.5 is needed"),
        (Trial("run", Slow("gear", 1e-3)), "cannot be tried"),
        (Trial("run", Stuck("doors", 17.5)), "Doors cannot get stuck at 17.5 s: its moves in Run end at 17.5 s"),
        (Trial("run", NotEngaging("hinge")), "Run works no latch 'hinge'; it works uplock"),
        (Trial("run", NotReleasing("uplock")), "Run never releases Uplock; nothing would differ"),
        (Trial("run", Back(0.0)), "Run cannot stop at 0 s and run back; it runs from 0 to 17.5 s"),
        (Trial("run", Back(18.0)), "it runs from 0 to 17.5 s"),
    ],
)
def test_what_makes_no_sense_is_refused_in_a_line_and_changes_nothing(trial: Trial, line: str):
    project = gear()
    with pytest.raises(SenselessRequest) as refused:
        trial_project(project, trial)
    assert line in str(refused.value)
    assert trial.apply(project) is project


@pytest.mark.parametrize("waits", [False, True])
def test_every_trial_can_be_kept_as_a_sequence_that_makes_sense_and_runs_the_same(waits: bool):
    project = gear()
    for fault in every_fault(project, "run"):
        trial = Trial("run", fault, waits)
        kept = kept_sequence(project, trial)
        grown = AddSequence(kept).apply(project)
        assert problems(grown) == ()
        was, now = lay_out(trial_project(project, trial).sequences[0]), lay_out(kept)
        assert [(one.begin, one.end, one.moves) for one in now.steps] == [
            (one.begin, one.end, one.moves) for one in was.steps
        ]
        again = kept_sequence(grown, trial)
        assert {again.id, again.name}.isdisjoint({kept.id, kept.name})


def test_a_step_that_begins_before_what_it_needs_is_told_in_a_trial_where_doors_lag():
    steps = gear().sequences[0].steps
    needing = replace(steps[1], needs=(Need(drive="doors", at_least=80.0),))
    project = gear(steps[0], needing, steps[2])
    sound = run(project)
    assert sound.sequences[0].findings == ()

    def early(fault: Fault, *, waits: bool = False) -> list[float]:
        new = try_out(sound, Trial("run", fault, waits))[0].compared.new
        return [round(one.amount, 6) for one in new if one.kind is Kind.EARLY]

    assert early(Late("doors", 0.5)) == [35.0]
    assert early(Slow("doors", 0.5)) == [35.0]
    assert early(Stuck("doors")) == [80.0]
    assert early(Late("doors", 0.5), waits=True) == []
    assert early(Late("gear", 0.5)) == []
    assert early(Back(8.0)) == []
