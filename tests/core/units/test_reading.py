"""Lengths and angles at the door: read as meant, shown so that they are read back, and refused where not understood."""

from __future__ import annotations

import math
import unicodedata
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import UnreadableQuantity
from core.units import LENGTH_UNITS, format_length, parse_angle, parse_length, parse_number, parse_scale
from core.units.tokens import VULGAR


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
        ("318 model size", 318.0),
        ("3,2", 3.2),
        ("0,125 in", 3.175),
        ("3,1416", 3.1416),
        ("1234,567 mm", 1234.567),
        (",5", 0.5),
        ("12.5 + 3/8 in", 22.025),
        ("1 1/2 in + 1 1/2 in", 76.2),
        ("3 in - 1/2 in", 63.5),
        ("3 \N{MINUS SIGN} 1 mm", 2.0),
        ("20mm-3mm", 17.0),
        ("-3 + 5", 2.0),
        ("1 + 2 + 3 cm", 33.0),
        ("1 ft 2 in + 1 ft 10 in", 914.4),
        ("1 ft + 2 in", 355.6),
        ("100 mm full size + 218 mm full size", 26.5),
        ("1'-2 1/2\"", 368.3),
        ("1'2 1/2\"", 368.3),
        ("1’ 2 1⁄2”", 368.3),
        ("½ in", 12.7),
        ('⅞"', 22.225),
        ("1½ in", 38.1),
        ("1 ½", 1.5),
        ("1 ½ in.", 38.1),
        ("⅟8 in", 3.175),
        ("1'2½\"", 368.3),
        ("1 ft. 2 ½ in.", 368.3),
        ("-⅜ in", -9.525),
        ("12½ + ⅜ in", 22.025),
        ("2½ in full size", 63.5 / 12),
        ("3 mm.", 3.0),
        ("5 thou", 0.127),
        ("1.5 Thou", 0.0381),
        ("40 µm", 0.04),
        ("1 in - 5 thou", 25.273),
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
        ("1,000 mm", "→1,000← mm"),
        ("12,500", "→12,500←"),
        ("1,234.5", "→1,234.5←"),
        ("1.234,5", "→1.234,5←"),
        ("1,000,000", "→1,000,000←"),
        ("1'234", "→1'234←"),
        ("3,", "3→,←"),
        ("1_000", "1→_←000"),
        ("1 000 mm", "→1 000 mm←"),
        ("3.", "3→.←"),
        ("1.2.3", "→1.2.3←"),
        ("--3", "-→-←3"),
        ("3 - -1 mm", "3 - →-←1 mm"),
        ("3-1/2 in", "→3-1/2 in←"),
        ("3 - 1/2", "→3 - 1/2←"),
        ("3 + 1/2 in", "→3 + 1/2 in←"),
        ("1' - 2\"", "→1' - 2\"←"),
        ("1 ft - 2 in", "→1 ft - 2 in←"),
        ("10 mm + 352 mm full size", "→10 mm + 352 mm full size←"),
        ("352 mm full size + 10 mm", "→352 mm full size + 10 mm←"),
        ("352 mm ± 1 mm", "352 mm →± 1 mm←"),
        ("25 +0.2/-0.1", "25 →+0.2/-0.1←"),
        ("3 +", "→3 +←"),
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
        ("3 mm full size full size", "3 mm full size →full← size"),
        ("3 °", "3 →°←"),
        ("\N{ARABIC-INDIC DIGIT THREE} mm", "→\N{ARABIC-INDIC DIGIT THREE}← mm"),
        ("1/2½ in", "→1/2½← in"),
        ("1.5½ in", "→1.5½← in"),
        ("½½ in", "→½½← in"),
        ("½3 in", "→½3← in"),
        ("1 ½ ½", "→1 ½ ½←"),
        ("3-½ in", "→3-½ in←"),
        ("½ furlongs.", "½ →furlongs.←"),
        ("⅟ in", "→⅟← in"),
        ("5 mil", "5 →mil←"),
        ("3 in..", "3 in.→.←"),
        ("3 in.5", "→3 in.5←"),
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


