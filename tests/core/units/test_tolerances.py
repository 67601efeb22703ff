"""Sizes with their tolerances, as they are printed."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from core.errors import UnreadableQuantity
from core.units import (
    Measure,
    Tolerance,
    parse_angle_tolerance,
    parse_length,
    parse_length_tolerance,
    parse_measured_angle,
    parse_measured_length,
)


def measured(value: float, below: float, above: float) -> Measure:
    return Measure(value=value, tolerance=Tolerance(below, above))


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("26.5", Measure(value=26.5)),
        ("352 mm ± 1 mm", measured(352.0, -1.0, 1.0)),
        ("352 ± 1 mm", measured(352.0, -1.0, 1.0)),
        ("352 mm +/- 1", measured(352.0, -1.0, 1.0)),
        ("352 mm +/\N{MINUS SIGN} 1", measured(352.0, -1.0, 1.0)),
        ("25 +0.2/-0.1", measured(25.0, -0.1, 0.2)),
        ("25 mm -0,1/+0,2", measured(25.0, -0.1, 0.2)),
        ("25 +0/-0.021 mm", measured(25.0, -0.021, 0.0)),
        ("25 -0.020/-0.041", measured(25.0, -0.041, -0.02)),
        ("1 ± 1/4 in", measured(25.4, -6.35, 6.35)),
        ("1 + 1 ± 1/4 in", measured(50.8, -6.35, 6.35)),
        ("1 ft 3 in ± 1 mm", measured(381.0, -1.0, 1.0)),
        ("360 mm ± 1.2 mm full size", measured(30.0, -0.1, 0.1)),
        ("360 +1.2/-2.4 mm full size", measured(30.0, -0.2, 0.1)),
        ("360 mm full size ± 0.1 mm model size", measured(30.0, -0.1, 0.1)),
    ],
)
def test_sizes_with_tolerances(text: str, size: Measure):
    assert parse_measured_length(text, scale=12.0) == size


def test_a_number_alone_takes_the_unit_of_its_tolerance():
    """ "352 ± 1 mm" is printed so, and is not 352 in, in whatever unit lengths are typed."""
    assert parse_measured_length("352 ± 1 mm", unit="in") == measured(352.0, -1.0, 1.0)
    assert parse_measured_length("352 ± 1", unit="cm") == measured(3520.0, -10.0, 10.0)


def test_what_is_printed_at_full_size_is_divided_unless_it_says_model_size():
    assert parse_measured_length("360 ± 1.2", scale=12.0, full_size=True) == measured(30.0, -0.1, 0.1)
    assert parse_measured_length("30 ± 0.1 model size", scale=12.0, full_size=True) == measured(30.0, -0.1, 0.1)


@pytest.mark.parametrize(
    ("text", "marked"),
    [
        ("± 1", "→±← 1"),
        ("12 ± -1", "12 →± -←1"),
        ("12 ±", "→12 ±←"),
        ("12 ± 1 ± 2", "12 ± 1 →±← 2"),
        ("12 ± 1 + 2", "12 ± →1 + 2←"),
        ("12 + 0.2/-0.1/-0.3", "12 + 0.2/-0.1→/←-0.3"),
        ("1 ft 2 in ± 0.04", "1 ft 2 in →± 0.04←"),
        ("352 mm full size ± 1 mm", "352 mm full size ± →1 mm←"),
        ("12 ± 5 %", "12 ± 5 →%←"),
        ("25 +0.2 -0.1 mm", "25 +→0.2 -0.1 mm←"),
        ("348 - 352 mm", "→348 - 352 mm←"),
        ("348 mm - 352 mm", "→348 mm - 352 mm←"),
        ("25 mm -0.1 +0.2", "25 mm -→0.1 +0.2←"),
    ],
)
def test_tolerances_that_are_not_clear_are_refused(text: str, marked: str):
    with pytest.raises(UnreadableQuantity) as caught:
        parse_measured_length(text)
    assert caught.value.marked == marked


@pytest.mark.parametrize(
    ("text", "tolerance"),
    [
        ("1.5 mm", Tolerance(-1.5, 1.5)),
        ("± 1.5", Tolerance(-1.5, 1.5)),
        ("+/- 1/16 in", Tolerance(-1.5875, 1.5875)),
        ("+0.2/-0.1 mm", Tolerance(-0.1, 0.2)),
        ("+3/0 mm", None),
        ("+0.2 -0.1 mm", None),
        ("0.2 + 0.1 mm", None),
        ("+0.2", None),
        ("12 mm full size", Tolerance(-1.0, 1.0)),
        ("-1", None),
        ("3 ± 1", None),
    ],
)
def test_a_tolerance_that_stands_alone(text: str, tolerance: Tolerance | None):
    if tolerance is None:
        with pytest.raises(UnreadableQuantity):
            parse_length_tolerance(text, scale=12.0)
    else:
        assert parse_length_tolerance(text, scale=12.0) == tolerance


def test_angles_have_tolerances_too():
    assert parse_measured_angle("101° 30' ± 15'") == measured(101.5, -0.25, 0.25)
    assert parse_angle_tolerance("+1/-0.5 deg") == Tolerance(-0.5, 1.0)
    with pytest.raises(UnreadableQuantity, match=r"30', or \+1/-0.5 deg"):
        parse_angle_tolerance("+1")


def test_a_shop_drawings_two_unit_families_agree():
    """352 mm ± 1 mm between two stops is printed beside it as 1 ft 1.85 in ± 0.04 in: common practice, no source. The
    inches are cut off after the second place, as the next is 8, so they agree to a hundredth of an inch."""
    metric = parse_measured_length("352 mm ± 1 mm")
    inches = parse_measured_length("1 ft 1.85 in ± 0.04 in")
    assert parse_length("13.85 in") == inches.value
    assert 0.0 < metric.value - inches.value < parse_length("0.01 in")
    assert metric.tolerance is not None
    assert inches.tolerance is not None
    assert abs(metric.tolerance.above - inches.tolerance.above) < parse_length("0.005 in")


@settings(max_examples=400)
@example("±")
@example("/-1")
@example("+1/-")
@example("1 +/- +/- 1")
@given(st.text("0123456789./' \"-+,±mincft°full size", max_size=18))
def test_any_text_is_a_size_with_its_tolerance_or_refused_in_one_line(text: str):
    readers = (parse_measured_length, parse_length_tolerance, parse_measured_angle, parse_angle_tolerance)
    for parse in readers:
        try:
            found = parse(text)
        except UnreadableQuantity as error:
            assert str(error).isprintable()  # noqa: PT017, most texts are refused and some are not
            continue
        tolerance = found if isinstance(found, Tolerance) else found.tolerance
        assert tolerance is None or tolerance.below <= tolerance.above
