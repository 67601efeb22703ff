"""A few bodies solved by themselves stand exactly where they stand in the whole mechanism."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from core.document.project_file import read_project
from core.mechanism.build import build
from core.motion.motion import Motion
from core.motion.schedule import lay_out
from core.motion.solve import solve_motion
from core.motion.upstream import stages_behind
from tests.mechanisms.catalogue import catalogue
from tests.mechanisms.example import Example, solve

SAMPLES = Path(__file__).parents[3] / "sample_projects"


def assert_each_body_stands_alike(motion: Motion) -> None:
    course = motion.course
    assert course is not None
    times = np.linspace(0.0, course.end, 23)
    whole = motion.poses_at(times)
    for body in range(len(motion.bodies)):
        np.testing.assert_array_equal(course.poses_of([body], times)[:, body], whole[:, body])
    pair = [0, len(motion.bodies) - 1]
    np.testing.assert_array_equal(course.poses_of(pair, times)[:, pair], whole[:, pair])


@pytest.mark.parametrize("example", catalogue(), ids=lambda one: one.name)
def test_every_body_of_a_mechanism_alone(example: Example):
    assert_each_body_stands_alike(solve(example.project, frames=61))


@pytest.mark.parametrize("name", ["merrow-t2-flawed", "skarn-p9-flawed", "pellow-3-flawed"])
def test_every_body_of_an_aircraft_that_jams_and_has_latches(name: str):
    project = read_project(SAMPLES / name)
    for sequence in project.sequences:
        schedule = lay_out(sequence)
        assert_each_body_stands_alike(solve_motion(build(project), schedule, np.linspace(0.0, schedule.seconds, 61)))


def test_of_a_chain_the_first_link_needs_no_later_stage():
    needed = [
        (len(stages_behind(plan, ())[plan.stages[0].carried[0]]), len(plan.stages))
        for course in (solve(example.project, frames=61).course for example in catalogue())
        if course is not None
        for plan in (course.stretches[0].phase.plan,)
    ]
    assert any(few < every for few, every in needed)
