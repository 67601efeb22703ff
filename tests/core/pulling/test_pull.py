"""Pulled bodies against closed forms, limits, dead centres, and what cannot move."""

from __future__ import annotations

from dataclasses import replace as changed

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.project import Drive, Project
from core.mechanism.build import build
from core.mechanism.mechanism import Mechanism
from core.pulling.drives import drive_values, values_moved
from core.pulling.grab import grab, rolling
from core.pulling.pull import pull
from core.pulling.resistance import Why, resistance
from core.pulling.words import why_it_resists
from tests.core.pulling.hands import grabbed, off_by, place, pulled_to
from tests.mechanisms.catalogue import CRANK_ROCKER, LEG, catalogue
from tests.mechanisms.four_bars import four_bar
from tests.mechanisms.planar import cross, degrees, meet_circles
from tests.mechanisms.sketch import FRAME, frame, jack, latch, moving, pivot, project, rod, slide, slot
from tests.mechanisms.sliders import SliderCrank, slider_crank

CLOSE = 1e-6  # mm


# ---- known answers ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("angle", [-25.0, 20.0, 75.0, 130.0])
def test_a_crank_pulled_to_an_angle_takes_the_four_bar_to_its_closed_form(angle: float):
    example = four_bar(CRANK_ROCKER, name="four-bar")
    a, _ = CRANK_ROCKER.drawn_pins()
    held = grabbed(example.project, "crank", a)
    result = pulled_to(held, complex(CRANK_ROCKER.crank * degrees(angle)))
    known = example.answer({"input": np.array([angle - CRANK_ROCKER.drawn])}, np.zeros(1))
    for name, (body, drawn) in example.marks.items():
        assert abs(place(held.mechanism, result.poses, body, drawn) - known[name][0]) < CLOSE, name
    assert drive_values(held.mechanism, result.poses)[0] == pytest.approx(angle - CRANK_ROCKER.drawn, abs=1e-6)
    assert result.short_by < CLOSE


@pytest.mark.parametrize("angle", [60.0, 80.0])
def test_a_rocker_pulled_takes_the_crank_along(angle: float):
    example = four_bar(CRANK_ROCKER, name="four-bar")
    _, b = CRANK_ROCKER.drawn_pins()
    held = grabbed(example.project, "rocker", b)
    result = pulled_to(held, complex(CRANK_ROCKER.pins(angle)[1]))
    known = complex(CRANK_ROCKER.pins(angle)[0])
    assert abs(place(held.mechanism, result.poses, "crank", CRANK_ROCKER.drawn_pins()[0]) - known) < CLOSE


@pytest.mark.parametrize("angle", [10.0, 95.0, 150.0])
def test_a_slider_crank_follows_its_crank(angle: float):
    mechanism = SliderCrank(crank=40.0, rod=120.0, offset=-20.0)
    example = slider_crank(mechanism, name="slider-crank")
    held = grabbed(example.project, "crank", mechanism.drawn_pins()[0])
    result = pulled_to(held, complex(mechanism.pins(angle)[0]))
    known = example.answer({"input": np.array([angle - mechanism.drawn])}, np.zeros(1))
    for name, (body, drawn) in example.marks.items():
        assert abs(place(held.mechanism, result.poses, body, drawn) - known[name][0]) < CLOSE, name


def test_a_hand_beside_the_way_leaves_the_nearest_point_of_it():
    a, _ = CRANK_ROCKER.drawn_pins()
    held = grabbed(four_bar(CRANK_ROCKER, name="four-bar").project, "crank", a)
    far = 300.0 * complex(degrees(70.0))
    result = pulled_to(held, far)
    assert abs(place(held.mechanism, result.poses, "crank", a) - CRANK_ROCKER.crank * complex(degrees(70.0))) < 1e-4
    assert resistance(held, result) is None


def test_the_way_there_does_not_matter():
    a, _ = CRANK_ROCKER.drawn_pins()
    held = grabbed(four_bar(CRANK_ROCKER, name="four-bar").project, "crank", a)
    at_once = pulled_to(held, 60.0 * complex(degrees(100.0)))
    here = held.poses
    for angle in np.linspace(40.0, 100.0, 61):
        here = pulled_to(held, 60.0 * complex(degrees(angle)), here).poses
    np.testing.assert_allclose(here, at_once.poses, atol=1e-5)


