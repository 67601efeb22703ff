"""How what is loose could move, and which sets of connections have one too many: against theory."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.project import Project
from core.findings.finding import Kind
from core.mechanism.build import build
from core.mechanism.constraints import rows_of
from core.motion.chains import course_of
from core.motion.looseness import looseness_of, swing
from core.motion.motion import Motion
from core.motion.nearness import nearness_of
from core.motion.placing import Placing
from core.motion.surplus import fights_of, surplus_of
from core.motion.trouble import Jam, Loose
from core.study import run
from tests.mechanisms.catalogue import CRANK_ROCKER, catalogue
from tests.mechanisms.example import Example, solve
from tests.mechanisms.four_bars import FourBar, four_bar
from tests.mechanisms.lattices import coupled_cranks, five_bar, parallelogram
from tests.mechanisms.sketch import FRAME, frame, moving, pivot, project, rod, slide, step
from tests.mechanisms.undercarriage import folding_brace, wheel_on_axle
from tests.mechanisms.variations import undriven

MICRON = 1e-3
wait = (step("wait", 1.0),)


def loose(motion: Motion) -> Loose:
    (one,) = (one for one in motion.troubles if isinstance(one, Loose))
    return one


def off(motion: Motion, poses: np.ndarray, drives: np.ndarray | None = None) -> float:
    """The most by which any connection is off, mm."""
    course = course_of(motion)
    placing = Placing.at_poses(poses, course.inputs.at(np.zeros(1)) if drives is None else drives)
    rows = [row for at in range(len(motion.connections)) for row in rows_of(course.mechanism, at, placing, {})]
    return max((abs(float(np.ravel(row.residual)[0])) for row in rows), default=0.0)


def door() -> Motion:
    return solve(
        project((frame(), *moving("door")), (pivot("hinge", FRAME, "door", 30 + 5j),), {}, wait), 2
    )  # fmt: skip


def test_a_loose_door_would_turn_about_its_hinge() -> None:
    motion = door()
    found = looseness_of(motion, loose(motion), 0.0)
    assert found.modes.shape == (1, 2, 3)
    x, y, turn = found.modes[0, 1]
    assert complex(x, y) + 1j * turn * (30 + 5j) == pytest.approx(0.0, abs=1e-9)
    assert found.joints == (("hinge",),)
    poses = swing(motion, loose(motion), 0.0, 4.0)[-1]
    assert abs(poses[1, 2]) > 0.01
    assert poses[1, :2] @ [1, 1j] + np.exp(1j * poses[1, 2]) * (30 + 5j) == pytest.approx(30 + 5j, abs=1e-9)


def test_there_and_back_lie_on_either_side() -> None:
    motion = door()
    turns = swing(motion, loose(motion), 0.0, 3.0, count=4)[:, 1, 2]
    assert turns[-1] == pytest.approx(-turns[0])
    assert turns == pytest.approx(np.linspace(turns[0], turns[-1], 9))


def test_a_floating_body_has_three_movements_of_its_own() -> None:
    motion = solve(project((frame(), *moving("part")), (), {}, wait), 2)
    modes = looseness_of(motion, loose(motion), 0.0).modes[:, 1]
    assert np.linalg.matrix_rank(modes) == 3
    assert sorted(int((np.abs(mode) > 1e-9).sum()) for mode in modes) == [1, 1, 1]


def test_two_pendulums_in_a_row_swing_one_by_one_where_they_can() -> None:
    """The lower one can swing alone; no movement of the upper one leaves the lower one where it is."""
    made = project(
        (frame(), *moving("upper", "lower")),
        (pivot("top", FRAME, "upper", 0), pivot("knee", "upper", "lower", -20j)),
        {},
        wait,
    )
    motion = solve(made, 2)
    found = looseness_of(motion, loose(motion), 0.0)
    moved = [{body for body in (1, 2) if np.abs(mode[body]).max() > 1e-9} for mode in found.modes]
    assert len(moved) == 2
    assert {2} in moved
    assert {1, 2} in moved


@pytest.mark.parametrize("example", catalogue(), ids=lambda example: example.name)
def test_without_drives_every_mechanism_goes_along_its_freedoms_and_holds_together(example: Example) -> None:
    """As many independent movements as the textbook's count has freedoms, and every pose a good one."""
    motion = solve(undriven(example.project), 3)
    for one in (trouble for trouble in motion.troubles if isinstance(trouble, Loose)):
        found = looseness_of(motion, one, 0.0)
        flat = found.modes.reshape(len(found.modes), -1)
        assert np.linalg.matrix_rank(flat) == len(flat) >= one.freedoms
        size = build(example.project).size
        for mode in range(len(flat)):
            for poses in swing(motion, one, 0.0, 0.1 * size, mode=mode, count=3):
                assert off(motion, poses) <= MICRON


