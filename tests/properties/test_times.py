"""Whatever times a motion is asked for, they are times of one and the same motion."""

from __future__ import annotations

import numpy as np
import pytest

from core.document.project import Project
from core.mechanism.build import build
from core.motion.motion import Motion
from core.motion.schedule import lay_out
from core.motion.solve import solve_motion
from tests.mechanisms.catalogue import CRANK_ROCKER, catalogue
from tests.mechanisms.example import Example, errors, point_track, solve
from tests.mechanisms.four_bars import four_bar, once_round
from tests.mechanisms.planar import Floats
from tests.mechanisms.sketch import project, step
from tests.properties.chains import random_chain

SOME = (*catalogue()[::4], random_chain(77), random_chain(78))
PIN = 1e-6

some_examples = pytest.mark.parametrize("example", SOME, ids=lambda example: example.name)


def solve_at(made: Project, times: Floats) -> Motion:
    return solve_motion(build(made), lay_out(made.sequences[0]), times)


@some_examples
def test_poses_at_the_frames_are_the_frames(example: Example) -> None:
    motion = solve(example.project, 61)
    assert np.max(np.abs(motion.poses_at(motion.times) - motion.poses)) <= PIN
    assert (motion.assembled_at(motion.times) == motion.assembled).all()


@some_examples
def test_times_may_be_asked_for_in_any_order_and_twice(example: Example) -> None:
    motion = solve(example.project, 31)
    random = np.random.default_rng(9)
    times = random.uniform(0.0, motion.times[-1], 23)
    asked = np.concatenate([times, times[:5]])
    mixed = motion.poses_at(asked)
    ordered = motion.poses_at(np.sort(times))
    assert np.max(np.abs(mixed[:23][np.argsort(times)] - ordered)) <= PIN
    assert np.max(np.abs(mixed[23:] - mixed[:5])) <= PIN
    assert motion.poses_at(np.zeros(0)).shape == (0, len(motion.bodies), 3)


@some_examples
def test_frames_may_stand_anywhere(example: Example) -> None:
    """Bunched at one end, and far apart at the other."""
    schedule = lay_out(example.project.sequences[0])
    times = schedule.seconds * np.linspace(0.0, 1.0, 40) ** 3
    motion = solve_at(example.project, times)
    assert np.array_equal(motion.times, times)
    assert max(errors(example, motion).values()) <= PIN


@some_examples
def test_a_single_frame_is_the_start(example: Example) -> None:
    motion = solve_at(example.project, np.zeros(1))
    assert motion.poses.shape[0] == 1
    assert max(errors(example, motion).values()) <= PIN


@pytest.mark.parametrize("count", [2, 3, 4, 5])
def test_two_frames_of_a_full_turn_come_back_to_where_they_began(count: int) -> None:
    example = four_bar(CRANK_ROCKER, name="round")
    motion = solve(example.project, count)
    assert max(errors(example, motion).values()) <= PIN
    crank = motion.bodies.index("crank")
    assert np.rad2deg(motion.poses[-1, crank, 2]) == pytest.approx(360.0, abs=1e-9)


def test_many_turns_are_many_turns() -> None:
    example = four_bar(CRANK_ROCKER, name="ten rounds", turn=3600.0)
    motion = solve(example.project, 200)
    assert max(errors(example, motion).values()) <= PIN
    assert np.rad2deg(motion.poses[-1, motion.bodies.index("crank"), 2]) == pytest.approx(3600.0, abs=1e-9)
    assert np.max(np.abs(np.rad2deg(motion.poses[:, motion.bodies.index("rocker"), 2]))) < 90.0


@pytest.mark.parametrize("start", [-300.0, 150.0, 720.0])
def test_a_start_far_from_the_drawn_position(start: float) -> None:
    example = four_bar(CRANK_ROCKER, name="elsewhere", start=start)
    assert max(errors(example, solve(example.project, 50)).values()) <= PIN


def test_a_step_that_takes_no_time_keeps_the_branch() -> None:
    """The crank is half way round at once; what follows stands as if it had gone there."""
    bar = CRANK_ROCKER
    steps = (step("wait", 1.0), step("leap", 0.0, {"input": 200.0}), *once_round(260.0, 2.0))
    made = project(bar.bodies(), bar.connections(), {"input": "o2"}, steps)
    motion = solve(made, 61)
    drawn_b = bar.drawn_pins()[1]
    _, known = bar.pins(bar.drawn + motion.drives[:, 0])
    assert np.max(np.abs(point_track(motion, "rocker", drawn_b) - known)) <= PIN
    assert motion.drives[0, 0] == 0.0
    assert motion.drives[-1, 0] == pytest.approx(260.0)


def test_between_the_steps_everything_rests() -> None:
    bar = CRANK_ROCKER
    steps = (step("out", 1.0, {"input": 90.0}), step("rest", 2.0), step("back", 1.0, {"input": 0.0}))
    motion = solve(project(bar.bodies(), bar.connections(), {"input": "o2"}, steps), 81)
    resting = (motion.times >= 1.0) & (motion.times <= 3.0)
    assert np.ptp(motion.poses[resting], axis=0).max() <= 1e-9
    assert np.max(np.abs(motion.poses[-1] - motion.poses[0])) <= PIN
