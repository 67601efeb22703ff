"""Lengths, angles and tolerances as they are shown: rounded once, and read back as the same."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from core.units import (
    LENGTH_UNITS,
    Tolerance,
    format_angle,
    format_in_parts,
    format_length,
    format_tolerance,
    parse_angle,
    parse_angle_tolerance,
    parse_length,
    parse_length_tolerance,
    parse_measured_length,
)


@pytest.mark.parametrize(
    ("millimetres", "options", "shown"),
    [
        (26.5, {}, "26.5 mm"),
        (0.0, {}, "0 mm"),
        (-0.001, {}, "0 mm"),
        (0.126, {}, "0.13 mm"),
        (1200.0, {"decimals": 0}, "1200 mm"),
        (26.5, {"scale": 12, "full_size": True}, "318 mm full size"),
        (26.5, {"scale": 12}, "26.5 mm"),
        (20.0, {"unit": "cm"}, "2 cm"),
        (363.22, {"unit": "in"}, "14.3 in"),
        (363.22, {"unit": "ft"}, "1 ft 2.3 in"),
        (-363.22, {"unit": "ft"}, "−1 ft 2.3 in"),
        (304.7999, {"unit": "ft"}, "1 ft"),
        (609.5, {"unit": "ft", "fraction": 16}, "2 ft"),
        (0.0, {"unit": "ft"}, "0 in"),
        (-0.01, {"unit": "ft"}, "0 in"),
        (50.8, {"unit": "ft"}, "2 in"),
        (340.915625, {"unit": "in", "fraction": 64}, "13 27/64 in"),
        (340.9, {"unit": "in", "fraction": 8}, "13 3/8 in"),
        (-3.175, {"unit": "in", "fraction": 64}, "−1/8 in"),
        (0.1, {"unit": "in", "fraction": 64}, "0 in"),
        (-12.5, {"fixed": True}, "−12.50 mm"),
        (-0.001, {"fixed": True}, "0.00 mm"),
        (3.0, {"fixed": True, "decimals": 0}, "3 mm"),
        (363.22, {"unit": "ft", "fixed": True}, "1 ft 2.300 in"),
        (304.8, {"unit": "ft", "fixed": True}, "1 ft 0.000 in"),
    ],
)
def test_lengths_are_shown(millimetres: float, options: dict, shown: str):
    assert format_length(millimetres, **options) == shown


def test_angles_are_shown():
    assert [format_angle(degrees) for degrees in (92.5, -0.001, 101.0, 12.346)] == ["92.5°", "0°", "101°", "12.35°"]


@given(
    st.floats(-1e5, 1e5),
    st.sampled_from(sorted(LENGTH_UNITS)),
    st.sampled_from([None, 2, 16, 64]),
    st.booleans(),
    st.sampled_from([1.0, 4.8, 12.0, 72.0]),
)
def test_what_is_shown_is_read_back(millimetres: float, unit: str, fraction: int | None, full_size: bool, scale: float):
    imperial = unit in ("in", "ft")
    shown = format_length(
        millimetres, unit=unit, scale=scale, full_size=full_size, decimals=4, fraction=fraction if imperial else None
    )
    step = 25.4 * (1.0 / fraction if fraction else 1e-4) if imperial else LENGTH_UNITS[unit] * 1e-4
    back = parse_length(shown, unit="m", scale=scale)
    assert back == pytest.approx(millimetres, rel=1e-12, abs=0.5 * step * 1.001 / (scale if full_size else 1.0))
    again = format_length(
        back, unit=unit, scale=scale, full_size=full_size, decimals=4, fraction=fraction if imperial else None
    )
    assert again == shown


@pytest.mark.parametrize(
    ("degrees", "parts", "decimals", "shown"),
    [
        (12.51, 2, 1, "12° 30.6'"),
        (-12.51, 3, 0, "−12° 30' 36\""),
        (12.99999, 2, 0, "13° 0'"),
        (59.99999, 3, 0, "60° 0' 0\""),
        (-0.00001, 3, 0, "0° 0' 0\""),
        (-0.5, 2, 0, "−0° 30'"),
    ],
)
def test_angles_are_shown_in_degrees_minutes_and_seconds(degrees: float, parts: int, decimals: int, shown: str):
    assert format_angle(degrees, parts=parts, decimals=decimals) == shown


@pytest.mark.parametrize(
    ("below", "above", "unit", "decimals", "shown"),
    [
        (-1.0, 1.0, "mm", 2, "± 1 mm"),
        (-0.1, 0.2, "mm", 2, "+0.2/−0.1 mm"),
        (-0.021, 0.0, "mm", 3, "+0/−0.021 mm"),
        (0.0, 0.021, "mm", 3, "+0.021/−0 mm"),
        (-0.041, -0.02, "mm", 3, "−0.02/−0.041 mm"),
        (-1.016, 1.016, "ft", 3, "± 0.04 in"),
        (-0.5, 0.5, "deg", 2, "± 0.5°"),
    ],
)
def test_tolerances_are_shown(below: float, above: float, unit: str, decimals: int, shown: str):
    assert format_tolerance(Tolerance(below, above), unit=unit, decimals=decimals) == shown


@given(st.integers(-5000, 5000), st.integers(-5000, 5000), st.sampled_from(["mm", "cm", "in", "deg"]))
def test_a_tolerance_shown_is_read_back(one: int, other: int, unit: str):
    worth = LENGTH_UNITS.get(unit, 1.0) * 1e-3
    tolerance = Tolerance(min(one, other) * worth, max(one, other) * worth)
    text = format_tolerance(tolerance, unit=unit, decimals=3)
    back = parse_angle_tolerance(text) if unit == "deg" else parse_length_tolerance(text)
    assert (back.below, back.above) == pytest.approx((tolerance.below, tolerance.above), rel=1e-12, abs=1e-12)


@given(
    st.fractions(-50, 50, max_denominator=64), st.fractions(0, 2, max_denominator=64), st.sampled_from([1.0, 4.8, 12.0])
)
def test_a_size_with_its_tolerance_at_full_size_is_read_back(size: Fraction, tolerance: Fraction, scale: float):
    text = f"{float(size):.6f} in ± {float(tolerance):.6f} in full size"
    read = parse_measured_length(text, scale=scale)
    assert read.value == pytest.approx(float(size) * 25.4 / scale, abs=1.3e-5)
    assert read.tolerance is not None
    assert read.tolerance.above == -read.tolerance.below == pytest.approx(float(tolerance) * 25.4 / scale, abs=1.3e-5)


@given(st.lists(st.floats(-1e4, 1e4), min_size=1, max_size=4), st.sampled_from(sorted(LENGTH_UNITS)))
def test_a_sum_of_what_is_shown_is_the_sum(lengths: list[float], unit: str):
    shown = [format_length(one, unit=unit, decimals=6) for one in lengths]
    text = shown[0] + "".join(f" {'-' if s[0] == '−' else '+'} {s.lstrip('−')}" for s in shown[1:])
    assume("ft - " not in text)  # which may be feet and inches, and is refused
    alone = [parse_length(one) for one in shown]
    assert parse_length(text) == pytest.approx(sum(alone), rel=1e-12, abs=1e-9)


@given(st.integers(-4000, 4000), st.sampled_from(["in", "ft"]), st.sampled_from([8, 16, 32, 64]), st.booleans())
def test_a_fraction_is_shown_only_where_it_is_one(parts: int, unit: str, fraction: int, off: bool):
    millimetres = parts / 64 * 25.4 + (0.01 if off else 0.0)
    shown = format_in_parts(millimetres, unit=unit, decimals=6, fraction=fraction)
    assert parse_length(shown) == pytest.approx(millimetres, abs=1.4e-5)
    assert "/" not in shown or not off


@given(st.floats(-720.0, 720.0), st.sampled_from([2, 3]))
def test_an_angle_shown_in_parts_is_read_back(degrees: float, parts: int):
    shown = format_angle(degrees, decimals=3, parts=parts)
    assert parse_angle(shown) == pytest.approx(degrees, abs=0.51e-3 / 60 ** (parts - 1))
    assert format_angle(parse_angle(shown), decimals=3, parts=parts) == shown


@given(st.floats(-720.0, 720.0))
def test_an_angle_shown_is_read_back(degrees: float):
    assert parse_angle(format_angle(degrees, decimals=6)) == pytest.approx(degrees, abs=5.1e-7)
