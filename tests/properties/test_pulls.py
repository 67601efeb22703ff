"""Random mechanisms pulled about: connections kept, limits kept, no dyad turned over, and back where it began."""

from __future__ import annotations

import numpy as np
import pytest

from core.document.project import Project
from core.geometry.planar import point_at
from core.mechanism.build import build
from core.mechanism.mechanism import Mechanism
from core.motion.schedule import lay_out
from core.motion.solve import solve_motion
from core.motion.values import value_of
from core.pulling.drives import drive_values
from core.pulling.grab import Grab, grab
from tests.core.pulling.hands import off_by, pulled_to
from tests.mechanisms.sketch import sequence, step
from tests.properties.chains import random_chain

KEPT = 1e-7  # mm


def taken(project: Project, random: np.random.Generator) -> tuple[Grab, complex]:
    """A random body of a mechanism in hand at one of its connections or beside it, and where that is."""
    mechanism = build(project)
    body = int(random.choice(np.flatnonzero(~np.array(mechanism.fixed))))
    links = [link for link in mechanism.links if body in link.bodies]
    link = links[int(random.integers(len(links)))]
    at = (link.p if link.first == body else link.q) + 0.2 * mechanism.size * complex(*random.normal(0.0, 1.0, 2))
    return grab(mechanism, np.zeros((len(mechanism.bodies), 3)), mechanism.bodies[body], at), at


def assert_within_limits(mechanism: Mechanism, poses: np.ndarray) -> None:
    for link in mechanism.links:
        if link.limits is not None:
            value = float(value_of(link, poses[None, link.first], poses[None, link.second])[0])
            drawn = float(value_of(link, np.zeros((1, 3)), np.zeros((1, 3)))[0])
            assert min(link.limits[0], drawn) - 1e-6 <= value <= max(link.limits[1], drawn) + 1e-6


def wander(seed: int, growths: int, pulls: int = 8) -> None:
    random = np.random.default_rng(seed)
    held, at = taken(random_chain(seed, growths=growths).project, random)
    here, size = held.poses, held.mechanism.size
    for _ in range(pulls):
        hand = at + 0.4 * size * complex(*random.normal(0.0, 1.0, 2))
        result = pulled_to(held, hand, here)
        here = result.poses
        assert off_by(held, here) < KEPT
        assert_within_limits(held.mechanism, here)
        point = complex(point_at(here[held.body], held.point))
        assert result.short_by == pytest.approx(abs(point - hand), abs=1e-9)
    back = pulled_to(held, at, here)
    assert off_by(held, back.poses) < KEPT


@pytest.mark.parametrize("seed", range(24))
def test_connections_are_kept_wherever_the_hand_goes(seed: int):
    wander(seed, growths=seed % 5 + 1)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(5000, 5400))
def test_connections_are_kept_in_many_more(seed: int):
    wander(seed, growths=seed % 7 + 1)


@pytest.mark.parametrize("seed", range(24))
def test_a_short_pull_and_back_leaves_everything_where_it_was(seed: int):
    random = np.random.default_rng(seed + 100)
    held, at = taken(random_chain(seed + 100, growths=seed % 5 + 1).project, random)
    there = pulled_to(held, at + 0.05 * held.mechanism.size * complex(*random.normal(0.0, 1.0, 2)))
    back = pulled_to(held, at, there.poses)
    assert np.abs(back.poses - held.poses).max() < 1e-5


@pytest.mark.parametrize("seed", range(16))
def test_where_a_pull_ends_is_where_its_drives_take_the_sequence(seed: int):
    """What a pull finds, the solver finds from the drives' values: no dyad stands otherwise."""
    random = np.random.default_rng(seed + 300)
    project = random_chain(seed + 300, growths=seed % 4 + 1).project
    held, at = taken(project, random)
    result = pulled_to(held, at + 0.15 * held.mechanism.size * complex(*random.normal(0.0, 1.0, 2)))
    values = dict(zip(held.mechanism.drives, drive_values(held.mechanism, result.poses), strict=True))
    schedule = lay_out(sequence((step("go", 2.0, values),)))
    motion = solve_motion(held.mechanism, schedule, np.linspace(0.0, 2.0, 61))
    if motion.assembled[-1].all():
        close = 1e-5 if result.turned_back < 0 else 1e-2  # at a dead centre a drive says little of where its bodies are
        np.testing.assert_allclose(motion.poses[-1], result.poses, atol=close)
    else:  # the straight way of the drives may pass what the hand went round
        assert len(values) > 1
