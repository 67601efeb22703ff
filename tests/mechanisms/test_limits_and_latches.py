"""Travel past its limits, latches that miss, and dead centres met on the way: by how much and when, in closed form."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.project import Jack
from core.motion.motion import Motion
from core.motion.trouble import DeadCentre, Jam, LatchMiss, TravelPassed
from tests.mechanisms.catalogue import catalogue
from tests.mechanisms.example import solve
from tests.mechanisms.four_bars import FourBar
from tests.mechanisms.planar import degrees
from tests.mechanisms.sketch import FRAME, frame, latch, moving, pivot, project, slide, slot, step


def only_travel(motion: Motion) -> TravelPassed:
    (found,) = (trouble for trouble in motion.troubles if isinstance(trouble, TravelPassed))
    return found


def swinging_leg(*more: Jack, to: float, limits: tuple[float, float] | None = None):
    return project(
        (frame(), *moving("leg")),
        (pivot("leg-pivot", FRAME, "leg", 0, limits), *more),
        {"gear": "leg-pivot"},
        (step("up", 4.0, {"gear": to}), step("down", 4.0, {"gear": 0.0})),
    )


@pytest.mark.parametrize("frames", [17, 161])
def test_a_pivot_turned_past_its_limit(frames: int) -> None:
    found = only_travel(solve(swinging_leg(to=100.0, limits=(-5.0, 90.0)), frames))
    assert (found.connection, found.limits) == ("leg-pivot", (-5.0, 90.0))
    assert found.value == pytest.approx(100.0, abs=1e-6)
    assert found.time == pytest.approx(4.0, abs=1e-6)


def test_a_pivot_that_stops_at_its_limit_is_in_order() -> None:
    motion = solve(swinging_leg(to=90.0, limits=(0.0, 90.0)), 81)
    assert not any(isinstance(trouble, TravelPassed) for trouble in motion.troubles)


def test_a_jack_pulled_out_past_its_stroke() -> None:
    """Its longest is where foot, pivot and lug stand in line, 50 + 30 = 80 mm, between two frames."""
    lug = 30 * complex(degrees(-40.0))
    held = Jack(id="damper", bodies=(FRAME, "leg"), ends=((-50.0, 0.0), (lug.real, lug.imag)), closed=40.0, stroke=38.5)
    found = only_travel(solve(swinging_leg(held, to=71.0), 53))
    assert found.connection == "damper"
    assert found.limits == pytest.approx((0.0, 38.5))
    # At frames of 71 x 8 / 52 / 4 = 2.7 degrees the cosine leaves a hundredth of a millimetre.
    assert found.value == pytest.approx(40.0, abs=0.012)


def test_a_piston_pushed_past_the_end_of_its_slide() -> None:
    """An offset slider-crank's slider goes from its drawn place by the crank's cosine and the rod's."""
    crank, rod_length = 20.0, 70.0
    made = project(
        (frame(), *moving("crank", "link", "slider")),
        (
            pivot("o2", FRAME, "crank", 0),
            pivot("a", "crank", "link", crank),
            pivot("b", "link", "slider", crank + rod_length),
            replace(slide("guide", FRAME, "slider", crank + rod_length, 1), limits=(-35.0, 1.0)),
        ),
        {"input": "o2"},
        (step("round", 4.0, {"input": 360.0}),),
    )
    found = only_travel(solve(made, 81))
    assert found.value == pytest.approx(-2 * crank, abs=1e-6)
    assert found.time == pytest.approx(2.0, abs=1e-6)


def test_a_pin_that_leaves_its_slot() -> None:
    """A Scotch yoke whose slot reaches 20 mm up, while the pin comes 25 mm up a quarter turn on."""
    made = project(
        (frame(), *moving("crank", "yoke")),
        (
            pivot("o2", FRAME, "crank", 0),
            slot("slot", "yoke", "crank", 25, 25 - 30j, 25 + 20j),
            slide("guide", FRAME, "yoke", 0, 1),
        ),
        {"input": "o2"},
        (step("quarter", 1.0, {"input": 90.0}), step("back", 1.0, {"input": 0.0})),
    )
    found = only_travel(solve(made, 41))
    assert found.connection == "slot"
    assert found.value - found.limits[1] == pytest.approx(5.0, abs=1e-6)
    assert found.limits[1] - found.limits[0] == pytest.approx(50.0, abs=1e-9)
    assert found.time == pytest.approx(1.0, abs=1e-6)


