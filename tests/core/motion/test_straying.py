"""What the linkage's equations bound, and what they do not."""

from __future__ import annotations

import math

import numpy as np
import pytest

from core.document.project import Move, Profile, Project, Step
from core.motion.motion import Motion
from core.motion.pace import pace_of
from core.motion.straying import Bar, Linkage
from core.motion.ways import Ways
from tests.mechanisms.example import solve
from tests.mechanisms.sketch import frame, gearing, latch, moving, pivot, project, rod, slide, step

FRAMES = 201


def ways_of(motion: Motion, *marks: tuple[str, complex], bars: tuple[Bar, ...] = ()) -> Ways:
    """Of marks, and of the far ends of bars after them, between all frames."""
    which = [motion.bodies.index(body) for body, _ in marks] + [len(motion.bodies) + at for at in range(len(bars))]
    points = [point for _, point in marks] + [complex(abs(bar.ends[1] - bar.ends[0])) for bar in bars]
    linkage = Linkage(motion.course, bars, np.array(which), np.array(points))
    start = np.arange(len(motion.times) - 1)
    poses = motion.poses
    if bars:
        poses = np.concatenate([poses, np.stack([bar_poses(motion, bar) for bar in bars], axis=1)], axis=1)
    return linkage.ways(motion.times, poses, start, start + 1)


def bar_poses(motion: Motion, bar: Bar) -> np.ndarray:
    at = motion.poses[:, list(bar.bodies)]
    ends = at[..., 0] + 1j * at[..., 1] + np.exp(1j * at[..., 2]) * np.array(bar.ends)
    return np.stack([ends[:, 0].real, ends[:, 0].imag, np.unwrap(np.angle(ends[:, 1] - ends[:, 0]))], axis=-1)


def crank(*steps: object) -> Project:
    return project([frame(), *moving("crank")], [pivot("hinge", "frame", "crank", 0j)], {"angle": "hinge"}, steps)


def rocker(*steps: object, **more: object) -> Project:
    """A crank of 20 mm, a coupler of 50 mm, a lever of 40 mm about (60, 0): it turns through."""
    crank_pin = 20.0 + 0j
    lever_pin = 60.0 + 40.0 * np.exp(1j * math.acos((40.0**2 + 40.0**2 - 50.0**2) / (-2.0 * 40.0 * 40.0)))
    return project(
        [frame(), *moving("crank", "lever")],
        [
            pivot("hinge", "frame", "crank", 0j),
            pivot("post", "frame", "lever", 60.0 + 0j),
            rod("coupler", "crank", "lever", crank_pin, complex(lever_pin)),
        ],
        {"angle": "hinge"},
        steps,
        **more,
    )


# ---- drives ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("part", [(0.0, 1.0), (0.0, 0.3), (0.6, 1.0), (0.2, 0.7)])
@pytest.mark.parametrize("profile", ["steady", "eased"])
@pytest.mark.parametrize(("begin", "end"), [(0.2, 0.21), (1.0, 1.3), (0.5, 2.5), (2.9, 3.0), (3.1, 3.4)])
def test_drives_keep_within_the_bounds_of_their_derivatives(
    profile: Profile, part: tuple[float, float], begin: float, end: float
) -> None:
    """Differences of the values themselves are means of the derivatives."""
    turn = Step(id="turn", duration=3.0, moves=(Move(drive="angle", to=80.0, profile=profile, part=part),))
    motion = solve(crank(turn, step("rest", 1.0)), FRAMES)
    inputs = motion.course.inputs
    pace = pace_of(inputs, np.array([begin]), np.array([end]), 1e-9)
    share = np.linspace(0.0, 1.0, 41)
    values = inputs.at(begin + (end - begin) * share)[:, 0]
    assert pace.values[:, 0, 0] == pytest.approx(values[[0, -1]])
    for order, bound in enumerate(pace.greatest[:, 0, 0], start=1):
        seen = np.abs(np.diff(values, order) * 40.0**order).max()
        assert seen <= bound + 1e-9 * 40.0**order
        assert bound <= 3.0 * seen + 1e-9 * 40.0**order or end - begin > 1.0
    small = 1e-6
    for at, rate in ((0.0, pace.rates[0, 0, 0]), (1.0 - small, pace.rates[1, 0, 0])):
        pair = inputs.at(begin + (end - begin) * np.array([at, at + small]))[:, 0]
        assert (pair[1] - pair[0]) / small == pytest.approx(rate, rel=1e-3, abs=1e-3)


def test_a_span_in_which_a_move_begins_bounds_nothing() -> None:
    motion = solve(crank(step("rest", 1.0), step("turn", 1.0, {"angle": 80.0})), FRAMES)
    pace = pace_of(motion.course.inputs, np.array([0.5, 0.9, 1.0]), np.array([1.0, 1.1, 1.5]), 1e-9)
    assert (pace.greatest[0, :, 0] > 1e9).tolist() == [False, True, False]