def test_an_undriven_four_bar_swings_as_its_crank_would_drive_it() -> None:
    """Along its one freedom it passes the very poses that it has when the crank is driven."""
    made = four_bar(CRANK_ROCKER, name="", turn=60.0).project
    motion = solve(undriven(made), 3)
    crank, coupler, rocker = (motion.bodies.index(body) for body in ("crank", "coupler", "rocker"))
    driven = solve(made, 601)
    for poses in swing(motion, loose(motion), 0.0, 0.2 * CRANK_ROCKER.crank, count=3):
        turn = np.rad2deg(poses[crank, 2])
        if turn >= 0.0:
            known = driven.poses_at(np.array([turn / 60.0 * driven.times[-1]]))[0]
            assert poses[[crank, coupler, rocker]] == pytest.approx(known[[crank, coupler, rocker]], abs=1e-6)


def test_a_five_bar_with_one_drive_moves_but_for_its_driven_crank() -> None:
    motion = solve(five_bar(name="one drive", drives=1).project, 41)
    (found,) = (one for one in motion.troubles if isinstance(one, Loose))
    poses = swing(motion, found, 0.5, 3.0)[-1]
    still = motion.poses_at(np.array([0.5]))[0]
    left = motion.bodies.index("left")
    assert np.array_equal(poses[left], still[left])
    assert np.abs(poses - still).max() > 0.01
    assert off(motion, poses, course_of(motion).inputs.at(np.array([0.5]))) <= MICRON


def test_a_joint_stops_at_its_limit() -> None:
    made = project((frame(), *moving("door")), (pivot("hinge", FRAME, "door", 0, limits=(0.0, 5.0)),), {}, wait)
    motion = solve(made, 2)
    film = np.rad2deg(swing(motion, loose(motion), 0.0, 20.0, count=8)[:, 1, 2])
    assert film.min() >= -1e-6
    assert film.max() <= 5.0 + 1e-6


def test_a_loose_wheel_turns_on_its_axle_and_takes_nothing_along() -> None:
    made = wheel_on_axle(name="wheel").project
    run = made.sequences[0]
    motion = solve(replace(made, drives=made.drives[:1], sequences=(replace(run, steps=run.steps[:1]),)), 41)
    (found,) = (one for one in motion.troubles if isinstance(one, Loose))
    leg = motion.bodies.index("leg")
    time = 0.5 * motion.times[-1]
    poses = swing(motion, found, time, 2.0)[-1]
    assert np.array_equal(poses[leg], motion.poses_at(np.array([time]))[0, leg])


# ---- one too many ----------------------------------------------------------------------------------------------------


def without(made: Project, connection: str) -> Project:
    return replace(made, connections=tuple(one for one in made.connections if one.id != connection))


def test_an_extra_rod_of_a_parallelogram_makes_one_set_of_all_that_closes_its_loops() -> None:
    """Any one of the set may go, rod or pivot: the linkage keeps its one freedom and has nothing too many."""
    example = parallelogram(name="", ground=70.0, crank=25.0, drawn=50.0)
    a = 25.0 * np.exp(1j * np.deg2rad(50.0))
    made = replace(
        example.project,
        connections=(*example.project.connections, rod("stay", "crank", "rocker", a * 0.6, 70.0 + a * 0.6)),
    )
    (found,) = surplus_of(solve(made, 41))
    assert "stay" in found.connections
    assert found.drives == ()
    assert surplus_of(solve(without(made, "stay"), 41)) == ()


def test_a_ring_of_rods_is_one_set_each_rod_of_which_may_go() -> None:
    """Three parallel cranks coupled in a ring: three rods where two would do."""
    made = coupled_cranks(name="", pins=(0j, 60 + 0j, 25 + 40j), crank=20.0, drawn=30.0, rods=True).project
    (found,) = surplus_of(solve(made, 61))
    assert {"rod-0", "rod-1", "rod-2"} <= set(found.connections)
    for gone in ("rod-0", "rod-1", "rod-2"):
        rest = solve(without(made, gone), 21)
        assert surplus_of(rest) == ()
        assert not any(isinstance(one, Loose | Jam) for one in rest.troubles)


def test_a_double_parallelogram_has_one_set() -> None:
    """Kutzbach's count is 3 x 4 - 2 x 6 = 0 and it has one freedom: one too many, of pivots this time (e.g. K. H.
    Hunt, Kinematic Geometry of Mechanisms, on overconstrained parallelograms; from memory)."""
    made = coupled_cranks(name="", pins=(0j, 60 + 0j, 110 + 0j), crank=20.0, drawn=30.0).project
    (found,) = surplus_of(solve(made, 61))
    assert {one for one in found.connections if one.startswith("pin-")} == {"pin-0", "pin-1", "pin-2"}


