"""Knots: bodies that have to be found together, walked along, out of a jam and back on their branch."""

from __future__ import annotations

import numpy as np
import pytest

from core.document.project import Project
from core.mechanism.build import build
from core.motion.motion import Motion
from core.motion.newton import newton, tangle_of
from core.motion.placing import Placing
from core.motion.trouble import DeadCentre, Jam
from core.motion.walk import foretold
from tests.mechanisms.example import point_track, solve
from tests.mechanisms.sketch import FRAME, frame, jack, moving, pivot, project, rod, slide, step

FEET, EYES = (0j, 60 + 0j, 75 + 25j), (10 + 30j, 45 + 35j, 40 + 20j)


def table(*steps) -> Project:
    """A plate on three rods, the foot of one carried by a driven slide."""
    return project(
        (frame(), *moving("plate", "shoe")),
        (
            slide("guide", FRAME, "shoe", 0, 1),
            rod("rod-0", "shoe", "plate", FEET[0], EYES[0]),
            rod("rod-1", FRAME, "plate", FEET[1], EYES[1]),
            rod("rod-2", FRAME, "plate", FEET[2], EYES[2]),
        ),
        {"push": "guide"},
        steps,
    )


def rods(motion: Motion) -> np.ndarray:
    """(3, F) how far the rods' lengths are off."""
    shoe = point_track(motion, "shoe", FEET[0])
    eyes = [point_track(motion, "plate", eye) for eye in EYES]
    feet = [shoe, np.full_like(shoe, FEET[1]), np.full_like(shoe, FEET[2])]
    lengths = [abs(eye - foot) for eye, foot in zip(EYES, FEET, strict=True)]
    return np.array([np.abs(eye - foot) - length for eye, foot, length in zip(eyes, feet, lengths, strict=True)])


@pytest.mark.parametrize("frames", [4, 33, 400])
def test_a_knot_meets_its_rods_and_comes_back(frames: int) -> None:
    motion = solve(table(step("out", 2.0, {"push": 6.0}), step("back", 2.0, {"push": 0.0})), frames)
    assert motion.troubles == ()
    assert np.abs(rods(motion)).max() < 1e-9
    assert np.abs(motion.poses - motion.poses[::-1]).max() < 1e-9
    assert np.abs(motion.poses[-1]).max() < 1e-9


def test_a_knot_between_the_frames_is_where_more_frames_put_it() -> None:
    made = table(step("out", 2.0, {"push": 6.0}, profile="eased"))
    coarse, fine = solve(made, 9), solve(made, 301)
    assert np.abs(coarse.poses_at(fine.times) - fine.poses).max() < 1e-9


@pytest.mark.parametrize("frames", [7, 60, 301])
def test_a_knot_that_jams_comes_back_as_it_went(frames: int) -> None:
    motion = solve(table(step("out", 2.0, {"push": -30.0}), step("back", 2.0, {"push": 0.0})), frames)
    (jam,) = (one for one in motion.troubles if isinstance(one, Jam))
    assert set(jam.connections) == {"rod-0", "rod-1", "rod-2"}
    assert jam.begin + jam.end == pytest.approx(4.0, abs=4e-3)
    assert jam.short_by > 0.1
    plate = motion.bodies.index("plate")
    good = motion.assembled[:, plate]
    assert not good[(motion.times > jam.begin + 1e-3) & (motion.times < jam.end - 1e-3)].any()
    assert good[(motion.times < jam.begin - 1e-3) | (motion.times > jam.end + 1e-3)].all()
    assert np.abs(rods(motion)[:, good]).max() < 1e-8
    assert np.abs(motion.poses[-1]).max() < 1e-9


@pytest.mark.parametrize("frames", [2, 25, 160])
def test_when_a_knot_jams_does_not_hang_on_the_frames(frames: int) -> None:
    made = table(step("out", 2.0, {"push": -30.0}), step("back", 2.0, {"push": 0.0}))
    (jam,), (other,) = ([one for one in solve(made, n).troubles if isinstance(one, Jam)] for n in (frames, 301))
    assert (jam.begin, jam.end) == (pytest.approx(other.begin, abs=1e-7), pytest.approx(other.end, abs=1e-7))


