"""Whole sequences: where they start, what is held, what fails and what it does to the rest."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.project import Body, Circle, Gearing, Project
from core.mechanism.build import build
from core.motion.motion import Motion
from core.motion.schedule import lay_out
from core.motion.solve import solve_motion
from core.motion.trouble import DeadCentre, Jam, LatchMiss, Loose
from tests.mechanisms.example import point_track, solve, turn_track
from tests.mechanisms.four_bars import FourBar, four_bar
from tests.mechanisms.planar import degrees
from tests.mechanisms.sketch import FRAME, frame, latch, moving, pivot, project, rod, slide, step

PIN = 1e-9  # mm, a thousandth of what is allowed
ROCKER = FourBar(ground=100.0, crank=40.0, coupler=120.0, rocker=80.0)


def jams(motion: Motion) -> list[Jam]:
    return [one for one in motion.troubles if isinstance(one, Jam)]


# ---- starts ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("frames", [1, 2, 50])
def test_a_start_away_from_the_drawn_position(frames: int) -> None:
    example = four_bar(ROCKER, name="far start", turn=-500.0, start=-500.0)
    made = replace(example.project, sequences=(replace(example.project.sequences[0], steps=(step("wait", 1.0),)),))
    motion = solve(made, frames)
    assert motion.drives[0, 0] == -500.0
    b = ROCKER.pins(ROCKER.drawn - 500.0)[1]
    assert abs(point_track(motion, "rocker", ROCKER.drawn_pins()[1])[-1] - b) < PIN
    # The coupler came the way that the crank took it, and not by whole turns more or less.
    walked = solve(four_bar(ROCKER, name="walked", turn=-500.0).project, 400)
    assert np.allclose(motion.poses[-1], walked.poses[-1], atol=1e-9)


def test_a_start_past_a_change_point_is_walked_to_the_smooth_way() -> None:
    bar = FourBar(ground=70.0, crank=25.0, coupler=70.0, rocker=25.0, drawn=50.0)
    motion = solve(four_bar(bar, name="parallelogram", turn=200.0, start=200.0).project, 2)
    coupler = motion.bodies.index("coupler")
    assert np.abs(motion.poses[:, coupler, 2]).max() < 1e-9  # a parallelogram's coupler does not turn


def test_a_rod_of_another_length_is_put_together_first() -> None:
    """Triangle 3-4-5: the rod, drawn 45 mm long, is made 50 mm, and the leg stands upright."""
    drawn = 30 * complex(degrees(70.0))
    made = project(
        (frame(), *moving("leg")),
        (pivot("leg-pivot", FRAME, "leg", 0), rod("stay", FRAME, "leg", 40, drawn, length=50.0)),
        {},
        (step("wait", 1.0),),
    )
    motion = solve(made, 3)
    assert np.abs(point_track(motion, "leg", drawn) - 30j).max() < PIN
    assert motion.troubles == ()


def test_what_cannot_start_stays_as_drawn_and_goes_on_where_it_can() -> None:
    bar = FourBar(ground=100.0, crank=40.0, coupler=60.0, rocker=50.0, drawn=30.0)
    begin = float(np.rad2deg(np.arccos((100.0**2 + 40.0**2 - 110.0**2) / (2 * 100.0 * 40.0))))
    made = four_bar(bar, name="too far", turn=0.0, start=begin + 20.0 - bar.drawn).project
    motion = solve(made, 101)
    (jam,) = jams(motion)
    rocker = motion.bodies.index("rocker")
    held = ~motion.assembled[:, rocker]
    assert jam.begin == 0.0
    assert held[0]
    assert motion.assembled[:, motion.bodies.index("crank")].all()
    assert not motion.poses[held][:, rocker].any()
    free = motion.assembled[:, rocker]
    known = bar.pins(bar.drawn + motion.drives[free, 0])[1]
    assert np.abs(point_track(motion, "rocker", bar.drawn_pins()[1])[free] - known).max() < PIN


def test_drawn_in_line_the_left_hand_way_is_taken_and_told() -> None:
    made = project(
        (frame(), *moving("crank", "link")),
        (
            pivot("crank-pivot", FRAME, "crank", 0),
            slide("guide", FRAME, "link", 70, 1),
            rod("rod", "crank", "link", 30, 70),
        ),
        {"pull": "guide"},
        (step("push", 1.0, {"pull": -20.0}),),
    )
    motion = solve(made, 21)
    (dead,) = (one for one in motion.troubles if isinstance(one, DeadCentre))
    assert (dead.drive, dead.time, dead.branches) == ("pull", 0.0, True)
    assert dead.distance == pytest.approx(0.0, abs=1e-12)
    assert motion.assembled.all()
    assert turn_track(motion, "crank")[-1] > 30.0


# ---- between the frames ----------------------------------------------------------------------------------------------


def test_poses_at_any_times_in_any_order() -> None:
    motion = solve(four_bar(ROCKER, name="round").project, 31)
    times = np.array([5.9, 0.0, 3.3, 3.3, 6.0, 1.25])
    pins = ROCKER.pins(ROCKER.drawn + 60.0 * times)[1]
    tracks = point_track(motion, "rocker", ROCKER.drawn_pins()[1], motion.poses_at(times))
    assert np.abs(tracks - pins).max() < PIN
    assert motion.poses_at(np.empty(0)).shape == (0, 4, 3)
    assert motion.assembled_at(times).all()
    assert np.allclose(motion.poses_at(motion.times), motion.poses, atol=1e-12)


def test_turns_go_on_over_whole_turns_whatever_the_frames() -> None:
    made = project(
        (frame(), *moving("crank", "wheel")),
        (
            pivot("o", FRAME, "crank", 0),
            pivot("axle", FRAME, "wheel", 9),
            Gearing(id="g", pivots=("o", "axle"), ratio=3.0),
        ),
        {"input": "o"},
        (step("round", 2.0, {"input": 1000.0}),),
    )
    motion = solve(made, 3)
    assert turn_track(motion, "wheel") == pytest.approx([0.0, 1500.0, 3000.0])
    assert np.rad2deg(motion.poses_at(np.array([0.3]))[0, motion.bodies.index("wheel"), 2]) == pytest.approx(450.0)


def test_a_jammed_body_is_held_between_the_frames_where_it_met_its_limit() -> None:
    bar = FourBar(ground=100.0, crank=40.0, coupler=60.0, rocker=50.0, drawn=30.0)
    motion = solve(four_bar(bar, name="too far", turn=100.0).project, 11)
    (jam,) = jams(motion)
    rocker = motion.bodies.index("rocker")
    after = motion.poses_at(np.linspace(jam.begin + 1e-6, 6.0, 50))[:, rocker]
    assert np.ptp(after, axis=0).max() == 0.0
    before = motion.poses_at(np.array([jam.begin - 1e-9]))[0, rocker]
    assert np.abs(after[0] - before).max() < 1e-3
    assert not motion.assembled_at(np.array([jam.begin + 1e-3]))[0, rocker]


# ---- latches ---------------------------------------------------------------------------------------------------------


def door_and_leg(*steps, reach: float = 0.5) -> Project:
    """A door on the frame that only the leg's latch takes along."""
    return project(
        (frame(), *moving("leg", "door")),
        (
            pivot("leg-pivot", FRAME, "leg", 0),
            pivot("hinge", FRAME, "door", 0),
            latch("hook", "leg", "door", 20, 20j, reach),
        ),
        {"gear": "leg-pivot"},
        steps,
    )