def test_two_too_many_are_told_as_two_sets() -> None:
    """Two stays from the frame to the same rigid triangle, each of which is one too many by itself."""
    made = project(
        (frame(), *moving("left", "right")),
        (
            pivot("o2", FRAME, "left", 0),
            pivot("top", "left", "right", 30 + 40j),
            pivot("o4", FRAME, "right", 60),
            rod("stay", FRAME, "left", 100 + 0j, 20 + 25j),
            rod("other-stay", FRAME, "right", -50 + 0j, 45 + 20j),
        ),
        {},
        wait,
    )
    found = surplus_of(solve(made, 3))
    assert len(found) == 2
    assert {"stay", "other-stay"} <= {name for one in found for name in one.connections}


@pytest.mark.parametrize("example", catalogue(), ids=lambda example: example.name)
def test_there_are_as_many_sets_as_are_too_many(example: Example) -> None:
    assert len(surplus_of(solve(example.project, 31))) == example.redundant


# ---- drives that fight -----------------------------------------------------------------------------------------------


def doubly_driven(ratio: float) -> Project:
    """A parallelogram with a drive on either crank, the second going `ratio` times as far."""
    made = parallelogram(name="", ground=70.0, crank=25.0, drawn=50.0).project
    drives = (*made.drives, made.drives[0].__class__(id="other", on="o4"))
    run = made.sequences[0]
    steps = tuple(
        replace(
            one,
            moves=tuple(
                part for move in one.moves for part in (move, replace(move, drive="other", to=ratio * move.to))
            ),
        )
        for one in run.steps
    )
    return replace(made, drives=drives, sequences=(replace(run, steps=steps),))


@pytest.mark.parametrize(("ratio", "agree"), [(1.0, True), (0.9, False)])
def test_two_drives_on_one_freedom_are_named(ratio: float, agree: bool) -> None:
    (found,) = fights_of(solve(doubly_driven(ratio), 61))
    assert found.drives == ("input", "other")
    assert found.agree is agree


def test_drives_of_two_freedoms_do_not_fight() -> None:
    assert fights_of(solve(five_bar(name="five-bar").project, 61)) == ()


# ---- how near to a dead centre ---------------------------------------------------------------------------------------


def test_a_crank_rocker_is_nearest_to_its_dead_centre_by_the_triangle_inequality() -> None:
    """The diagonal from A to O4 runs from ground - crank to ground + crank; what is left at its ends is the margin."""
    bar = CRANK_ROCKER
    (found,) = nearness_of(solve(four_bar(bar, name="").project, 241))
    longest, shortest = bar.ground + bar.crank, bar.ground - bar.crank
    wanted = min(bar.coupler + bar.rocker - longest, shortest - abs(bar.coupler - bar.rocker))
    assert found.drives == ("input",)
    assert set(found.connections) == {"a", "b", "o4"}
    assert found.distance == pytest.approx(wanted, abs=0.05)


def test_a_brace_that_is_driven_at_its_knee_side_stays_clear_of_the_legs_dead_centre() -> None:
    motion = solve(folding_brace(name="", past=-4.0).project, 121)
    assert all(one.distance > 0.0 for one in nearness_of(motion))


def test_nearness_comes_nearest_first() -> None:
    for example in catalogue()[:6]:
        distances = [one.distance for one in nearness_of(solve(example.project, 31))]
        assert all(one <= other for one, other in combinations(distances, 2))


def test_a_slide_alone_has_no_dead_centre() -> None:
    made = project(
        (frame(), *moving("block")),
        (slide("way", FRAME, "block", 0, 1),),
        {"push": "way"},
        (step("go", 1.0, {"push": 5.0}),),
    )
    assert nearness_of(solve(made, 11)) == ()


def test_a_jam_by_two_drives_says_that_they_fight() -> None:
    study = run(doubly_driven(0.9), frames=61)
    (jam,) = (one for one in study.sequences[0].findings if one.kind is Kind.JAMMED)
    assert jam.sentence.endswith("input and other fight each other there: they move the same freedom.")


def test_a_jam_by_one_drive_is_no_fight() -> None:
    """A rocker's reach ends; one drive alone pushes against it."""
    bar = FourBar(ground=60.0, crank=50.0, coupler=40.0, rocker=35.0, drawn=20.0)
    study = run(four_bar(bar, name="").project, frames=61)
    jams = [one for one in study.sequences[0].findings if one.kind is Kind.JAMMED]
    assert jams
    assert not any("fight" in one.sentence for one in jams)
