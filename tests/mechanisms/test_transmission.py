"""Transmission angles against the cosine rule, and against what is known of toggles and sliders."""

from __future__ import annotations

import numpy as np
import pytest

from core.motion.transmission import Transmission, transmissions_of
from tests.mechanisms.catalogue import CRANK_ROCKER, catalogue
from tests.mechanisms.example import Example, drive_tracks, solve
from tests.mechanisms.four_bars import FourBar, four_bar, four_bar_of_rods
from tests.mechanisms.sketch import FRAME, frame, jack, moving, pivot, project, slide, slot, step
from tests.mechanisms.sliders import SliderCrank, slider_crank
from tests.mechanisms.undercarriage import folding_brace
from tests.published.cases import case


def of_link(found: tuple[Transmission, ...], link: str) -> Transmission:
    (one,) = (one for one in found if one.link == link)
    return one


def cosine_rule(bar: FourBar, angle: np.ndarray) -> np.ndarray:
    """Degrees between coupler and rocker at B, folded; d^2 = g^2 + a^2 - 2 g a cos, then the cosine rule at B (e.g.
    J. J. Uicker, G. R. Pennock, J. E. Shigley, Theory of Machines and Mechanisms, on transmission angles)."""
    square = bar.ground**2 + bar.crank**2 - 2 * bar.ground * bar.crank * np.cos(np.deg2rad(angle))
    cosine = (bar.coupler**2 + bar.rocker**2 - square) / (2 * bar.coupler * bar.rocker)
    full = np.rad2deg(np.arccos(cosine))
    return np.minimum(full, 180.0 - full)


def test_a_crank_rocker_by_the_cosine_rule() -> None:
    motion = solve(four_bar(CRANK_ROCKER, name="").project, 97)
    one = of_link(transmissions_of(motion), "coupler")
    wanted = cosine_rule(CRANK_ROCKER, CRANK_ROCKER.drawn + drive_tracks(motion)["input"])
    assert one.driven == "rocker"
    assert one.angles == pytest.approx(wanted, abs=1e-9)
    extremes = cosine_rule(CRANK_ROCKER, np.array([0.0, 180.0]))
    assert one.least == pytest.approx(extremes.min(), abs=1e-6)  # found between the frames


def test_a_rod_in_the_couplers_place_is_the_same() -> None:
    body, rod = (
        transmissions_of(solve(made.project, 60))[0].angles
        for made in (four_bar(CRANK_ROCKER, name=""), four_bar_of_rods(CRANK_ROCKER, name=""))
    )
    assert rod == pytest.approx(body, abs=1e-9)


def test_the_reference_extremes() -> None:
    """mu4-ref-1: the cosine rule at crank angles of 0 and 180 degrees."""
    one = case("mu4-ref-1")
    d, a, b, c = (10.0 * length for length in one.given("d", "a", "b", "c"))
    bar = FourBar(ground=d, crank=a, coupler=b, rocker=c, drawn=0.0)
    found = of_link(transmissions_of(solve(four_bar(bar, name="").project, 73)), "coupler")
    one.agrees("mu_at_0", float(found.angles[0]), numerical=1e-9)
    one.agrees("mu_at_180", float(found.angles[36]), numerical=1e-9)
    one.agrees("worst_deviation_from_90", 90.0 - found.least, numerical=1e-9)


def test_a_connecting_rod_pushes_its_slider_best_where_it_lies_along_it() -> None:
    """The angle between rod and slide has the sine crank sin t / rod; the transmission angle is what is left to 90."""
    motion = solve(slider_crank(SliderCrank(crank=40.0, rod=120.0), name="").project, 73)
    (one,) = transmissions_of(motion)
    assert one.least == pytest.approx(90.0 - np.rad2deg(np.arcsin(40.0 / 120.0)), abs=1e-6)


def test_a_brace_that_comes_straight_pushes_the_leg_as_its_lower_link_lies() -> None:
    """A toggle: the angle at the lug, by the points themselves."""
    example = folding_brace(name="", past=-4.0)
    motion = solve(example.project, 61)
    one = of_link(transmissions_of(motion), "lower")
    known = example.answer(drive_tracks(motion), motion.times)
    ratio = (known["knee"] - known["lug"]) / (0 - known["lug"])
    wanted = np.abs(np.rad2deg(np.angle(ratio)))
    assert one.driven == "leg"
    assert one.angles == pytest.approx(np.minimum(wanted, 180.0 - wanted), abs=1e-9)


