"""Every mechanism of the catalogue against its closed form, as drawn and in every other guise.

Pins are wanted within a millionth of a millimetre on every frame.
"""

from __future__ import annotations

import numpy as np
import pytest

from core.mechanism.build import build
from core.motion.schedule import lay_out
from core.motion.solve import solve_motion
from core.motion.trouble import DeadCentre, Redundant
from tests.mechanisms.catalogue import catalogue
from tests.mechanisms.example import Example, errors, point_track, solve
from tests.mechanisms.variations import mirrored, out_and_back, placed, shuffled

PIN = 1e-6  # mm

every_example = pytest.mark.parametrize("example", catalogue(), ids=lambda example: example.name)


def assert_as_known(example: Example, frames: int = 118) -> None:
    # Of 118 frames none stands exactly at a change point, where rounding in the tenth of a picometre of a turned and
    # scaled drawing is a hundredth of a micron of its pins.
    wrong = {name: off for name, off in errors(example, solve(example.project, frames)).items() if not off <= PIN}
    assert not wrong, f"{example.name}: off by mm {wrong}"


@every_example
@pytest.mark.parametrize("frames", [7, 60, 600])
def test_pins_stand_where_the_closed_form_says(example: Example, frames: int) -> None:
    assert_as_known(example, frames)


@every_example
def test_all_hold_together_and_nothing_is_reported_but_what_is_there(example: Example) -> None:
    motion = solve(example.project, 241)
    assert motion.assembled.all()
    found = [trouble for trouble in motion.troubles if not isinstance(trouble, DeadCentre)]
    surplus = sum(trouble.count for trouble in found if isinstance(trouble, Redundant))
    assert surplus == example.redundant
    others = [trouble for trouble in found if not isinstance(trouble, Redundant)]
    # The collar is loose until the latch takes hold of it.
    assert others == [] or example.name == "collar latched to a leg"


@every_example
@pytest.mark.parametrize("seed", [1, 2])
def test_the_order_in_the_file_makes_no_difference(example: Example, seed: int) -> None:
    assert_as_known(shuffled(example, seed))


@every_example
def test_a_mirrored_mechanism_moves_as_its_mirror_image(example: Example) -> None:
    assert_as_known(mirrored(example))


@every_example
@pytest.mark.parametrize("size", [0.1, 1000.0])
def test_place_and_size_make_no_difference(example: Example, size: float) -> None:
    extent = max(abs(point) for _, point in example.marks.values())
    assert_as_known(placed(example, scale=size / extent, turn=137.0, shift=complex(0.3, -0.7) * size))


@every_example
def test_poses_between_the_frames_are_solved_and_not_guessed(example: Example) -> None:
    schedule = lay_out(example.project.sequences[0])
    mechanism = build(example.project)
    motion = solve_motion(mechanism, schedule, np.linspace(0.0, schedule.seconds, 61))
    between = np.sort(np.random.default_rng(5).uniform(0.0, schedule.seconds, 40))
    known = solve_motion(mechanism, schedule, np.concatenate([[0.0], between, [schedule.seconds]]))
    poses = motion.poses_at(between)
    for body, drawn in example.marks.values():
        there = point_track(known, body, drawn)[1:-1]
        assert np.max(np.abs(point_track(motion, body, drawn, poses) - there)) <= 2 * PIN


@every_example
def test_there_and_back_ends_where_it_began(example: Example) -> None:
    project = out_and_back(example.project)
    motion = solve(project, 161)
    if not motion.assembled.all():
        pytest.skip("its drives cannot all be moved at once")
    for body, drawn in example.marks.values():
        track = point_track(motion, body, drawn)
        assert np.max(np.abs(track - track[::-1])) <= 2 * PIN


def test_the_catalogue_checks_itself_as_drawn() -> None:
    """Where a sequence starts as drawn, the closed form gives back the drawn points."""
    for example in catalogue():
        if example.project.sequences[0].start:
            continue
        nothing = {drive.id: np.zeros(1) for drive in example.project.drives}
        known = example.answer(nothing, np.zeros(1))
        assert all(abs(known[name][0] - point) < 1e-9 for name, (_, point) in example.marks.items()), example.name
