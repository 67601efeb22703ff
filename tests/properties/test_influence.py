"""A chain's word against the motion: what moves while one drive alone moves hangs on that drive, and only that."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from core.document.project import Project
from core.document.project_file import read_project
from core.mechanism.build import build
from core.motion.chains import chains_of
from core.motion.motion import Motion
from core.motion.schedule import frame_times, lay_out
from core.motion.solve import solve_motion
from tests.mechanisms.catalogue import catalogue

SAMPLES = Path(__file__).resolve().parents[2] / "sample_projects"
STILL = 1e-6
"""Millimetres, and radians of a turn: rounding moves nothing further."""


def motions(project: Project) -> list[Motion]:
    mechanism = build(project)
    schedules = [lay_out(sequence) for sequence in project.sequences]
    return [solve_motion(mechanism, schedule, frame_times(schedule)) for schedule in schedules]


def spans_of_one(motion: Motion) -> list[tuple[str, np.ndarray]]:
    """Each drive with the frames of a step through which it moves and no other does."""
    found = []
    for step in motion.schedule.steps:
        frames = np.flatnonzero((motion.times > step.begin) & (motion.times < step.end))
        if len(frames) < 3:
            continue
        moving = np.flatnonzero(np.ptp(motion.drives[frames], axis=0) > 1e-9)
        if len(moving) == 1:
            found.append((motion.drive_ids[int(moving[0])], frames))
    return found


def assert_true(motion: Motion) -> int:
    chains, looked = chains_of(motion), 0
    for drive, frames in spans_of_one(motion):
        if not motion.assembled[frames].all():
            continue
        middle = motion.times[frames[len(frames) // 2]]
        for number, body in enumerate(motion.bodies):
            (chain,) = (one for one in chains[body] if one.begin <= middle < one.end)
            moves = bool(np.ptp(motion.poses[frames, number], axis=0).max() > STILL)
            assert (drive in chain.drives) is moves, f"{drive}, {body}"
            looked += 1
    return looked


@pytest.mark.parametrize("example", catalogue(), ids=lambda example: example.name)
def test_of_the_catalogue(example) -> None:
    for motion in motions(example.project):
        assert_true(motion)


@pytest.mark.parametrize("name", ["merrow-t2", "merrow-t2-flawed", "skarn-p9", "pellow-3"])
def test_of_the_samples(name: str) -> None:
    looked = sum(assert_true(motion) for motion in motions(read_project(SAMPLES / name)))
    assert looked > 20
