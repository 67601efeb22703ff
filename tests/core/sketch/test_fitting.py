"""Drawings are laid where what is known of them says, and a wrong point is named."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.sketch.fitting import KnownPlace, KnownStretch, Map, fit_drawing, map_for, mapped

UPRIGHT = np.array([[0.08, 0.0, -41.0], [0.0, -0.08, 64.0], [0.0, 0.0, 1.0]])
CORNERS = [(200.0, 150.0), (3800.0, 180.0), (3750.0, 2800.0), (240.0, 2860.0), (2000.0, 1500.0), (1000.0, 2500.0)]


def places(matrix, pixels):
    return [
        KnownPlace(pixel=pixel, mm=tuple(at)) for pixel, at in zip(pixels, mapped(matrix, pixels).tolist(), strict=True)
    ]


def apart(first, second, pixels=CORNERS):
    return float(np.hypot(*(mapped(first, pixels) - mapped(second, pixels)).T).max())


@pytest.mark.parametrize(
    ("points", "stretches", "how"),
    [(0, 0, None), (1, 0, None), (0, 1, Map.LIKENESS), (2, 0, Map.LIKENESS), (3, 0, Map.STRETCHED),
     (2, 2, Map.STRETCHED),
          (4, 0, Map.PROJECTED), (9, 2, Map.PROJECTED)],
)  # fmt: skip
def test_the_more_is_known_the_freer_the_map(points, stretches, how):
    assert map_for(points, stretches) is how


@given(st.floats(0, 2 * math.pi), st.floats(0.01, 1.0), st.floats(-500, 500), st.floats(-500, 500), st.booleans())
@settings(max_examples=25, deadline=None)
def test_two_points_give_scale_and_turn(turn, scale, x, y, mirrored):
    a, b = scale * math.cos(turn), scale * math.sin(turn)
    side = -1.0 if mirrored else 1.0
    true = np.array([[a * side, b, x], [b * side, -a, y], [0.0, 0.0, 1.0]])
    fit = fit_drawing(places(true, CORNERS[:2]), mirrored=mirrored)
    assert fit.map is Map.LIKENESS
    assert apart(fit.pixel_to_mm, true) < 1e-6
    assert fit.worst < 1e-7


def test_three_points_give_a_scale_of_its_own_each_way_and_skew():
    true = np.array([[0.081, 0.004, -41.0], [0.002, -0.0795, 64.0], [0.0, 0.0, 1.0]])
    fit = fit_drawing(places(true, CORNERS[:3]))
    assert fit.map is Map.STRETCHED
    assert apart(fit.pixel_to_mm, true) < 1e-6


@given(st.floats(-4e-5, 4e-5), st.floats(-4e-5, 4e-5), st.floats(-0.2, 0.2))
@settings(max_examples=25, deadline=None)
def test_four_points_recover_a_projection_to_the_micron(p, q, turn):
    """Asked for: 0.05 mm. The map is the textbook's: three rows of three, the last telling how the plane recedes."""
    turned = np.array([[math.cos(turn), math.sin(turn), 0], [-math.sin(turn), math.cos(turn), 0], [0, 0, 1]])
    true = UPRIGHT @ np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [p, q, 1.0]]) @ turned
    fit = fit_drawing(places(true, CORNERS[:4]))
    assert fit.map is Map.PROJECTED
    assert apart(fit.pixel_to_mm, true) < 1e-3


def test_a_sheet_photographed_aslant_has_no_wrong_point():
    true = UPRIGHT @ np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [4e-5, 3e-5, 1.0]])
    assert fit_drawing(places(true, CORNERS[:4])).suspect is None
    assert fit_drawing(places(true, CORNERS)).suspect is None


@pytest.mark.parametrize("wrong", range(6))
def test_a_wrong_point_among_six_is_named(wrong):
    true = UPRIGHT @ np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [3e-5, -2e-5, 1.0]])
    known = places(true, CORNERS)
    known[wrong] = KnownPlace(pixel=known[wrong].pixel, mm=(known[wrong].mm[0] + 12.0, known[wrong].mm[1] - 7.0))
    fit = fit_drawing(known)
    assert fit.suspect == wrong
    assert fit.suspect_by == pytest.approx(math.hypot(12.0, 7.0), rel=1e-3)


@pytest.mark.parametrize("wrong", range(4))
def test_a_wrong_point_among_four_is_named_where_the_paper_is_sound(wrong):
    """Four points determine a projection exactly, so that nothing would be left over: the plainer maps tell."""
    known = places(UPRIGHT, CORNERS[:4])
    known[wrong] = KnownPlace(pixel=known[wrong].pixel, mm=(known[wrong].mm[0] + 10.0, known[wrong].mm[1]))
    fit = fit_drawing(known)
    assert fit.suspect == wrong
    assert fit.suspect_by == pytest.approx(10.0, rel=1e-3)


def test_careful_readings_name_nobody():
    rng = np.random.default_rng(4)
    for _ in range(10):
        known = [
            KnownPlace(pixel=one.pixel, mm=tuple((np.array(one.mm) + rng.normal(0.0, 0.1, 2)).tolist()))
            for one in places(UPRIGHT, CORNERS)
        ]
        assert fit_drawing(known).suspect is None


def test_a_length_alone_gives_the_scale_and_stands_upright():
    fit = fit_drawing([], [KnownStretch(start=(100.0, 100.0), end=(400.0, 500.0), mm=40.0)])
    assert mapped(fit.pixel_to_mm, [(0.0, 0.0), (500.0, 0.0), (0.0, 500.0)]) == pytest.approx(
        np.array([[0.0, 0.0], [40.0, 0.0], [0.0, -40.0]]), abs=1e-4
    )


def test_a_length_of_known_direction_turns_the_drawing():
    fit = fit_drawing([], [KnownStretch(start=(0.0, 0.0), end=(300.0, 400.0), mm=50.0, angle=0.0)])
    along = np.diff(mapped(fit.pixel_to_mm, [(0.0, 0.0), (300.0, 400.0)]), axis=0)[0]
    assert along == pytest.approx([50.0, 0.0], abs=1e-4)


def test_paper_that_stretched_differently_each_way_is_told_by_two_lengths():
    known = [KnownPlace(pixel=(0.0, 0.0), mm=(0.0, 0.0)), KnownPlace(pixel=(1000.0, 0.0), mm=(100.0, 0.0))]
    upright = KnownStretch(start=(0.0, 0.0), end=(0.0, -1000.0), mm=101.0, angle=90.0)
    level = KnownStretch(start=(0.0, 500.0), end=(1000.0, 500.0), mm=100.0, angle=0.0)
    fit = fit_drawing(known, [upright, level])
    assert fit.map is Map.STRETCHED
    assert mapped(fit.pixel_to_mm, [(1000.0, -1000.0)])[0] == pytest.approx([100.0, 101.0], abs=1e-3)
    assert fit.worst < 1e-3


def test_lengths_that_contradict_each_other_are_left_over_by_half_each():
    both = [KnownStretch(start=(0.0, 0.0), end=(100.0, 0.0), mm=mm) for mm in (10.0, 10.2)]
    fit = fit_drawing([], both)
    assert fit.stretch_misses == pytest.approx((0.1, -0.1), abs=1e-4)


def test_what_falls_together_is_not_fitted():
    assert fit_drawing([KnownPlace(pixel=(1, 1), mm=(0, 0)), KnownPlace(pixel=(1, 1), mm=(5, 0))]) is None
    assert fit_drawing([], [KnownStretch(start=(1, 1), end=(1, 1), mm=5.0)]) is None
    assert fit_drawing([]) is None