def test_a_drive_that_leaps_at_a_spans_end_has_no_bound_in_it() -> None:
    motion = solve(crank(step("turn", 1.0, {"angle": 20.0}), step("leap", 0.0, {"angle": 50.0}), step("on", 1.0)), 101)
    proved = ways_of(motion, ("crank", 10j)).proved[:, 0]
    assert np.flatnonzero(~proved).tolist() == [np.searchsorted(motion.times, 1.0) - 1]


# ---- bounds ---------------------------------------------------------------------------------------------------------


def test_a_steady_crank_strays_by_an_eighth_of_the_radius_times_the_turn_squared() -> None:
    """The rise of an arc over its chord, r (1 - cos(a / 2)), and no more than its first term."""
    motion = solve(crank(step("turn", 1.0, {"angle": 180.0})), FRAMES)
    falls, stays = ways_of(motion, ("crank", 30.0 + 0j)).stray(np.zeros(1))
    turn = math.pi / (FRAMES - 1)
    assert (falls + stays >= 30.0 * (1.0 - math.cos(turn / 2.0))).all()
    assert falls == pytest.approx(np.full(falls.shape, 30.0 * turn**2 / 8.0), rel=1e-3)
    assert stays.max() < 1e-6


def test_rates_at_the_ends_are_those_of_the_motion() -> None:
    motion = solve(rocker(step("turn", 1.0, {"angle": 360.0})), FRAMES)
    ways = ways_of(motion, ("lever", 30.0 + 30j))
    small = 1e-5
    for end, side in ((0, 1.0), (1, -1.0)):
        times = motion.times[:-1] if end == 0 else motion.times[1:]
        near = motion.poses_at(times + side * small)[:, 2]
        rate = side * (near[:, 2] - motion.poses_at(times)[:, 2, 2]) / small * np.diff(motion.times)
        assert ways.turn_rate[end, :, 0] == pytest.approx(rate, abs=1e-5)


def test_a_body_that_goes_along_with_another_stands_still_to_it() -> None:
    motion = solve(
        project(
            [frame(), *moving("leg", "fork")],
            [pivot("hinge", "frame", "leg", 0j), slide("bush", "leg", "fork", 50.0 + 0j, 1 + 0j)],
            {"angle": "hinge", "travel": "bush"},
            [step("swing", 1.0, {"angle": 90.0})],
        ),
        FRAMES,
    )
    ways = ways_of(motion, ("leg", 20.0 + 5j), ("fork", 60.0 + 0j))
    spans, leg, fork = np.arange(FRAMES - 1), np.zeros(1, dtype=int), np.ones(1, dtype=int)
    falls, stays = ways.at(spans[:, None], fork).seen_from(ways.at(spans[:, None], leg), np.array([10.0]))
    assert ways.proved.all()
    assert (falls + stays).max() < 1e-5
    assert ways.stray(np.array([10.0, 10.0]))[0].max() > 5e-4


def test_a_bar_is_bounded_as_the_bodies_are() -> None:
    motion = solve(rocker(step("turn", 1.0, {"angle": 360.0})), FRAMES)
    link = rocker().connections[2]
    bar = Bar(bodies=(1, 2), ends=(complex(*link.ends[0]), complex(*link.ends[1])))
    ways = ways_of(motion, ("lever", bar.ends[1]), bars=(bar,))
    assert ways.proved.all()
    lever, end = ways.stray(np.zeros(2))[0].T
    assert end == pytest.approx(lever, rel=0.02, abs=1e-5)  # the bar's far end is the lever's pin
    fine = np.linspace(0.0, 1.0, 20 * (FRAMES - 1) + 1)
    at = motion.poses_at(fine)
    ends = at[:, [1, 2], 0] + 1j * at[:, [1, 2], 1] + np.exp(1j * at[:, [1, 2], 2]) * np.array(bar.ends)
    turn = np.unwrap(np.angle(ends[:, 1] - ends[:, 0]))
    turn = np.stack([turn[:-1].reshape(-1, 20)[:, at] for at in range(20)] + [turn[20::20]], axis=1)
    off = turn - turn[:, :1] - (turn[:, -1:] - turn[:, :1]) * np.linspace(0.0, 1.0, 21)
    assert (np.abs(off).max(axis=1) <= ways.turn_bend[:, 1] / 8.0 + 2.0 * ways.off_turn[:, 1] + 1e-12).all()


def test_discs_that_do_not_turn_are_bounded_by_their_centres() -> None:
    motion = solve(crank(step("turn", 1.0, {"angle": 180.0})), FRAMES)
    ways = ways_of(motion, ("crank", 30.0 + 0j))
    upright = ways.upright(np.array([True]))
    assert upright.stray(np.array([100.0]))[0] == pytest.approx(ways.stray(np.zeros(1))[0])
    assert ways.stray(np.array([100.0]))[0].min() > 2.0 * ways.stray(np.zeros(1))[0].max()


# ---- what is not bounded --------------------------------------------------------------------------------------------