def test_pulled_back_it_is_where_it_was():
    example = four_bar(CRANK_ROCKER, name="four-bar")
    a, _ = CRANK_ROCKER.drawn_pins()
    held = grabbed(example.project, "coupler", a + 10 + 4j)
    there = pulled_to(held, a + 30 - 25j)
    back = pulled_to(held, a + 10 + 4j, there.poses)
    np.testing.assert_allclose(back.poses, held.poses, atol=CLOSE)


# ---- limits ----------------------------------------------------------------------------------------------------------


def leg_on_a_jack(limits: tuple[float, float] | None = None, *, stroke: float = 30.0, opened: float = 10.0) -> Project:
    """A leg on a jack that is drawn some way open."""
    lug = LEG.lug()
    length = abs(lug - LEG.foot)
    return project(
        (frame(), *moving("leg")),
        (jack("jack", FRAME, "leg", LEG.foot, lug, length - opened, stroke), pivot("hip", FRAME, "leg", 0, limits)),
        {"push": "jack"},
    )


@pytest.mark.parametrize(("value", "end"), [(30.0, "out"), (0.0, "in")])
def test_a_jack_stops_exactly_at_its_ends(value: float, end: str):
    aircraft, lug = leg_on_a_jack(), LEG.lug()
    turns_out = 1.0 if abs(lug * degrees(5.0) - LEG.foot) > abs(lug - LEG.foot) else -1.0
    held = grabbed(aircraft, "leg", lug)
    turn = (1.0 if end == "out" else -1.0) * turns_out * 70.0
    result = pulled_to(held, complex(lug * degrees(turn)))
    assert drive_values(held.mechanism, result.poses)[0] == pytest.approx(value, abs=1e-7)
    found = resistance(held, result)
    assert found is not None
    assert found.why is Why.LIMIT
    assert why_it_resists(aircraft, "leg", found) == f"jack is all the way {end} ({value:g} mm)"


def test_a_pivot_stops_exactly_at_its_limit_and_lets_go_again():
    aircraft, lug = leg_on_a_jack(limits=(-8.0, 12.0), stroke=500.0, opened=200.0), LEG.lug()
    held = grabbed(aircraft, "leg", lug)
    beyond = pulled_to(held, complex(lug * degrees(50.0)))
    assert np.rad2deg(beyond.poses[1, 2]) == pytest.approx(12.0, abs=1e-7)
    found = resistance(held, beyond)
    assert found is not None
    assert why_it_resists(aircraft, "leg", found) == "hip is at its limit (12°)"
    within = pulled_to(held, complex(lug * degrees(5.0)), beyond.poses)
    assert np.rad2deg(within.poses[1, 2]) == pytest.approx(5.0, abs=1e-7)
    assert resistance(held, within) is None


def test_a_pin_stops_at_the_end_of_its_slot():
    aircraft = project(
        (frame(), *moving("arm")),
        (slot("guide", FRAME, "arm", 10 + 0j, 0j, 40 + 0j), slide("way", FRAME, "arm", 0, 1)),
        {},
    )
    held = grabbed(aircraft, "arm", 10 + 5j)
    result = pulled_to(held, 200 + 5j)
    assert result.poses[1] == pytest.approx([30.0, 0.0, 0.0], abs=1e-9)
    found = resistance(held, result)
    assert found is not None
    assert why_it_resists(aircraft, "arm", found) == "The pin is at the far end of guide (40 mm)"


def test_what_stands_beyond_a_limit_goes_no_farther_but_back():
    aircraft, lug = leg_on_a_jack(limits=(-8.0, 12.0), stroke=500.0, opened=200.0), LEG.lug()
    mechanism, poses = build(aircraft), np.zeros((2, 3))
    poses[1, 2] = np.deg2rad(20.0)
    held = grab(mechanism, poses, "leg", complex(lug * degrees(20.0)))
    out, back = (pulled_to(held, complex(lug * degrees(turn))).poses[1, 2] for turn in (60.0, 3.0))
    assert np.rad2deg(out) == pytest.approx(20.0, abs=1e-7)
    assert np.rad2deg(back) == pytest.approx(3.0, abs=1e-7)


# ---- dead centres ----------------------------------------------------------------------------------------------------


def slider_crank_driven_at(*links: str) -> tuple[Project, complex]:
    """A slider-crank with drives on some of its connections, and its crank pin."""
    mechanism = SliderCrank(crank=40.0, rod=120.0)
    aircraft = slider_crank(mechanism, name="slider-crank").project
    drives = tuple(Drive(id="input", on=link) for link in links)
    return replace(aircraft, drives=drives, sequences=()), mechanism.drawn_pins()[0]


