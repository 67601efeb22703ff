"""Random chains of steps with a fault in them, against what the fault means: by what each drive is asked for."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from core.document.checks import problems
from core.document.project import Move, Project, Step
from core.document.sequence_edits import AddSequence
from core.mechanism.build import build
from core.motion.inputs import inputs_of
from core.motion.schedule import lay_out
from core.trials.fault import Back, Fault, Late, Single, Slow, Stuck, Together
from core.trials.trial import Trial, faulty_sequence, kept_sequence
from tests.core.trials.gear import gear

DRIVES = ("gear", "doors")
FAULTS = (Late("gear", 0.7), Slow("gear", 0.4), Slow("gear", 3.0), Stuck("gear"))
EASED = 1.875
"""How much faster an eased move is at its middle than a steady one."""
DONE = 1e-7
"""Degrees and seconds that are lost where times are written down to a millionth of a millionth of a second."""


@st.composite
def chains(draw: st.DrawFn) -> Project:
    """Steps one after another, each moving one drive or both, the first of them the gear at least."""
    steps = []
    for number in range(draw(st.integers(1, 5))):
        moved = draw(st.sampled_from([("gear",), ("doors",), DRIVES])) if number else DRIVES
        profile = draw(st.sampled_from(["steady", "eased"]))
        moves = tuple(Move(drive=one, to=draw(st.floats(-90.0, 90.0)), profile=profile) for one in moved)
        duration, delay = draw(st.floats(0.1, 3.0)), draw(st.floats(0.0, 1.0))
        steps.append(Step(id=f"s{number}", duration=duration, delay=delay, moves=moves))
    return gear(*steps)


def tracks(project: Project, times: np.ndarray, trial: Trial | None = None) -> np.ndarray:
    """(T, 2) what gear and doors are asked for."""
    sequence = project.sequences[0] if trial is None else faulty_sequence(project, trial)
    return inputs_of(build(project), lay_out(sequence)).at(times)


def end_of(project: Project) -> float:
    return lay_out(project.sequences[0]).seconds


@given(chains(), st.floats(0.01, 5.0))
def test_a_late_drive_goes_as_it_would_only_later(project: Project, late: float) -> None:
    times = np.linspace(0.0, end_of(project), 101)[1:]
    was, now = tracks(project, times), tracks(project, times + late, Trial("run", Late("gear", late)))
    assert now[:, 0] == pytest.approx(was[:, 0], abs=DONE * 900)
    assert tracks(project, times, Trial("run", Late("gear", late)))[:, 1] == pytest.approx(was[:, 1], abs=DONE * 900)


@given(chains(), st.floats(0.01, 0.99))
def test_a_stuck_drive_goes_as_it_would_until_it_stays(project: Project, share: float) -> None:
    schedule = lay_out(project.sequences[0])
    at = share * max(step.end for step in schedule.steps if any(move.drive == "gear" for move in step.moves))
    times = np.linspace(0.0, schedule.seconds, 101)
    was, now = tracks(project, times), tracks(project, times, Trial("run", Stuck("gear", at)))
    (stays,) = tracks(project, np.array([at]))[:, 0]
    assert now[times < at - DONE, 0] == pytest.approx(was[times < at - DONE, 0], abs=1e-4)
    assert now[times > at + DONE, 0] == pytest.approx(stays, abs=1e-4)
    assert now[:, 1] == pytest.approx(was[:, 1], abs=1e-4)


@given(chains(), st.floats(0.2, 0.9))
def test_a_slow_drive_that_is_waited_for_comes_to_all_that_it_should(project: Project, share: float) -> None:
    trial = Trial("run", Slow("gear", share), waits=True)
    steps = {step.id: step for step in project.sequences[0].steps}
    laid = lay_out(faulty_sequence(project, trial))
    for step in laid.steps:
        gears = [move for move in step.moves if move.drive == "gear"]
        if gears:
            assert step.end - step.begin == pytest.approx(steps[step.id].duration / share, abs=1e-9)
            assert tracks(project, np.array([step.end]), trial)[0, 0] == pytest.approx(gears[0].to)


@given(chains(), st.floats(0.2, 0.9))
def test_a_slow_drive_is_never_faster_than_its_share_of_its_fastest(project: Project, share: float) -> None:
    """Also where it is told to move again before it has arrived, and turns where it is."""
    spans = inputs_of(build(project), lay_out(project.sequences[0])).spans[0]
    assume(all(abs(span.to - span.value) > 1.0 for span in spans))
    trial = Trial("run", Slow("gear", share))
    times = np.linspace(0.0, lay_out(faulty_sequence(project, trial)).seconds, 4001)
    fastest = max(abs(span.to - span.value) / (span.end - span.begin) for span in spans)
    seen = np.abs(np.diff(tracks(project, times, trial)[:, 0])).max() / (times[1] - times[0])
    assert seen <= EASED * share * fastest * (1.0 + 1e-6)


@given(chains(), st.floats(0.01, 1.0))
def test_what_runs_back_is_the_same_in_a_mirror(project: Project, share: float) -> None:
    at = share * end_of(project)
    trial, times = Trial("run", Back(at)), np.linspace(0.0, at, 101)
    there = tracks(project, times, trial)
    assert there[:-1] == pytest.approx(tracks(project, times)[:-1], abs=1e-4)
    assert tracks(project, 2.0 * at - times, trial)[1:] == pytest.approx(there[1:], abs=1e-4)
    assert tracks(project, np.array([2.0 * at]), trial) == pytest.approx(tracks(project, np.zeros(1)), abs=1e-9)


@given(
    chains(), st.sampled_from(FAULTS), st.sampled_from([Late("doors", 0.3), Slow("doors", 0.6), Stuck("doors", 0.1)])
)
def test_of_two_drives_at_fault_each_goes_as_with_its_own_fault_alone(
    project: Project, one: Single, other: Single
) -> None:
    both = Trial("run", Together((one, other)))
    assume(both.apply(project) is not project)
    times = np.linspace(0.0, 2.0 * end_of(project), 201)[1:]
    together = tracks(project, times, both)
    assert together[:, 0] == pytest.approx(tracks(project, times, Trial("run", one))[:, 0], abs=1e-4)
    assert together[:, 1] == pytest.approx(tracks(project, times, Trial("run", other))[:, 1], abs=1e-4)


@given(chains(), st.sampled_from(FAULTS), st.floats(0.1, 1.0), st.booleans())
def test_whatever_is_tried_at_once_can_be_kept(project: Project, fault: Single, share: float, waits: bool) -> None:
    trial = Trial("run", Together((fault, Back(share * end_of(project)))), waits)
    assume(trial.apply(project) is not project)
    assert problems(AddSequence(kept_sequence(project, trial)).apply(project)) == ()


@given(
    chains(), st.sampled_from([Late("gear", 0.7), Slow("gear", 0.4), Stuck("gear"), Slow("gear", 3.0)]), st.booleans()
)
def test_whatever_is_tried_can_be_kept(project: Project, fault: Fault, waits: bool) -> None:
    kept = kept_sequence(project, Trial("run", fault, waits))
    assert problems(AddSequence(kept).apply(project)) == ()
