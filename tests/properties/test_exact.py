"""Poses against thirty digits: mpmath on the textbook's equations, and sympy where the answer is an exact number."""

from __future__ import annotations

import mpmath
import numpy as np
import pytest
import sympy

from tests.mechanisms.example import point_track, solve
from tests.mechanisms.four_bars import FourBar, four_bar
from tests.mechanisms.sketch import FRAME, frame, jack, moving, pivot, project, step
from tests.mechanisms.sliders import SliderCrank, slider_crank, slotted_lever

DIGITS = 40


def rocker_pin(bar: FourBar, angle: float) -> complex:
    """B by the tangent half-angle equation A t^2 + B t + C = 0 (R. L. Norton, Design of Machinery, section 4.5)."""
    with mpmath.workdps(DIGITS):
        a, b, c, d = (mpmath.mpf(x) for x in (bar.crank, bar.coupler, bar.rocker, bar.ground))
        theta = mpmath.radians(mpmath.mpf(angle))
        k1, k2, k3 = d / a, d / c, (a**2 - b**2 + c**2 + d**2) / (2 * a * c)
        first = mpmath.cos(theta) - k1 - k2 * mpmath.cos(theta) + k3
        middle, last = -2 * mpmath.sin(theta), k1 - (k2 + 1) * mpmath.cos(theta) + k3
        root = mpmath.sqrt(middle**2 - 4 * first * last)
        wanted = []
        for sign in (1, -1):
            theta4 = 2 * mpmath.atan((-middle + sign * root) / (2 * first))
            wanted.append(d + c * mpmath.expj(theta4))
        pin = a * mpmath.expj(theta)
        return complex(next(end for end in wanted if mpmath.im(mpmath.conj(d - pin) * (end - pin)) * bar.side > 0))


@pytest.mark.parametrize("side", [1.0, -1.0])
@pytest.mark.parametrize("gap", [20.0, 0.01])
def test_a_four_bar_to_thirty_digits(gap: float, side: float) -> None:
    bar = FourBar(ground=80.0, crank=30.0, coupler=60.0, rocker=50.0 + gap, drawn=70.0, side=side)
    motion = solve(four_bar(bar, name="exact").project, 73)
    drawn = rocker_pin(bar, bar.drawn)
    track = point_track(motion, "rocker", drawn)
    known = np.array([rocker_pin(bar, bar.drawn + float(turn)) for turn in motion.drives[:, 0]])
    assert np.max(np.abs(track - known)) <= 1e-9


def test_a_slider_crank_to_thirty_digits() -> None:
    mechanism = SliderCrank(crank=40.0, rod=120.0, offset=-20.0)
    motion = solve(slider_crank(mechanism, name="exact").project, 61)

    def piston(angle: float) -> float:
        with mpmath.workdps(DIGITS):
            theta = mpmath.radians(mpmath.mpf(angle))
            return float(40 * mpmath.cos(theta) + mpmath.sqrt(120**2 - (40 * mpmath.sin(theta) + 20) ** 2))

    drawn = piston(mechanism.drawn) - 20j
    known = np.array([piston(mechanism.drawn + float(turn)) for turn in motion.drives[:, 0]]) - 20j
    assert np.max(np.abs(point_track(motion, "slider", drawn) - known)) <= 1e-10


def test_a_jack_at_exact_lengths() -> None:
    """Triangle 3-4-5 scaled by twelve: the jack's length squared is a rational of the leg's cosine."""
    radius, foot = sympy.Integer(36), sympy.Integer(48)
    made = project(
        (frame(), *moving("leg")),
        (pivot("leg-pivot", FRAME, "leg", 0), jack("jack", FRAME, "leg", 48, 36j, 20.0, 60.0)),
        {"jack": "jack"},
        (step("pull", 2.0, {"jack": 16.0}), step("push", 2.0, {"jack": 60.0})),
        {"jack": 40.0},
    )
    motion = solve(made, 45)
    track = point_track(motion, "leg", 36j)
    for extension, lug in zip(motion.drives[:, 0], track, strict=True):
        length = sympy.nsimplify(20 + sympy.Float(float(extension), 30), rational=True)
        cosine = (radius**2 + foot**2 - length**2) / (2 * radius * foot)
        known = radius * (cosine + sympy.I * sympy.sqrt(1 - cosine**2))
        assert abs(complex(known.evalf(30)) - lug) <= 1e-9


@pytest.mark.parametrize("turn", [60, 120, 210, 330])
def test_a_slotted_lever_at_angles_with_exact_sines(turn: int) -> None:
    """From 30 degrees to 90, 150, 240 and 360 degrees: the lever points along a surd vector."""
    example = slotted_lever(name="exact", centres=50.0, crank=75.0, drawn=30.0)
    motion = solve(example.project, 37)
    frame_at = turn // 10
    assert motion.drives[frame_at, 0] == pytest.approx(turn, abs=1e-12)
    angle = sympy.rad(30 + turn)
    pin = 75 * (sympy.cos(angle) + sympy.I * sympy.sin(angle))
    arm = pin + 50 * sympy.I
    known = complex((-50 * sympy.I + 125 * arm / sympy.Abs(arm)).evalf(30))
    body, drawn = example.marks["lever end"]
    assert abs(point_track(motion, body, drawn)[frame_at] - known) <= 1e-10