def test_a_crank_is_not_taken_where_its_drive_would_turn_back():
    aircraft, a = slider_crank_driven_at("guide")
    held = grabbed(aircraft, "crank", a)
    here = held.poses
    turns = []
    for angle in np.linspace(50.0, -60.0, 56):  # through the dead centre at 0 degrees
        result = pulled_to(held, 40.0 * complex(degrees(angle)), here)
        here = result.poses
        turns.append(50.0 + np.rad2deg(here[held.body, 2]))
    assert min(turns) > 0.0
    assert min(turns) < 1.0
    found = resistance(held, result)
    assert found is not None
    assert found.why is Why.TURNS_BACK
    assert found.connections == ("guide",)
    assert "Dead centre" in why_it_resists(aircraft, "crank", found)
    back = pulled_to(held, a, here)
    np.testing.assert_allclose(back.poses, held.poses, atol=CLOSE)


def test_without_a_drive_a_crank_goes_through_its_dead_centre():
    aircraft, a = slider_crank_driven_at()
    held = grabbed(aircraft, "crank", a)
    here = held.poses
    for angle in np.linspace(50.0, -60.0, 56):
        here = pulled_to(held, 40.0 * complex(degrees(angle)), here).poses
    assert 50.0 + np.rad2deg(here[held.body, 2]) == pytest.approx(-60.0, abs=1e-6)


def test_a_parallelogram_goes_smoothly_through_where_it_could_fold_otherwise():
    """Its drive does not turn back there, so that a sequence goes through as well."""
    example = next(one for one in catalogue() if one.name == "parallelogram")
    held = grabbed(example.project, "crank", 25.0 * complex(degrees(50.0)))
    here = held.poses
    for angle in np.linspace(50.0, -70.0, 61):
        result = pulled_to(held, 25.0 * complex(degrees(angle)), here)
        here = result.poses
    value = drive_values(held.mechanism, here)[0]
    assert value == pytest.approx(-120.0, abs=1e-6)
    known = example.answer({"input": np.array([value])}, np.zeros(1))
    for name, (body, drawn) in example.marks.items():
        assert abs(place(held.mechanism, here, body, drawn) - known[name][0]) < CLOSE, name


@pytest.mark.parametrize("to", [35.0, -35.0])
def test_a_parallelogram_drawn_flat_can_be_pulled_up(to: float):
    """There it may go on as a parallelogram or fold; either keeps every connection."""
    aircraft = project(
        (frame(), *moving("crank", "coupler", "rocker")),
        (
            pivot("o2", FRAME, "crank", 0), pivot("a", "crank", "coupler", 25), pivot("b", "coupler", "rocker", 95),
            pivot("o4", FRAME, "rocker", 70),
        ),
        {},
    )  # fmt: skip
    held = grabbed(aircraft, "crank", 25 + 0j)
    result = pulled_to(held, 25.0 * complex(degrees(to)))
    assert result.short_by < CLOSE
    assert off_by(held, result.poses) < 1e-7


def test_a_rocker_pulled_beyond_its_end_comes_back_the_way_it_went():
    example = four_bar(CRANK_ROCKER, name="four-bar")
    _, b = CRANK_ROCKER.drawn_pins()
    held = grabbed(example.project, "rocker", b)
    far = complex(meet_circles(0, 160.0, 100.0, 80.0, 1.0))  # where crank and coupler lie in line
    beyond = pulled_to(held, 100.0 + (far - 100.0) * complex(degrees(-15.0)))
    assert abs(place(held.mechanism, beyond.poses, "rocker", b) - far) < 1e-3
    back = pulled_to(held, b, beyond.poses)
    np.testing.assert_allclose(back.poses, held.poses, atol=CLOSE)


# ---- what does not move ----------------------------------------------------------------------------------------------


def triangle() -> Project:
    return project(
        (frame(), *moving("arm", "strut")),
        (
            pivot("foot", FRAME, "arm", 0),
            pivot("toe", FRAME, "strut", 50),
            pivot("tip", "arm", "strut", 20 + 40j),
        ),
        {},
    )


def test_a_structure_does_not_move_and_says_what_holds_it():
    held = grabbed(triangle(), "arm", 10 + 20j)
    result = pulled_to(held, 40 + 60j)
    assert np.abs(result.poses).max() < 1e-12
    assert result.freedoms == 0
    found = resistance(held, result)
    assert found is not None
    assert why_it_resists(triangle(), "arm", found) == "arm cannot move: it is held by foot and tip"