def test_what_jams_is_not_bounded_and_the_rest_is() -> None:
    made = project(
        [frame(), *moving("crank", "lever", "door")],
        [*rocker().connections, pivot("door-hinge", "frame", "door", 200.0 + 0j)],
        {"lever-angle": "post", "door-angle": "door-hinge"},
        [step("turn", 1.0, {"lever-angle": 100.0, "door-angle": 30.0})],
    )
    motion = solve(made, FRAMES)
    ways = ways_of(motion, ("crank", 10j), ("lever", 60.0 + 10j), ("door", 210.0 + 0j))
    held = ~motion.assembled[:, 1]
    assert held.any()
    assert not ways.proved[held[1:], 0].any()
    assert ways.proved[~held[1:] & (motion.times[1:] < 0.9 * motion.times[held][0]), 0].all()
    assert ways.proved[:, 1:].all()


def test_what_is_only_dragged_has_no_equations() -> None:
    made = project(
        [frame(), *moving("crank", "loose", "tail")],
        [
            pivot("hinge", "frame", "crank", 0j),
            rod("tow", "crank", "loose", 20.0 + 0j, 50.0 + 0j),
            pivot("knee", "loose", "tail", 60.0 + 0j),
            rod("tether", "tail", "frame", 80.0 + 0j, 120.0 + 30j),
        ],
        {"angle": "hinge"},
        [step("turn", 1.0, {"angle": 60.0}), step("rest", 1.0)],
    )
    motion = solve(made, FRAMES)
    ways = ways_of(motion, ("crank", 10j), ("loose", 55.0 + 0j), ("tail", 70.0 + 0j))
    turns = motion.times[1:] <= 1.0
    assert ways.proved[:, 0].all()
    assert ways.placed.all(axis=0).tolist() == [True, False, False]
    assert not ways.proved[turns, 1:].any()
    assert ways.proved[~turns].all()  # while the crank rests, all do


def test_what_is_loose_and_held_rides_along_by_equations() -> None:
    motion = solve(
        project(
            [frame(), *moving("crank", "flap")],
            [pivot("hinge", "frame", "crank", 0j), pivot("flap-hinge", "crank", "flap", 20.0 + 0j)],
            {"angle": "hinge"},
            [step("turn", 1.0, {"angle": 120.0})],
        ),
        FRAMES,
    )
    assert ways_of(motion, ("flap", 30.0 + 0j)).proved.all()


def test_a_latch_carries_what_it_holds_by_equations() -> None:
    made = project(
        [frame(), *moving("leg", "hook")],
        [
            pivot("leg-hinge", "frame", "leg", 0j),
            pivot("hook-hinge", "frame", "hook", 0j),
            latch("lock", "leg", "hook", 20.0 + 0j, 20.0 + 0j),
        ],
        {"leg-angle": "leg-hinge"},
        [
            step("hold", 0.5, engage=("lock",)),
            step("swing", 1.0, {"leg-angle": 60.0}),
            step("back", 1.0, {"leg-angle": 10.0}, release=("lock",)),
        ],
    )
    motion = solve(made, 251)
    ways = ways_of(motion, ("leg", 10j), ("hook", 10j))
    assert ways.proved.all()
    assert np.ptp(motion.poses[:, 2, 2]) == pytest.approx(math.radians(60.0))


def test_a_geared_pair_is_bounded() -> None:
    made = project(
        [frame(), *moving("one", "other")],
        [
            pivot("one-hinge", "frame", "one", 0j),
            pivot("other-hinge", "frame", "other", 50.0 + 0j),
            gearing("gears", "one-hinge", "other-hinge", -2.0),
        ],
        {"angle": "one-hinge"},
        [step("turn", 1.0, {"angle": 120.0}, profile="eased")],
    )
    ways = ways_of(solve(made, FRAMES), ("one", 10j), ("other", 50.0 + 10j))
    assert ways.proved.all()
    assert ways.stray(np.zeros(2))[0][:, 1].max() == pytest.approx(
        4.0 * ways.stray(np.zeros(2))[0][:, 0].max(), rel=1e-2
    )


def test_no_span_at_a_dead_centre_is_bounded() -> None:
    """A block pushes a crank of 20 mm through a rod of 50 mm until both are in line, and back."""
    reach = 20.0 * math.cos(1.0) + math.sqrt(50.0**2 - (20.0 * math.sin(1.0)) ** 2)
    made = project(
        [frame(), *moving("crank", "block")],
        [
            pivot("hinge", "frame", "crank", 0j),
            slide("rail", "frame", "block", complex(reach), 1 + 0j),
            rod("link", "crank", "block", 20.0 * np.exp(1j), complex(reach)),
        ],
        {"push": "rail"},
        [step("out", 1.0, {"push": 70.0 - reach}), step("back", 1.0, {"push": 0.0})],
    )
    motion = solve(made, FRAMES)
    ways = ways_of(motion, ("crank", 10j), ("block", complex(reach)))
    middle = np.searchsorted(motion.times, 1.0)
    assert not ways.proved[middle - 1 : middle + 1, 0].any()
    assert ways.proved[: middle - 8, 0].all()
    assert ways.proved[:, 1].all()