def test_a_latch_that_misses_does_not_take_hold() -> None:
    motion = solve(door_and_leg(step("up", 1.0, {"gear": 50.0}, engage=("hook",)), step("on", 1.0, {"gear": 90.0})), 41)
    (missed,) = (one for one in motion.troubles if isinstance(one, LatchMiss))
    assert missed.miss == pytest.approx(2 * 20 * np.sin(np.deg2rad(20.0)))
    assert not motion.poses[:, motion.bodies.index("door")].any()


def test_a_latch_keeps_the_position_it_took_hold_in() -> None:
    """It engages a degree short, within its reach, and keeps that degree."""
    motion = solve(door_and_leg(step("up", 1.0, {"gear": 89.0}, engage=("hook",)), step("on", 1.0, {"gear": 20.0})), 41)
    assert not jams(motion)
    assert turn_track(motion, "door")[-1] == pytest.approx(-69.0)
    (loose,) = (one for one in motion.troubles if isinstance(one, Loose))
    assert (loose.bodies, loose.begin, loose.end) == (("door",), 0.0, 1.0)


def test_a_latch_that_is_released_before_it_engages_held_from_the_start() -> None:
    made = door_and_leg(
        step("down", 1.0, {"gear": 30.0}), step("on", 1.0, {"gear": 60.0}, release=("hook",)), reach=50.0
    )
    motion = solve(made, 41)
    assert turn_track(motion, "door")[[0, 20, -1]] == pytest.approx([0.0, 30.0, 30.0])