def test_a_body_grabbed_where_it_turns_about_says_so():
    aircraft = leg_on_a_jack()
    held = grabbed(aircraft, "leg", 0j)
    result = pulled_to(held, 20 + 10j)
    assert np.abs(result.poses).max() < 1e-9
    found = resistance(held, result)
    assert found is not None
    assert why_it_resists(aircraft, "leg", found) == "leg turns about this point, at hip: take hold of it elsewhere"


def test_a_dead_centre_of_the_body_names_what_holds_it_in_line():
    """A leg on a brace of two links, drawn in line; what hangs loose on the leg is not named."""
    aircraft = project(
        (frame(), *moving("leg", "lower", "upper", "plumb")),
        (
            pivot("hip", FRAME, "leg", 0), pivot("lug", "leg", "lower", 30j), pivot("knee", "lower", "upper", 30 + 30j),
            pivot("anchor", FRAME, "upper", 50 + 30j), pivot("eye", "leg", "plumb", 20j),
        ),
        {},
    )  # fmt: skip
    held = grabbed(aircraft, "leg", 40j)
    result = pulled_to(held, -20 + 40j)
    found = resistance(held, result)
    assert found is not None
    assert found.why is Why.IN_LINE
    assert found.connections == ("hip", "lug")


def test_a_dead_centre_farther_along_is_named_where_it_is():
    """A wheel, fast on the leg, is pulled: the brace of the leg stands in line."""
    aircraft = project(
        (frame(), *moving("leg", "lower", "upper", "foot")),
        (
            pivot("hip", FRAME, "leg", 0), pivot("lug", "leg", "lower", 30j), pivot("knee", "lower", "upper", 30 + 30j),
            pivot("anchor", FRAME, "upper", 50 + 30j), pivot("toe", "leg", "foot", 10j),
            rod("stay", "leg", "foot", 5 + 0j, 5 + 12j),
        ),
        {},
    )  # fmt: skip
    held = grabbed(aircraft, "foot", 40j)
    found = resistance(held, pulled_to(held, -20 + 40j))
    assert found is not None
    assert (found.why, found.connections) == (Why.IN_LINE, ("lug", "knee", "anchor"))


def test_pulling_a_leg_does_not_roll_its_wheel():
    example = next(one for one in catalogue() if one.name == "wheel on its axle")
    mechanism = replace_round(build(example.project), "wheel")
    assert rolling(mechanism, "leg") == {"roll"}
    assert rolling(mechanism, "wheel") == frozenset()
    before = np.zeros((3, 3))
    after = before.copy()
    after[:, 2] = np.deg2rad([30.0 + 0.1, 0.0, 30.0])  # the leg by 30 degrees, the wheel on it by a tenth of one
    assert values_moved(mechanism, after, before).tolist() == pytest.approx([30.0, 0.0])


def replace_round(mechanism: Mechanism, body: str) -> Mechanism:
    return changed(mechanism, round=tuple(one == body for one in mechanism.bodies))


def test_a_fixed_body_says_so():
    held = grabbed(triangle(), FRAME, 10 + 20j)
    result = pull(held, held.poses, 40 + 60j)
    np.testing.assert_array_equal(result.poses, held.poses)
    found = resistance(held, result)
    assert found is not None
    assert why_it_resists(triangle(), FRAME, found) == "frame is fixed to the airframe and does not move"


def test_a_pinned_drive_holds_and_is_named():
    aircraft, lug = leg_on_a_jack(), LEG.lug()
    held = grabbed(aircraft, "leg", lug, pinned=("push",))
    result = pulled_to(held, complex(lug * degrees(20.0)))
    assert np.abs(result.poses).max() < 1e-9
    found = resistance(held, result)
    assert found is not None
    assert why_it_resists(aircraft, "leg", found) == "leg does not move: the drive on jack is kept where it is"


def test_a_latch_that_holds_is_named():
    aircraft = project(
        (frame(), *moving("door")),
        (pivot("hinge", FRAME, "door", 0), latch("catch", FRAME, "door", 30 + 0j, 30 + 0j)),
        {},
    )
    mechanism = build(aircraft)
    held = grab(mechanism, np.zeros((2, 3)), "door", 20 + 0j, grips={1: (0j, 0.0)})
    result = pulled_to(held, 20 + 15j)
    assert np.abs(result.poses).max() < 1e-9
    found = resistance(held, result)
    assert found is not None
    assert why_it_resists(aircraft, "door", found) == "door does not move: catch holds it"
    free = grab(mechanism, np.zeros((2, 3)), "door", 20 + 0j)
    assert np.rad2deg(pulled_to(free, 20j).poses[1, 2]) == pytest.approx(90.0, abs=1e-6)


