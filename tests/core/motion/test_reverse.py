"""A sequence run backwards passes through the same positions in the other order."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from core.document.project import Move
from core.document.project_file import read_project
from core.document.sequence_edits import AddSequence
from core.mechanism.build import build
from core.motion.reverse import move_back, opposite, reversed_sequence
from core.motion.schedule import frame_times, lay_out
from core.motion.solve import solve_motion

SAMPLES = Path(__file__).resolve().parents[3] / "sample_projects"


@pytest.mark.parametrize("sample", ["merrow-t2", "skarn-p9", "pellow-3"])
def test_every_sample_comes_back_the_way_it_went(sample):
    project = read_project(SAMPLES / sample)
    for sequence in project.sequences:
        back = reversed_sequence(project, sequence)
        grown = AddSequence(back).apply(project)
        mechanism, there, again = build(grown), lay_out(sequence), lay_out(back)
        assert again.seconds == pytest.approx(there.seconds)
        times = frame_times(there, 41)
        went, came = solve_motion(mechanism, there, times), solve_motion(mechanism, again, times)
        if not (went.assembled.all() and came.assembled.all()):
            continue
        assert np.abs(came.poses[::-1] - went.poses).max() < 1e-6


def test_every_step_lies_as_far_from_the_end_as_it_did_from_the_start():
    project = read_project(SAMPLES / "merrow-t2")
    sequence = project.sequences[0]
    there, back = lay_out(sequence), lay_out(reversed_sequence(project, sequence))
    spans = sorted((there.seconds - step.end, there.seconds - step.begin) for step in there.steps)
    assert sorted((step.begin, step.end) for step in back.steps) == [pytest.approx(span) for span in spans]


def test_what_took_hold_lets_go():
    project = read_project(SAMPLES / "skarn-p9")
    sequence = next(one for one in project.sequences if any(step.engage or step.release for step in one.steps))
    back = reversed_sequence(project, sequence)
    assert [step.engage for step in sequence.steps if step.engage] == [
        step.release for step in reversed(back.steps) if step.release
    ]


def test_a_move_broken_off_is_taken_up_where_it_was():
    there = Move(drive="gear", to=40.0, profile="eased", part=(0.0, 0.4))
    back = move_back(there, 0.0)
    assert (back.to, back.part) == (0.0, (0.6, 1.0))
    assert move_back(back, 40.0).part == pytest.approx(there.part)


@pytest.mark.parametrize(
    ("words", "turned"),
    [
        ("Retract", "Extend"), ("Leg up", "Leg down"), ("Doors open", "Doors close"), ("lock", "unlock"),
        ("Weight off", "Weight on"), ("Steer", "Steer, back"),
    ],
)  # fmt: skip
def test_what_a_name_says_is_turned_round(words: str, turned: str):
    assert opposite(words) == turned


def test_the_way_back_of_retracting_is_extending():
    project = read_project(SAMPLES / "merrow-t2")
    back = reversed_sequence(project, project.sequences[0])
    assert back.name == "Extend"
    assert "Leg down" in [step.name for step in back.steps]