def hook_and_leg(*, stop: float, reach: float):
    """The leg's pin meets the hook at 60 degrees, 40 mm from the pivot."""
    pin = 40 * complex(degrees(-90.0))
    hook = 40 * complex(degrees(-30.0))
    return project(
        (frame(), *moving("leg")),
        (pivot("leg-pivot", FRAME, "leg", 0), latch("uplock", FRAME, "leg", hook, pin, reach)),
        {"gear": "leg-pivot"},
        (step("up", 3.0, {"gear": stop}, engage=("uplock",)),),
    )


@pytest.mark.parametrize("stop", [58.0, 61.5])
def test_a_latch_that_misses_says_by_how_much(stop: float) -> None:
    apart = 2 * 40 * np.sin(np.deg2rad(abs(stop - 60.0)) / 2)
    (found,) = (one for one in solve(hook_and_leg(stop=stop, reach=0.5), 61).troubles if isinstance(one, LatchMiss))
    assert found.connection == "uplock"
    assert found.miss == pytest.approx(apart, abs=1e-6)
    assert found.time == pytest.approx(3.0, abs=1e-9)


def test_a_latch_within_its_reach_is_in_order() -> None:
    motion = solve(hook_and_leg(stop=59.5, reach=0.5), 61)
    assert motion.troubles == ()


def test_a_drive_that_pulls_at_an_engaged_latch_jams() -> None:
    made = hook_and_leg(stop=60.0, reach=0.5)
    run = made.sequences[0]
    steps = (*run.steps, step("down", 2.0, {"gear": 0.0}))
    motion = solve(replace(made, sequences=(replace(run, steps=steps),)), 101)
    (jam,) = (one for one in motion.troubles if isinstance(one, Jam))
    assert jam.begin == pytest.approx(3.0, abs=0.01)
    assert jam.end == pytest.approx(5.0, abs=1e-6)
    assert "uplock" in jam.connections
    leg = motion.bodies.index("leg")
    assert np.rad2deg(motion.poses[-1, leg, 2]) == pytest.approx(60.0, abs=0.1)


def test_released_before_it_moves_a_latch_holds_nothing() -> None:
    made = hook_and_leg(stop=60.0, reach=0.5)
    run = made.sequences[0]
    steps = (*run.steps, step("down", 2.0, {"gear": 0.0}, release=("uplock",)))
    motion = solve(replace(made, sequences=(replace(run, steps=steps),)), 101)
    assert motion.troubles == ()
    assert motion.assembled.all()
    assert abs(motion.poses[-1, motion.bodies.index("leg"), 2]) <= 1e-9


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_a_dead_centre_passed_at_a_hundredth_of_a_millimetre(way: float) -> None:
    """Coupler and rocker nearly in line at 180 degrees of crank: 80 + 30 mm between the pins, links of 110.01 mm."""
    bar = FourBar(ground=80.0, crank=30.0, coupler=60.0, rocker=50.01, drawn=70.0)
    made = project(bar.bodies(), bar.connections(), {"input": "o2"}, (step("round", 6.0, {"input": way * 360.0}),))
    found = [one for one in solve(made, 200).troubles if isinstance(one, DeadCentre)]
    assert len(found) == 1
    assert found[0].drive == "input"
    passed = (180.0 - 70.0) / 60.0
    assert found[0].time == pytest.approx(passed if way > 0 else 6.0 - passed, abs=0.006)
    assert 0.0 < found[0].distance < 0.1
    assert not found[0].branches
    assert set(found[0].connections) <= {"o2", "a", "b", "o4"}


def test_a_change_point_is_told_as_a_place_where_it_could_go_two_ways() -> None:
    bar = FourBar(ground=8.0, crank=5.0, coupler=7.0, rocker=6.0, drawn=75.0)
    made = project(bar.bodies(), bar.connections(), {"input": "o2"}, (step("past", 2.0, {"input": 150.0}),))
    found = [one for one in solve(made, 100).troubles if isinstance(one, DeadCentre)]
    assert len(found) == 1
    assert found[0].branches
    assert found[0].time == pytest.approx(2.0 * 105.0 / 150.0, abs=0.002)


def test_no_dead_centre_is_told_where_none_is_near() -> None:
    bar = FourBar(ground=100.0, crank=40.0, coupler=120.0, rocker=80.0)
    made = project(bar.bodies(), bar.connections(), {"input": "o2"}, (step("round", 6.0, {"input": 360.0}),))
    assert solve(made, 200).troubles == ()


@pytest.mark.parametrize(("name", "told"), [("three cranks, one coupler", False), ("double parallelogram", True)])
def test_a_third_crank_out_of_line_carries_a_parallelogram_through(name: str, told: bool) -> None:
    """As a locomotive's quartered cranks do: all connections together leave one way to go."""
    example = next(one for one in catalogue() if one.name == name)
    assert any(isinstance(one, DeadCentre) for one in solve(example.project, 100).troubles) == told