def test_a_jack_at_a_leg_by_its_triangle() -> None:
    foot, eye = 40 + 0j, 20j
    made = project(
        (frame(), *moving("leg")),
        (pivot("leg-pivot", FRAME, "leg", 0), jack("jack", FRAME, "leg", foot, eye, 30.0, 25.0)),
        {"gear": "jack"},
        (step("up", 1.0, {"gear": 5.0}),),
    )
    motion = solve(made, 21)
    (one,) = transmissions_of(motion)
    length = 30.0 + motion.drives[:, 0]
    wanted = np.rad2deg(np.arccos((length**2 + 20.0**2 - 40.0**2) / (2 * length * 20.0)))
    assert (one.link, one.driven) == ("jack", "leg")
    assert one.angles == pytest.approx(np.minimum(wanted, 180.0 - wanted), abs=1e-9)
    assert one.poor is bool(one.least < 40.0)


def folded(angle: np.ndarray) -> np.ndarray:
    return np.minimum(angle, 180.0 - angle)


@pytest.mark.parametrize("off", [0.0, 8.0])
def test_a_pin_drives_a_slotted_lever_square_to_its_slot(off: float) -> None:
    """A slot that passes its lever's pivot at `off` makes the angle asin(off / arm) with the arm to the pin; the push
    is square to it. Where it goes through the pivot, as in a quick return, all of the push turns the lever."""
    crank, apart = 20.0, 50.0
    pin = crank + 0j
    arm = pin + apart  # from the lever's pivot at -50
    turned = np.arcsin(off / abs(arm))
    way = arm / abs(arm) * np.exp(1j * turned)
    made = project(
        (frame(), *moving("crank", "lever")),
        (
            pivot("o2", FRAME, "crank", 0),
            pivot("o4", FRAME, "lever", -apart),
            slot("race", "lever", "crank", pin, pin - 60 * way, pin + 60 * way),
        ),
        {"input": "o2"},
        (step("round", 2.0, {"input": 360.0}),),
    )
    motion = solve(made, 49)
    (one,) = transmissions_of(motion)
    reach = np.abs(crank * np.exp(1j * np.deg2rad(motion.drives[:, 0])) + apart)
    assert (one.link, one.driven) == ("race", "lever")
    assert one.angles == pytest.approx(90.0 - np.rad2deg(np.arcsin(off / reach)), abs=1e-6)
    assert one.least == pytest.approx(90.0 - np.rad2deg(np.arcsin(off / (apart - crank))), abs=1e-6)


def test_a_slotted_crank_drives_a_pin_by_the_cosine_rule() -> None:
    """A slot through the crank's pivot pushes the pin of a lever square to the line to that pivot: what is left to 90
    of the angle at the pin in the triangle of both pivots and the pin."""
    lever, apart, drawn = 60.0, 25.0, np.deg2rad(70.0)
    pin = lever * np.exp(1j * drawn)
    way = (pin - apart) / abs(pin - apart)
    made = project(
        (frame(), *moving("crank", "lever")),
        (
            pivot("o2", FRAME, "crank", apart),
            pivot("o4", FRAME, "lever", 0),
            slot("race", "crank", "lever", pin, apart + 5 * way, apart + 95 * way),
        ),
        {"input": "o2"},
        (step("part", 2.0, {"input": 90.0}),),
    )
    motion = solve(made, 31)
    (one,) = transmissions_of(motion)
    at = lever * np.exp(1j * (drawn + motion.poses[:, motion.bodies.index("lever"), 2]))
    reach = np.abs(at - apart)
    angle = np.rad2deg(np.arccos((reach**2 + lever**2 - apart**2) / (2 * reach * lever)))
    assert (one.link, one.driven) == ("race", "lever")
    assert one.angles == pytest.approx(90.0 - folded(angle), abs=1e-6)


@pytest.mark.parametrize("lean", [0.0, 25.0])
def test_a_scotch_yoke_is_pushed_along_its_guide_less_the_lean_of_its_slot(lean: float) -> None:
    """Square to the slot is along the guide where the slot stands square on it, so that all of the push goes that way;
    by plain geometry."""
    way = 1j * np.exp(1j * np.deg2rad(lean))
    made = project(
        (frame(), *moving("crank", "yoke")),
        (
            pivot("o2", FRAME, "crank", 0),
            slot("race", "yoke", "crank", 25, 25 - 60 * way, 25 + 60 * way),
            slide("guide", FRAME, "yoke", 0, 1),
        ),
        {"input": "o2"},
        (step("round", 1.0, {"input": 360.0}),),
    )
    (one,) = transmissions_of(solve(made, 41))
    assert (one.link, one.driven) == ("race", "yoke")
    assert one.angles == pytest.approx(90.0 - lean, abs=1e-9)


@pytest.mark.parametrize("example", catalogue(), ids=lambda example: example.name)
def test_all_of_the_catalogue_keep_between_0_and_90(example: Example) -> None:
    for one in transmissions_of(solve(example.project, 31)):
        known = one.angles[np.isfinite(one.angles)]
        assert ((known >= -1e-9) & (known <= 90.0 + 1e-9)).all()
        assert one.least <= known.min() + 1e-12
