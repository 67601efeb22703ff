"""How far linkages stray between moments: never farther than their equations are said to allow, against closed forms
that are nothing of the program's, a hundred times as fine."""

from __future__ import annotations

import numpy as np
import pytest

from core.motion.motion import Motion
from core.motion.straying import Linkage
from core.motion.ways import Ways
from tests.mechanisms.catalogue import catalogue
from tests.mechanisms.example import Example, solve
from tests.mechanisms.planar import Floats, Points
from tests.properties.chains import random_chain
from tests.properties.closures import platform, stephenson_from_afar

FRAMES = 241
FINE = 100
ROUNDING = 1e-8  # mm, in which the closed forms are that are only known to their square root's digits


def ways_of(motion: Motion, marks: list[tuple[str, complex]]) -> Ways:
    """Of marks, between all frames."""
    which = np.array([motion.bodies.index(body) for body, _ in marks])
    linkage = Linkage(motion.course, (), which, np.array([point for _, point in marks]))
    start = np.arange(len(motion.times) - 1)
    return linkage.ways(motion.times, motion.poses, start, start + 1)


def between(motion: Motion) -> Floats:
    """(S, FINE + 1) moments of all spans, both ends included."""
    share = np.linspace(0.0, 1.0, FINE + 1)
    return motion.times[:-1, None] + np.diff(motion.times)[:, None] * share


def known(example: Example, motion: Motion) -> dict[str, Points]:
    """Each mark's place at all moments between frames, (S, FINE + 1), by the closed form."""
    fine = between(motion)
    drives = motion.course.inputs.at(fine.ravel())
    tracks = example.answer({drive: drives[:, at] for at, drive in enumerate(motion.drive_ids)}, fine.ravel())
    return {name: track.reshape(fine.shape) for name, track in tracks.items()}


def off_chord(paths: Points) -> Floats:
    """(S,) how far paths (S, n) stray from where going straight and steadily would take them."""
    share = np.linspace(0.0, 1.0, paths.shape[1])
    return np.abs(paths - paths[:, :1] - (paths[:, -1:] - paths[:, :1]) * share).max(axis=1)


def assert_bounded(example: Example, frames: int = FRAMES, share: float = 0.9) -> None:
    """`share` is how many of the spans must be bounded, at so many frames."""
    motion = solve(example.project, frames)
    names = list(example.marks)
    ways = ways_of(motion, [example.marks[name] for name in names])
    falls, stays = ways.stray(np.zeros(len(names)))
    paths = known(example, motion)
    for at, name in enumerate(names):
        proved = ways.proved[:, at]
        assert proved.mean() > share, name
        path = paths[name][proved]
        assert (off_chord(path) <= (falls + stays)[proved, at] + ROUNDING).all(), name
        quarter = path[:, 25:51]
        assert (off_chord(quarter) <= (falls / 16.0 + stays)[proved, at] + ROUNDING).all(), name


@pytest.mark.parametrize("example", catalogue(), ids=lambda example: example.name)
def test_no_mark_of_the_catalogue_leaves_its_bound(example: Example) -> None:
    assert_bounded(example)


@pytest.mark.parametrize("seed", range(12))
def test_no_mark_of_a_random_chain_leaves_its_bound(seed: int) -> None:
    assert_bounded(random_chain(seed, growths=4))


@pytest.mark.long
@pytest.mark.parametrize("seed", range(3000, 3150))
def test_no_mark_of_many_more_chains_leaves_its_bound(seed: int) -> None:
    assert_bounded(random_chain(seed, growths=seed % 6 + 1), share=-1.0)


@pytest.mark.parametrize(("seed", "as_bodies"), [(0, False), (2, True), (3, False)])
def test_no_mark_of_bodies_that_are_found_together_leaves_its_bound(seed: int, as_bodies: bool) -> None:
    assert_bounded(platform(seed, as_bodies=as_bodies), frames=61, share=0.5)


def test_no_mark_of_a_six_bar_that_is_found_together_leaves_its_bound() -> None:
    assert_bounded(stephenson_from_afar(high=70.0, low=2.0), frames=61, share=0.5)


@pytest.mark.parametrize("seed", range(6))
def test_nor_does_it_as_another_body_sees_it(seed: int) -> None:
    example = random_chain(seed, growths=3)
    motion, bodies = solve(example.project, FRAMES), [body.id for body in example.project.bodies]
    ways = ways_of(motion, [(body, 0j) for body in bodies])
    paths = known(example, motion)
    spans, every = np.arange(FRAMES - 1)[:, None], np.arange(len(bodies))
    for seeing, body in enumerate(bodies):
        ahead = paths[f"{body} 1"] - paths[f"{body} 0"]
        turned = np.conj(ahead / np.abs(ahead))
        from_it = ways.at(spans, np.full(len(bodies), seeing))
        falls, stays = ways.at(spans, every).seen_from(from_it, np.zeros(len(bodies)))
        proved = from_it.proved & ways.proved
        assert proved.mean() > 0.85
        for at, other in enumerate(bodies):
            seen = (paths[f"{other} 0"] - paths[f"{body} 0"]) * turned
            bound = (falls + stays)[:, at] + ROUNDING
            assert (off_chord(seen)[proved[:, at]] <= bound[proved[:, at]]).all(), (body, other)


def test_the_bound_is_close() -> None:
    """Of what moves, the bound is seldom more than twice what is strayed."""
    ratios = []
    for seed in range(6):
        example = random_chain(seed, growths=4)
        motion = solve(example.project, FRAMES)
        names = list(example.marks)
        ways = ways_of(motion, [example.marks[name] for name in names])
        falls, stays = ways.stray(np.zeros(len(names)))
        for at, path in enumerate(known(example, motion)[name] for name in names):
            off = off_chord(path)
            moves = ways.proved[:, at] & (off > 1e-4)
            ratios += ((falls + stays)[moves, at] / off[moves]).tolist()
    assert len(ratios) > 1000
    assert np.median(ratios) < 1.2
    assert np.quantile(ratios, 0.95) < 2.0