@pytest.mark.parametrize("frames", [9, 121])
def test_a_chain_that_is_dragged_jams_where_it_is_straight(frames: int) -> None:
    """Links of 30, 10, 20 and 50 from the end of a crank of 20 reach 110 (triangle inequality), which by the cosine
    rule is at 120 cos t + 30 sin t = (120² + 30² + 20² - 110²) / (2 · 20) = 90."""
    made = project(
        (frame(), *moving("crank", "loose", "tail")),
        (
            pivot("hinge", FRAME, "crank", 0),
            rod("tow", "crank", "loose", 20, 50),
            pivot("knee", "loose", "tail", 60),
            rod("tether", "tail", FRAME, 80, 120 + 30j),
        ),
        {"angle": "hinge"},
        (step("turn", 1.0, {"angle": 60.0}), step("rest", 1.0)),
    )
    (jam,) = (one for one in solve(made, frames).troubles if isinstance(one, Jam))
    angle = np.rad2deg(np.arctan2(30.0, 120.0) + np.arccos(90.0 / np.hypot(120.0, 30.0)))
    assert jam.begin == pytest.approx(angle / 60.0, abs=1e-7)


CRANK, SPAN, FOOT, EYE = 20.0, 60.0, 60 - 80j, 30 + 30j


def ram_length(angle: float) -> float:
    """Of a jack from FOOT to a point of the coupler of a parallelogram, whose cranks stand at an angle in degrees."""
    return float(abs(EYE + CRANK * np.exp(1j * np.deg2rad(angle)) - FOOT))


def pushed_parallelogram(begin: float, end: float) -> Project:
    """A parallelogram whose coupler is driven by a jack, so that all three links have to be found together."""
    crank = CRANK * complex(np.exp(1j * np.deg2rad(begin)))
    return project(
        (frame(), *moving("left", "coupler", "right")),
        (
            pivot("a0", FRAME, "left", 0),
            pivot("b0", FRAME, "right", SPAN),
            pivot("a", "left", "coupler", crank),
            pivot("b", "right", "coupler", SPAN + crank),
            jack("ram", FRAME, "coupler", FOOT, EYE + crank, 50.0, 100.0),
        ),
        {"push": "ram"},
        (step("in", 2.0, {"push": ram_length(end) - 50.0}),),
    )


@pytest.mark.parametrize("frames", [2, 7, 20, 41, 60, 81, 121, 160, 300])
def test_a_knot_goes_through_its_change_point_the_smooth_way(frames: int) -> None:
    """A parallelogram is a change-point linkage: its cranks may go on in step or against each other where they lie
    along it (F. Freudenstein, G. N. Sandor, in Mechanical Design and Systems Handbook, 1985; from memory)."""
    motion = solve(pushed_parallelogram(60.0, -60.0), frames)
    assert [type(one) for one in motion.troubles] == [DeadCentre]
    assert motion.assembled.all()
    left, right = (motion.poses[:, motion.bodies.index(one), 2] for one in ("left", "right"))
    assert np.abs(left - right).max() < 1e-6
    assert np.rad2deg(left[-1]) == pytest.approx(-120.0, abs=1e-6)


def test_one_singular_frame_does_not_spoil_the_others() -> None:
    """Three rods through one point hold no turn about it; numpy gives up on the whole stack for one such matrix."""
    far = ((0j, 10 + 30j), (60 + 0j, 50 + 30j), (30 + 0j, 30 + 25j))
    made = build(
        project(
            (frame(), *moving("plate")), tuple(rod(f"r{at}", FRAME, "plate", *ends) for at, ends in enumerate(far)), {}
        )
    )
    placing = Placing.drawn(2, np.zeros(2), np.zeros((2, 0)))
    tangle = tangle_of(
        made, (0, 1, 2), ((1,),), {}, Placing.drawn(2, np.zeros(1), np.zeros((1, 0))), np.array([[[1.0, 2.0, 0.1]]])
    )
    assert len(tangle.kept) == 3
    solution = newton(tangle, placing, np.array([[[0.0, 0.0, 0.0]], [[0.4, -0.3, 0.05]]]))
    assert np.isfinite(solution.unknowns).all()
    assert solution.good[0]


def test_a_cubic_foretells_a_cubic() -> None:
    known = np.linspace(0.0, 3.0, 25)
    values = np.stack([known**2, np.sin(known), 2.0 - known], axis=1)[:, None, :]
    times = np.array([0.31, 1.77, 2.9])
    wanted = np.stack([times**2, np.sin(times), 2.0 - times], axis=1)[:, None, :]
    assert np.abs(foretold(known, values, times) - wanted).max() < 2e-3
    assert foretold(known, values, np.array([-1.0, 9.0]))[:, 0] == pytest.approx(values[[0, -1], 0])
