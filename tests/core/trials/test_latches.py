"""A latch that does not take hold, or does not let go."""

from __future__ import annotations

from core.document.project import Sequence
from core.findings.finding import Kind
from core.study import run
from core.trials.fault import NotEngaging, NotReleasing
from core.trials.trial import Trial, faulty_sequence
from tests.core.trials.gear import UP, gear, step
from tests.core.trials.tried import try_out

DOWN = (step("down", 5.0, {"gear": 0.0}, release=("uplock",)),)
AGAIN = (*DOWN, step("up", 5.0, {"gear": UP}, engage=("uplock",)))
STOWED = {"gear": UP}


def worked(sequence: Sequence) -> list[tuple[str, tuple[str, ...], tuple[str, ...]]]:
    return [(one.id, one.engage, one.release) for one in sequence.steps]


def test_one_that_never_takes_hold_has_nothing_to_let_go_of():
    steps = (step("up", 5.0, {"gear": UP}, engage=("uplock",)), *DOWN)
    assert worked(faulty_sequence(gear(*steps), Trial("run", NotEngaging("uplock")))) == [
        ("up", (), ()), ("down", (), ()),
    ]  # fmt: skip


def test_one_that_held_from_the_start_still_lets_go():
    made = faulty_sequence(gear(*AGAIN, start=STOWED), Trial("run", NotEngaging("uplock")))
    assert worked(made) == [("down", (), ("uplock",)), ("up", (), ())]


def test_one_that_holds_from_the_start_and_does_not_let_go_jams_the_leg():
    project = gear(*DOWN, start=STOWED | {"doors": 90.0})
    sound = run(project)
    assert sound.sequences[0].findings == ()
    outcome, study = try_out(sound, Trial("run", NotReleasing("uplock")))
    assert [one.kind for one in outcome.compared.new] == [Kind.JAMMED]
    assert outcome.seconds == 5.0
    assert worked(study.sequences[0].sequence)[0] == ("uplock-holds", ("uplock",), ())


def test_one_that_takes_hold_within_the_sequence_needs_no_telling():
    steps = (step("up", 5.0, {"gear": UP}, engage=("uplock",)), *DOWN)
    made = faulty_sequence(gear(*steps), Trial("run", NotReleasing("uplock")))
    assert worked(made) == [("up", ("uplock",), ()), ("down", (), ())]
