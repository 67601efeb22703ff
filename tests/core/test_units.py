"""Lengths and angles at the door: read as meant, shown so that they are read back, and refused where not understood."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import UnreadableQuantity
from core.units import LENGTH_UNITS, format_angle, format_length, parse_angle, parse_length


@pytest.mark.parametrize(
    ("text", "millimetres"),
    [
        ("3.2", 3.2),
        ("0", 0.0),
        (".5", 0.5),
        ("007", 7.0),
        ("-3.2", -3.2),
        ("+3.2 mm", 3.2),
        ("\N{MINUS SIGN}3.2mm", -3.2),
        ("  3.2   mm ", 3.2),
        ("3.2\N{NO-BREAK SPACE}mm", 3.2),
        ("3.2 MM", 3.2),
        ("2 cm", 20.0),
        ("0.5 m", 500.0),
        ("1 metre", 1000.0),
        ("12 millimetres", 12.0),
        ("1/8 in", 3.175),
        ("1/8", 0.125),
        ("3 1/2 in", 88.9),
        ("3 1/2", 3.5),
        ("1 inch", 25.4),
        ('1"', 25.4),
        ("1''", 25.4),
        ("1\N{DOUBLE PRIME}", 25.4),
        ("1 ft", 304.8),
        ("6 1/2 ft", 1981.2),
        ("1 ft 2.3 in", 363.22),
        ("1ft2.3in", 363.22),
        ("1' 2 1/2\"", 368.3),
        ("-1 ft 2 in", -355.6),
        ("2 feet 0 inches", 609.6),
        ("0 ft 11 63/64 in", 304.403125),
        ("318 mm full size", 26.5),
        ("318 mm Full  Size", 26.5),
        ("1 ft 2.3 in full size", 363.22 / 12),
        ("318 full size", 26.5),
    ],
)
def test_lengths_are_read(text: str, millimetres: float):
    assert parse_length(text, scale=12) == pytest.approx(millimetres, rel=1e-15, abs=0.0)


@pytest.mark.parametrize(
    ("unit", "millimetres"), [("mm", 2.5), ("cm", 25.0), ("m", 2500.0), ("in", 63.5), ("ft", 762.0)]
)
def test_a_number_alone_is_in_the_unit_asked_for(unit: str, millimetres: float):
    assert parse_length("2.5", unit=unit) == pytest.approx(millimetres, rel=1e-15)
    assert parse_length("2.5 mm", unit=unit) == 2.5


# Decimal equivalents of fractions of an inch, in millimetres to four places, as printed in workshop tables (for example
# Machinery's Handbook, "Decimal Equivalents of Fractions of an Inch"). Values from memory; each is 25.4 times a dyadic
# fraction, so that the table and exact arithmetic can disagree only by its rounding.
HANDBOOK = {
    "1/64": 0.3969, "1/32": 0.7938, "3/64": 1.1906, "1/16": 1.5875, "5/64": 1.9844, "3/32": 2.3813, "7/64": 2.7781,
    "1/8": 3.1750, "9/64": 3.5719, "5/32": 3.9688, "3/16": 4.7625, "1/4": 6.3500, "5/16": 7.9375, "3/8": 9.5250,
    "27/64": 10.7156, "7/16": 11.1125, "1/2": 12.7000, "9/16": 14.2875, "5/8": 15.8750, "11/16": 17.4625,
    "3/4": 19.0500, "13/16": 20.6375, "7/8": 22.2250, "15/16": 23.8125, "63/64": 25.0031,
}  # fmt: skip


@pytest.mark.parametrize(("fraction", "millimetres"), HANDBOOK.items())
def test_fractions_of_an_inch_agree_with_the_handbook(fraction: str, millimetres: float):
    assert parse_length(f"{fraction} in") == pytest.approx(millimetres, abs=0.00005 + 1e-9)
    assert parse_length(f"13 {fraction} in") == pytest.approx(13 * 25.4 + millimetres, abs=0.00005 + 1e-9)
    assert format_length(parse_length(f"13 {fraction} in"), unit="in", fraction=64) == f"13 {fraction} in"


def test_the_inch_and_the_foot_are_those_of_1959():
    """International yard and pound agreement, 1959: the yard is 0.9144 m exactly; BS 350 gives the same."""
    assert 3 * LENGTH_UNITS["ft"] == pytest.approx(914.4, rel=1e-15)
    assert 36 * LENGTH_UNITS["in"] == pytest.approx(914.4, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "marked"),
    [
        ("", "→←"),
        ("   ", "→   ←"),
        ("mm", "→mm←"),
        ("three", "→three←"),
        ("3 furlongs", "3 →furlongs←"),
        ("3e5", "3→e←5"),
        ("3 mm mm", "3 mm →mm←"),
        ("3,2", "3→,←2"),
        ("1,000 mm", "1→,←000 mm"),
        ("1_000", "1→_←000"),
        ("1 000 mm", "→1 000 mm←"),
        ("3.", "3→.←"),
        ("1.2.3", "→1.2.3←"),
        ("--3", "-→-←3"),
        ("3 - 1 mm", "3 →-← 1 mm"),
        ("3-1/2 in", "3→-←1/2 in"),
        ("-", "→-←"),
        ("1/0 in", "→1/0← in"),
        ("1/2/3", "1/2→/←3"),
        ("1 /2", "1 →/←2"),
        ("3.5 1/2 in", "→3.5 1/2← in"),
        ("1/2 1/2 in", "→1/2 1/2← in"),
        ("3 5/4 in", "→3 5/4← in"),
        ("1 ft 2", "→1 ft 2←"),
        ("1 ft 14 in", "→1 ft 14 in←"),
        ("1.5 ft 2 in", "→1.5 ft 2 in←"),
        ("2 in 1 ft", "→2 in 1 ft←"),
        ("1 m 20 cm", "→1 m 20 cm←"),
        ("1 ft 2 in 3 in", "→1 ft 2 in 3 in←"),
        ("full size", "→full← size"),
        ("3 mm full", "3 mm →full←"),
        ("full size 3 mm", "→full← size 3 mm"),
        ("3 mm full size full size", "3 mm →full← size full size"),
        ("3 °", "3 →°←"),
        ("\N{ARABIC-INDIC DIGIT THREE} mm", "→\N{ARABIC-INDIC DIGIT THREE}← mm"),
        ("½ in", "→½← in"),
        ("3²", "3→²←"),
        ("NaN", "→NaN←"),
        ("inf", "→inf←"),
        ("9" * 41, "→" + "9" * 41 + "←"),
        ("9" * 12, "→" + "9" * 12 + "←"),
        ("0x10", "0→x←10"),
    ],
)
def test_what_is_not_understood_is_refused_with_the_place_marked(text: str, marked: str):
    with pytest.raises(UnreadableQuantity) as caught:
        parse_length(text)
    assert caught.value.marked == marked
    assert caught.value.right
    assert len(str(caught.value).splitlines()) == 1


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("92", 92.0),
        ("92.5°", 92.5),
        ("-12 deg", -12.0),
        ("12 degrees", 12.0),
        ("30'", 0.5),
        ("12° 30'", 12.5),
        ("12 deg 30 min", 12.5),
        ("12° 30' 36\"", 12.51),
        ('12° 36"', 12.01),
        ("-12° 30.6'", -12.51),
        ("0.5 rad", math.degrees(0.5)),
    ],
)
def test_angles_are_read(text: str, degrees: float):
    assert parse_angle(text) == pytest.approx(degrees, rel=1e-14)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "12 mm",
        "12.5° 30'",
        "12° 60'",
        "30' 12°",
        "12° 3 rad",
        "12° 30",
        "12°°",
        "90 full size",
        "1 rad 2 rad",
        "12,5°",
    ],
)
def test_angles_not_understood_are_refused(text: str):
    with pytest.raises(UnreadableQuantity):
        parse_angle(text)


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
        (0.0, {"unit": "ft"}, "0 ft"),
        (-0.01, {"unit": "ft"}, "0 ft"),
        (50.8, {"unit": "ft"}, "2 in"),
        (340.915625, {"unit": "in", "fraction": 64}, "13 27/64 in"),
        (340.9, {"unit": "in", "fraction": 8}, "13 3/8 in"),
        (-3.175, {"unit": "in", "fraction": 64}, "−1/8 in"),
        (0.1, {"unit": "in", "fraction": 64}, "0 in"),
        (-12.5, {"fixed": True}, "−12.50 mm"),
        (-0.001, {"fixed": True}, "0.00 mm"),
        (3.0, {"fixed": True, "decimals": 0}, "3 mm"),
        (363.22, {"unit": "ft", "fixed": True}, "1 ft 2.30 in"),
        (304.8, {"unit": "ft", "fixed": True}, "1 ft 0.00 in"),
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


@given(st.floats(-720.0, 720.0))
def test_an_angle_shown_is_read_back(degrees: float):
    assert parse_angle(format_angle(degrees, decimals=6)) == pytest.approx(degrees, abs=5.1e-7)


@given(st.text(max_size=12) | st.text("0123456789./' \"-+,mincft°", max_size=12))
def test_any_text_is_a_length_or_refused_in_one_line(text: str):
    for parse in (parse_length, parse_angle):
        try:
            assert math.isfinite(parse(text))
        except UnreadableQuantity as error:
            assert str(error).isprintable()  # noqa: PT017, most texts are refused and some are not