# ---- loose things ----------------------------------------------------------------------------------------------------


def carried(role: str, *shapes: Circle) -> Project:
    wheel = Body(id="wheel", view="side", role=role, shapes=shapes)
    return project(
        (frame(), *moving("leg"), wheel),
        (pivot("leg-pivot", FRAME, "leg", 0), pivot("axle", "leg", "wheel", -30j)),
        {"gear": "leg-pivot"},
        (step("up", 1.0, {"gear": 70.0}),),
    )


def test_a_loose_body_stays_where_it_is_as_seen_from_what_carries_it() -> None:
    motion = solve(carried("other"), 11)
    assert turn_track(motion, "wheel")[-1] == pytest.approx(70.0)
    assert [type(one) for one in motion.troubles] == [Loose]


def test_a_round_wheel_on_its_axle_is_not_called_loose() -> None:
    assert solve(carried("wheel", Circle(centre=(0.0, -30.0), radius=12.0)), 11).troubles == ()
    assert len(solve(carried("wheel", Circle(centre=(1.0, -30.0), radius=12.0)), 11).troubles) == 1


def test_what_is_loose_in_a_loop_gives_way_before_it_jams() -> None:
    """A five-bar driven right round by one crank: the other is pulled along as soon as the links are straight."""
    a, c = 30 * complex(degrees(80.0)), 70 + 25 * complex(degrees(95.0))
    b = (a + c) / 2 + 25j
    made = project(
        (frame(), *moving("left", "one", "two", "right")),
        (
            pivot("o2", FRAME, "left", 0),
            pivot("a", "left", "one", a),
            pivot("b", "one", "two", b),
            pivot("c", "two", "right", c),
            pivot("o5", FRAME, "right", 70),
        ),
        {"input": "o2"},
        (step("round", 4.0, {"input": 360.0}),),
    )
    motion = solve(made, 81)
    assert jams(motion) == []
    assert motion.assembled.all()
    for one, other, at in (("one", "two", b), ("two", "right", c), ("left", "one", a)):
        assert np.abs(point_track(motion, one, at) - point_track(motion, other, at)).max() < 1e-7


# ---- odd projects ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "made",
    [
        project((), (), {}, (step("wait", 1.0),)),
        project((frame(),), (), {}, ()),
        project(moving("adrift"), (), {}, (step("wait", 1.0),)),
        project((frame(), frame("wall")), (rod("stay", FRAME, "wall", 0, 5),), {}, (step("wait", 1.0),)),
    ],
    ids=["nothing", "only a frame", "nothing fixed", "two fixed bodies"],
)
def test_projects_in_which_nothing_moves(made: Project) -> None:
    schedule = lay_out(made.sequences[0])
    motion = solve_motion(build(made), schedule, np.linspace(0.0, schedule.seconds, 5 if schedule.seconds else 1))
    assert not motion.poses.any()
    assert motion.assembled.all()
    assert jams(motion) == []


def test_two_fixed_bodies_that_a_rod_cannot_join_jam() -> None:
    made = project((frame(), frame("wall")), (rod("stay", FRAME, "wall", 0, 5, length=4.0),), {}, (step("wait", 1.0),))
    (jam,) = jams(solve(made, 3))
    assert (jam.connections, jam.begin, jam.end) == (("stay",), 0.0, 1.0)
    assert jam.short_by == pytest.approx(1.0)
