"""Random mechanisms against answers that were found without core: closed forms and scipy on loop closures."""

from __future__ import annotations

import numpy as np
import pytest

from core.motion.trouble import DeadCentre
from tests.mechanisms.example import Example, errors, solve
from tests.mechanisms.variations import mirrored, placed, shuffled
from tests.properties.chains import random_chain
from tests.properties.closures import platform, stephenson_from_afar

PIN = 1e-6  # mm


def assert_as_known(example: Example, frames: int = 91) -> None:
    motion = solve(example.project, frames)
    wrong = {name: off for name, off in errors(example, motion).items() if not off <= PIN}
    assert not wrong, f"{example.name}: off by mm {wrong}"
    assert motion.assembled.all()
    assert [one for one in motion.troubles if not isinstance(one, DeadCentre)] == []


@pytest.mark.parametrize("seed", range(25))
def test_chains(seed: int) -> None:
    assert_as_known(shuffled(random_chain(seed, growths=4), seed))


@pytest.mark.parametrize("seed", range(6))
def test_chains_elsewhere_and_mirrored(seed: int) -> None:
    random = np.random.default_rng(seed)
    example = random_chain(seed + 1000, growths=3)
    scale = 10 ** random.uniform(-2.5, 1.3)  # its 50 mm become 0.16 mm to 1,000 mm
    shift = complex(*random.uniform(-50.0, 50.0, 2)) * scale
    assert_as_known(placed(mirrored(example), scale=scale, turn=random.uniform(0, 360), shift=shift))


@pytest.mark.parametrize("frames", [5, 13, 600])
def test_chains_with_few_frames_and_many(frames: int) -> None:
    for seed in (3, 7, 11):
        assert_as_known(random_chain(seed, growths=5), frames)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(2000, 2300))
def test_many_more_chains(seed: int) -> None:
    assert_as_known(shuffled(random_chain(seed, growths=seed % 6 + 1), seed), frames=seed % 97 + 5)


@pytest.mark.parametrize("as_bodies", [False, True], ids=["rods", "links"])
@pytest.mark.parametrize("seed", range(6))
def test_a_body_held_by_three(seed: int, as_bodies: bool) -> None:
    assert_as_known(shuffled(platform(seed, as_bodies=as_bodies), seed), frames=61)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(100, 180))
def test_many_more_bodies_held_by_three(seed: int) -> None:
    assert_as_known(shuffled(platform(seed, as_bodies=seed % 2 == 0), seed), frames=41)


@pytest.mark.parametrize("frames", [9, 61])
def test_a_six_bar_whose_bodies_must_be_found_together(frames: int) -> None:
    assert_as_known(stephenson_from_afar(high=70.0, low=2.0), frames)