def test_connections_that_do_not_hold_together_are_named():
    aircraft = project(
        (frame(), *moving("arm")),
        (pivot("foot", FRAME, "arm", 0), rod("short", FRAME, "arm", 40 + 0j, 40 + 30j, length=5.0)),
        {},
    )
    mechanism = build(aircraft)
    held = grab(mechanism, np.zeros((2, 3)), "arm", 40 + 30j)
    result = pull(held, held.poses, 60 + 30j)
    found = resistance(held, result)
    assert found is not None
    assert found.why is Why.APART
    assert found.connections == ("short",)


# ---- what else goes along, and what does not -------------------------------------------------------------------------


def test_what_does_not_hang_together_with_it_stands_still_to_the_last_bit():
    aircraft = project(
        (frame(), *moving("door", "flap")),
        (pivot("hinge", FRAME, "door", 0), pivot("other", FRAME, "flap", 70)),
        {},
    )
    poses = np.array([[0.0, 0.0, 0.0], [0.0, 0.0, 0.0], [0.1, 0.2, 0.3]])
    held = grab(build(aircraft), poses, "door", 20 + 0j)
    result = pulled_to(held, 20j)
    np.testing.assert_array_equal(result.poses[2], poses[2])
    assert held.members == (1,)


def test_a_loose_body_goes_where_the_hand_goes():
    aircraft = project((frame(), *moving("plate")), (), {})
    held = grabbed(aircraft, "plate", 3 + 4j)
    result = pulled_to(held, 33 - 16j)
    assert abs(place(held.mechanism, result.poses, "plate", 3 + 4j) - (33 - 16j)) < CLOSE
    assert result.freedoms == 3


def test_connections_more_than_are_needed_do_no_harm_however_they_are_rounded():
    """Three cranks on one coupler, one of their pins less than a micron from where it ought to be."""
    pins = (0j, 60 + 0.0004j, 25 + 40j)
    tips = [complex(np.round(pin.real + 17.32, 3), np.round(pin.imag + 10.0, 3)) for pin in pins]
    aircraft = project(
        (frame(), *moving("c0", "c1", "c2", "plate")),
        tuple(
            one
            for at, (pin, tip) in enumerate(zip(pins, tips, strict=True))
            for one in (pivot(f"g{at}", FRAME, f"c{at}", pin), pivot(f"t{at}", f"c{at}", "plate", tip))
        ),
        {},
    )
    held = grabbed(aircraft, "c0", tips[0])
    result = pulled_to(held, abs(tips[0]) * complex(degrees(75.0)))
    assert result.short_by < 1e-3
    assert off_by(held, result.poses) < 1e-3


def test_no_step_is_long_however_far_the_hand_goes():
    a, b = CRANK_ROCKER.drawn_pins()
    held = grabbed(four_bar(CRANK_ROCKER, name="four-bar").project, "crank", a)
    here, opposite = held.poses, -500.0 * a / abs(a) * complex(degrees(3.0))
    sides = set[float]()
    for _ in range(60):
        result = pull(held, here, opposite, steps=1)
        assert np.abs(result.poses - here)[:, :2].max() < 0.5 * held.mechanism.size
        here = result.poses
        pin, end = place(held.mechanism, here, "crank", a), place(held.mechanism, here, "rocker", b)
        sides.add(float(np.sign(cross(100.0 - pin, end - pin))))
    assert sides == {1.0}
    assert result.arrived


@pytest.mark.parametrize("turn", [0.3, 0.7, 1.1, 1.9])
def test_a_kept_drive_that_stands_at_its_limit_holds_nothing_else(turn: float):
    """An oleo at full stroke, kept, on a leg that is pulled round by the wheel's axle."""
    oleo = replace(slide("oleo", "leg", "piston", -40j, -1j), limits=(-5.0, 10.0))
    aircraft = project(
        (frame(), *moving("leg", "piston")),
        (pivot("trunnion", FRAME, "leg", 0), oleo),
        {"gear": "trunnion", "strut": "oleo"},
    )
    out = 10.0 * -1j * np.exp(1j * turn)
    poses = np.array([[0.0, 0.0, 0.0], [0.0, 0.0, turn], [out.real, out.imag, turn]])
    axle = -74j * np.exp(1j * turn) + out
    held = grab(build(aircraft), poses, "piston", complex(axle), pinned=("strut",))
    for further in (0.1, 0.2, 0.5, 0.9):
        result = pulled_to(held, complex(axle * np.exp(1j * further)))
        assert result.short_by < 1e-4
        assert resistance(held, result) is None
