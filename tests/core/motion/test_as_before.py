"""What is taken over from before an edit is, to the last bit, what would be found by solving all anew."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.project import Connection, Pivot, Project, Rod, Sequence
from core.document.project_file import read_project
from core.mechanism.build import build
from core.motion.as_before import Before, taken_over
from core.motion.assembly import Knot
from core.motion.motion import Motion
from core.motion.phase import Branch
from core.motion.schedule import lay_out
from core.motion.solve import solve_motion
from tests.benchmarks.benchmark_edit import doors
from tests.mechanisms.catalogue import catalogue

SAMPLES = Path(__file__).parents[3] / "sample_projects"
AIRCRAFT = ["merrow-t2", "merrow-t2-flawed", "skarn-p9", "skarn-p9-flawed", "pellow-3", "pellow-3-flawed"]


def solved(project: Project, sequence: Sequence, previous: Motion | None = None) -> Motion:
    schedule = lay_out(sequence)
    return solve_motion(build(project), schedule, np.linspace(0.0, schedule.seconds, 61), previous)


def nudged(connection: Connection, by: float) -> Connection:
    match connection:
        case Pivot(at=(x, y)):
            return replace(connection, at=(x + by, y - 0.5 * by))
        case Rod(ends=(start, (x, y))):
            return replace(connection, ends=(start, (x - by, y + 0.3 * by)))
    return connection


def edited(project: Project, number: int, by: float) -> Project:
    connections = list(project.connections)
    connections[number] = nudged(connections[number], by)
    return replace(project, connections=tuple(connections))


def assert_alike(one: Motion, other: Motion) -> None:
    for name in ("poses", "drives", "values", "assembled"):
        np.testing.assert_array_equal(getattr(one, name), getattr(other, name))
    assert one.troubles == other.troubles
    between = np.linspace(0.0, float(one.times[-1]), 37)
    np.testing.assert_array_equal(one.poses_at(between), other.poses_at(between))


def assert_every_edit_is_solved_alike(project: Project) -> None:
    for sequence in project.sequences[:2]:
        before = solved(project, sequence)
        for number, connection in enumerate(project.connections):
            if nudged(connection, 0.4) == connection:
                continue
            after = edited(project, number, 0.4)
            taken = solved(after, sequence, before)
            assert_alike(taken, solved(after, sequence))
            assert_alike(solved(project, sequence, taken), before)


@pytest.mark.parametrize("name", AIRCRAFT)
def test_every_pivot_and_rod_of_an_aircraft_moved_and_put_back(name: str):
    assert_every_edit_is_solved_alike(read_project(SAMPLES / name))


@pytest.mark.parametrize("example", [one for one in catalogue() if one.project.sequences], ids=lambda one: one.name)
def test_every_pivot_and_rod_of_a_mechanism_moved_and_put_back(example):
    assert_every_edit_is_solved_alike(example.project)


def stages_taken(project: Project, after: Project) -> tuple[int, int]:
    """How many stages of the first phase go as before, and of how many."""
    first, second = (solved(one, one.sequences[0]).course for one in (project, after))
    assert first is not None
    assert second is not None
    settled, here = first.stretches[0].settled, second.stretches[0].phase
    begun = {
        at: Branch(branch.sign)
        for at, (stage, branch) in enumerate(zip(here.plan.stages, here.branches, strict=True))
        if not isinstance(stage.step, Knot)
    }
    taken = taken_over(dataclasses.replace(here, branches=()), Before(settled.phase, settled.result), begun)
    return 0 if taken is None else len(taken.stages), len(here.plan.stages)


def test_of_six_doors_that_do_not_hang_together_five_go_as_before():
    project = doors(6)
    number = next(at for at, one in enumerate(project.connections) if one.id == "rod-3")
    assert stages_taken(project, edited(project, number, 0.2)) == (15, 18)


def test_nothing_goes_as_before_that_is_driven_otherwise():
    project = doors(2)
    (sequence,) = project.sequences
    (step,) = sequence.steps
    quicker = replace(sequence, steps=(replace(step, duration=step.duration / 2.0),))
    assert stages_taken(project, replace(project, sequences=(quicker,))) == (0, 6)
