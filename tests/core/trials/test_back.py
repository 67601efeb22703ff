"""A sequence that stops and runs back: mirror symmetric in time, and at its start again."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from core.document.project_file import read_project
from core.motion.schedule import lay_out
from core.study import run
from core.trials.fault import Back
from core.trials.trial import Trial, faulty_sequence, never_begun
from tests.core.trials.gear import UP, gear, step
from tests.core.trials.tried import try_out

SAMPLES = Path(__file__).resolve().parents[3] / "sample_projects"


@pytest.mark.parametrize("sample", ["merrow-t2", "skarn-p9", "pellow-3"])
@pytest.mark.parametrize("share", [0.07, 0.41, 0.73, 1.0])
def test_every_sample_comes_back_to_its_start_the_way_it_went(sample: str, share: float):
    project = read_project(SAMPLES / sample)
    sound = run(project)
    for one in sound.sequences:
        at = share * one.schedule.seconds
        outcome, study = try_out(sound, Trial(one.sequence.id, Back(at)))
        motion = study.sequences[0].motion
        times = np.linspace(0.0, at, 61)
        assert outcome.seconds == pytest.approx(2.0 * at, abs=1e-9)
        assert np.abs(motion.poses_at(np.array([2.0 * at])) - motion.poses_at(np.array([0.0]))).max() < 1e-9
        assert np.abs(motion.poses_at(2.0 * at - times) - motion.poses_at(times)).max() < 1e-8
        assert np.abs(motion.poses_at(times) - one.motion.poses_at(times)).max() < 1e-8
        assert outcome.compared.harmful == ()


def test_latches_are_undone_in_order():
    steps = (
        step("lock", 1.0, engage=("uplock",)), step("wait", 1.0), step("unlock", 1.0, {"gear": 10.0},
        release=("uplock",)), step("on", 1.0, engage=("uplock",)),
    )  # fmt: skip
    made = faulty_sequence(gear(*steps), Trial("run", Back(2.5)))
    events = sorted(
        [(one.end, "on", one.id) for one in lay_out(made).steps if one.engage]
        + [(one.begin, "off", one.id) for one in lay_out(made).steps if one.release]
    )
    assert events == [
        (1.0, "on", "lock"),
        (2.0, "off", "unlock"),
        (3.0, "on", "unlock-back"),
        (4.0, "off", "lock-back"),
    ]


def test_what_was_not_done_is_not_undone():
    made = faulty_sequence(gear(), Trial("run", Back(8.5)))
    assert [one.id for one in made.steps] == ["open", "up", "up-back", "open-back"]
    assert all(not one.engage and not one.release for one in made.steps)
    assert made.steps[1].moves[0].to == pytest.approx(UP / 2)
    assert never_begun(gear(), Trial("run", Back(8.5))) == ("shut",)


def test_a_stop_while_nothing_moves_holds_for_as_long_as_it_had():
    made = faulty_sequence(gear(), Trial("run", Back(16.25)))
    spans = {one.id: (one.begin, one.end) for one in lay_out(made).steps}
    assert spans["up-back"] == (16.5, 31.5)
    assert lay_out(made).seconds == 32.5


def test_moves_that_take_no_time_are_undone_too():
    steps = (step("leap", 0.0, {"gear": 10.0}), step("on", 1.0, {"gear": 20.0}), step("leap-on", 0.0, {"gear": 30.0}))
    made = faulty_sequence(gear(*steps), Trial("run", Back(1.0)))
    assert [(one.id, one.moves[0].to) for one in made.steps][3:] == [
        ("leap-on-back", 20.0), ("on-back", 10.0), ("leap-back", 0.0)
    ]  # fmt: skip