@pytest.mark.parametrize("fraction", VULGAR)
def test_every_fraction_of_one_letter_is_what_unicode_says_it_is(fraction: str):
    """Numeric values of the Unicode Character Database, as Python's own copy of it has them."""
    assert parse_length(f"{fraction} mm") == pytest.approx(unicodedata.numeric(fraction), rel=1e-15)
    assert parse_length(f"3{fraction} mm") == pytest.approx(3.0 + unicodedata.numeric(fraction), rel=1e-15)


def test_there_are_no_others():
    every = {chr(code) for code in range(0x110000) if unicodedata.decomposition(chr(code)).startswith("<fraction>")}
    assert every - {"\N{FRACTION NUMERATOR ONE}"} == set(VULGAR)


def test_a_thou_is_a_thousandth_of_an_inch():
    assert parse_length("1000 thou") == parse_length("1 in") == 25.4


def test_a_sum_of_whole_and_fraction_is_no_riddle_where_the_units_agree():
    """3 + 1/2 in is 3 1/2 in where a number alone is in inches; elsewhere 3 mm may be meant."""
    assert parse_length("3 + 1/2 in", unit="in") == pytest.approx(3.5 * 25.4)
    assert parse_length("3 + 1/2") == 3.5


def test_full_size_is_refused_where_there_is_no_scale():
    with pytest.raises(UnreadableQuantity, match="no scale"):
        parse_length("352 mm full size")
    assert parse_length("352 mm model size") == 352.0


def test_the_factors_are_exact():
    """NIST Special Publication 811, appendix B.8: 1 inch is 0.0254 m and 1 foot 0.3048 m exactly (factors seen in a
    public transcription of the table)."""
    assert Fraction(str(LENGTH_UNITS["in"])) == Fraction("0.0254") * 1000
    assert Fraction(str(LENGTH_UNITS["ft"])) == Fraction("0.3048") * 1000
    assert parse_length("1/3 in") == float(Fraction(254, 30))
    assert parse_length("0.1 + 0.2") == 0.3
    assert parse_length("1 ft 1.85 in", scale=12.0) == float(Fraction("13.85") * Fraction("25.4"))


@pytest.mark.parametrize(
    ("text", "number"), [("4.8", 4.8), ("4,8", 4.8), ("-1/72", -1 / 72), ("1 1/2", 1.5), ("1.5 + 2", 3.5)]
)
def test_numbers_without_units(text: str, number: float):
    assert parse_number(text) == pytest.approx(number, rel=1e-15)


@pytest.mark.parametrize("text", ["", "3 mm", "1e3", "nan", "90°", "12 full size", "1,000"])
def test_what_is_no_number_is_refused(text: str):
    with pytest.raises(UnreadableQuantity):
        parse_number(text)


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("92", 92.0),
        ("92,5", 92.5),
        ("90° - 12° 30'", 77.5),
        ("90 + 1/2", 90.5),
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
        ("12º 30’", 12.5),
        ("12½°", 12.5),
        ("12 deg. 30 min.", 12.5),
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
        "12,500°",
        "90° - 1/2 rad 3",
        "101° ± 1°",
    ],
)
def test_angles_not_understood_are_refused(text: str):
    with pytest.raises(UnreadableQuantity):
        parse_angle(text)


@given(st.text(max_size=12) | st.text("0123456789./' \"-+,mincft°±", max_size=12))
def test_any_text_is_a_length_or_refused_in_one_line(text: str):
    for parse in (parse_length, parse_angle, parse_number):
        try:
            assert math.isfinite(parse(text))
        except UnreadableQuantity as error:
            assert str(error).isprintable()  # noqa: PT017, most texts are refused and some are not


@pytest.mark.parametrize(
    ("text", "scale"),
    [("12", 12.0), ("1:12", 12.0), (" 1 : 7,5", 7.5), ("1/72", 72.0), ("1 1/2", 1.5), ("½", 2.0), ("1:7½", 7.5)],
)
def test_scales_are_read(text: str, scale: float):
    assert parse_scale(text) == scale


@pytest.mark.parametrize("text", ["", "1:", "1/", "2:1", "12:", "1:1:12", "twelve"])
def test_what_is_no_scale_is_refused(text: str):
    with pytest.raises(UnreadableQuantity):
        parse_scale(text)
