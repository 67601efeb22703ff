"""A knot after an edit: sought at once where it goes nearly as before, walked anew in doubt, and alike always."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

import core.motion.following
from core.document.project import Pivot, Project, Rod
from core.mechanism.build import build
from core.motion.motion import Motion
from core.motion.schedule import lay_out
from core.motion.solve import solve_motion
from tests.properties.closures import platform


def solved(project: Project, previous: Motion | None = None) -> Motion:
    schedule = lay_out(project.sequences[0])
    return solve_motion(build(project), schedule, np.linspace(0.0, schedule.seconds, 121), previous)


def moved(project: Project, number: int, x: float, y: float) -> Project:
    connections = list(project.connections)
    one = connections[number]
    if isinstance(one, Pivot):
        connections[number] = replace(one, at=(one.at[0] + x, one.at[1] + y))
    elif isinstance(one, Rod):
        connections[number] = replace(one, ends=(one.ends[0], (one.ends[1][0] + x, one.ends[1][1] + y)))
    return replace(project, connections=tuple(connections))


def assert_alike(one: Motion, other: Motion) -> None:
    np.testing.assert_array_equal(one.assembled, other.assembled)
    np.testing.assert_allclose(one.poses, other.poses, atol=1e-8)
    assert [type(trouble) for trouble in one.troubles] == [type(trouble) for trouble in other.troubles]


@settings(max_examples=12, deadline=None)
@given(st.integers(0, 60), st.integers(0, 9), st.floats(-6.0, 6.0), st.floats(-6.0, 6.0))
def test_it_goes_as_one_that_is_walked_from_its_start(seed, number, x, y):
    project = platform(seed).project
    after = moved(project, number % len(project.connections), x, y)
    assert_alike(solved(after, solved(project)), solved(after))


@pytest.fixture
def walks(monkeypatch) -> list[bool]:
    """Whether each knot that went before was walked anew."""
    anew: list[bool] = []
    real = core.motion.following.walked_as_before

    def noted(tangle, placing, start, before):
        found = real(tangle, placing, start, before)
        if before is not None:
            anew.append(found is None)
        return found

    monkeypatch.setattr(core.motion.following, "walked_as_before", noted)
    return anew


def test_a_small_edit_is_not_walked_and_a_large_one_is(walks):
    project = platform(8).project
    number = next(at for at, one in enumerate(project.connections) if isinstance(one, Rod))
    before = solved(project)
    solved(moved(project, number, 0.05, 0.0), before)
    assert walks == [False]
    solved(moved(project, number, 12.0, -7.0), before)
    assert walks == [False, True]
