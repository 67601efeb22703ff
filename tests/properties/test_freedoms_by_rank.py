"""What is said to be loose or redundant by the rank of the velocity equations, for chains taken apart and propped."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.project import Gearing, Project
from core.motion.motion import Motion
from core.motion.trouble import DeadCentre, Jam, Loose, Redundant
from tests.mechanisms.catalogue import catalogue
from tests.mechanisms.example import solve
from tests.mechanisms.sketch import rod
from tests.mechanisms.variations import shuffled, undriven
from tests.properties.chains import random_chain
from tests.properties.freedoms import Count, Stance, count_freedoms, firmness
from tests.properties.test_invariants import gaps


def spoilt(seed: int, taken: int, added: int) -> Project:
    """A random chain, `taken` of its connections out and `added` rods in between any of its bodies."""
    random = np.random.default_rng(seed)
    whole = shuffled(random_chain(seed + 9000, growths=seed % 4 + 1), seed).project
    needed = {name for one in whole.connections if isinstance(one, Gearing) for name in one.pivots}
    needed |= {drive.on for drive in whole.drives}
    connections = list(whole.connections)
    for _ in range(taken):
        free = [one for one in connections if one.id not in needed]
        if free:
            connections.remove(free[int(random.integers(len(free)))])
    for number in range(added):
        first, second = (str(name) for name in random.choice([body.id for body in whole.bodies], 2, replace=False))
        start, end = (complex(*point) for point in random.uniform(-50.0, 50.0, (2, 2)))
        connections.append(rod(f"prop-{number}", first, second, start, end))
    return replace(whole, connections=tuple(connections))


def taken_apart(seed: int) -> Project:
    return spoilt(seed, 1 + seed % 2, 0)


@cache
def solved(seed: int) -> Motion:
    return solve(taken_apart(seed), 31)


@pytest.mark.parametrize("seed", range(40))
def test_at_rest_the_rank_says_what_is_loose_and_what_is_redundant(seed: int) -> None:
    made = spoilt(seed, seed % 3, seed // 3 % 3)
    motion = solve(undriven(made), 3)
    wanted = count_freedoms(made, driven=False)
    got = Count(
        sum(one.freedoms for one in motion.troubles if isinstance(one, Loose)),
        sum(one.count for one in motion.troubles if isinstance(one, Redundant)),
    )
    assert got == wanted
    assert not any(isinstance(one, Jam) for one in motion.troubles)
    assert np.max(np.abs(motion.poses)) <= 1e-6


@pytest.mark.parametrize("seed", range(30))
def test_with_something_loose_the_rest_is_driven_and_all_is_met(seed: int) -> None:
    """What is loose is dragged along. It can still be dragged into a dead end, where the equations lose their rank; a
    jam anywhere else would be false."""
    made = taken_apart(seed)
    motion = solved(seed)
    freedoms = sum(one.freedoms for one in motion.troubles if isinstance(one, Loose))
    assert freedoms == count_freedoms(made, driven=True).freedoms
    assert {type(one) for one in motion.troubles} <= {Loose, DeadCentre, Jam}
    jams = [one for one in motion.troubles if isinstance(one, Jam)]
    for jam in jams:
        (poses,) = motion.poses_at(np.array([jam.begin - 1e-8]))
        assert firmness(made, Stance(dict(zip(motion.bodies, poses, strict=True)))) <= 1e-4
    assert motion.assembled.all() or jams
    whole = motion.assembled.all(axis=1)
    assert max(np.max(gap[whole]) for gap in gaps(made, motion).values()) <= 1e-7


def test_dead_ends_are_rare() -> None:
    """So that the exception above excuses nothing."""
    jammed = [seed for seed in range(30) if any(isinstance(one, Jam) for one in solved(seed).troubles)]
    assert len(jammed) <= 1


def test_the_count_knows_the_catalogue() -> None:
    """What the rank says of each mechanism is what is known of it, so that the two checks stand on each other."""
    for example in catalogue():
        if example.name in {"leg on a jack", "collar latched to a leg"}:
            continue  # neither a jack without a drive nor an open latch has an equation
        assert count_freedoms(example.project, driven=False) == Count(example.freedoms, example.redundant)
