"""Tyre sizes as they are printed, and the real sizes behind the names."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import UnreadableQuantity
from core.sizes.tyres import TYPE_VII_NAMES, Tyre, parse_tyre

INCH = 25.4


@pytest.mark.parametrize(
    ("text", "outer", "width", "rim"),
    [
        ("40x14", 40 * INCH, 14 * INCH, None),
        ("40 X 14", 40 * INCH, 14 * INCH, None),
        ("40×14", 40 * INCH, 14 * INCH, None),
        ("15x6.00-5", 15 * INCH, 6 * INCH, 5 * INCH),
        ("17,5x6,25-6", 17.5 * INCH, 6.25 * INCH, 6 * INCH),
        ("H49x19.0-22", 49 * INCH, 19 * INCH, 22 * INCH),
        ("46x17.0R20", 46 * INCH, 17 * INCH, 20 * INCH),
        ("380x150-5", 380.0, 150.0, 5 * INCH),
        ("1050x395R16", 1050.0, 395.0, 16 * INCH),
        ("6.00-6", None, 6 * INCH, 6 * INCH),
        ("27 in", 27 * INCH, None, None),
        ('27"', 27 * INCH, None, None),
    ],
)
def test_sizes_as_printed(text: str, outer: float | None, width: float | None, rim: float | None):
    """Which number is which: a tyre maker's page on sizes (27 in Type I, 6.00-6 Type III, 40x14 Type VII, 380x150-5
    metric); the forms with three numbers and letters from memory."""
    tyre = parse_tyre(text)
    assert (tyre.outer, tyre.width, tyre.rim) == (outer, width, rim)


def test_a_metric_name_and_its_inch_name_are_one_tyre():
    """380x150-5 equals 15x6.00-5 (the same page), whose numbers are rounded ones."""
    metric, inches = parse_tyre("380x150-5"), parse_tyre("15x6.00-5")
    assert metric.outer == pytest.approx(inches.outer, abs=1.0)
    assert metric.width == pytest.approx(inches.width, abs=3.0)
    assert metric.rim == inches.rim


NONE = ("", "27", "tyre", "40x", "x14", "14x40", "40x14-45", "40x14x6", "0x4", "6.00--6", "nan")


@pytest.mark.parametrize("text", NONE)
def test_what_is_no_tyre_size_is_refused(text: str):
    with pytest.raises(UnreadableQuantity) as caught:
        parse_tyre(text)
    assert "such as" in caught.value.right


# A tyre maker's Type VII data-book table, transcribed in a public repository (seen): inflated, inches.
TABLE = {
    "16x4.4": (15.5, 16.0, 4.15, 4.45),
    "18x5.5": (17.3, 17.9, 5.35, 5.7),
    "24x7.7": (23.3, 24.15, 7.2, 7.65),
    "26x6.6": (25.05, 25.75, 6.25, 6.65),
    "32x8.8": (30.05, 31.0, 8.35, 8.9),
    "39x13": (37.3, 38.25, 12.25, 13.0),
    "40x14": (38.85, 39.8, 13.25, 14.0),
    "46x16": (44.3, 45.25, 15.05, 16.0),
    "49x17": (47.7, 48.75, 16.4, 17.25),
}


@pytest.mark.parametrize(("name", "row"), TABLE.items())
def test_a_tyre_is_not_as_large_as_its_name(name: str, row: tuple[float, ...]):
    tyre = parse_tyre(name)
    assert tyre.limits is not None
    assert [*tyre.limits.outer, *tyre.limits.width] == pytest.approx([INCH * one for one in row])
    assert tyre.largest == pytest.approx(row[1] * INCH)
    assert tyre.widest == pytest.approx(row[3] * INCH)
    assert "Type VII" in tyre.limits.source


def test_the_table_makes_sense_as_a_whole():
    """A row whose greatest diameter is beyond its name's, as 28.7 of a 26x6.6 would be, is a slip of the pen."""
    assert set(TYPE_VII_NAMES) == set(TABLE)
    for name in TYPE_VII_NAMES:
        tyre = parse_tyre(name)
        assert tyre.limits is not None
        assert 0.93 * tyre.outer < tyre.limits.outer[0] < tyre.limits.outer[1] <= 1.01 * tyre.outer
        assert tyre.limits.width[0] < tyre.limits.width[1] <= 1.04 * tyre.width


def test_a_tyre_that_no_table_has_is_taken_by_its_name():
    tyre = parse_tyre("27 in")
    assert tyre.limits is None
    assert tyre.largest == 27 * INCH
    assert tyre.largest / 5.0 == pytest.approx(137.16), "27 in at 1:5"
    assert parse_tyre("6.00-6").largest is None


@given(st.text('0123456789.,xX×-RHin "', max_size=14))
def test_any_text_is_a_tyre_or_refused(text: str):
    try:
        tyre = parse_tyre(text)
    except UnreadableQuantity:
        return
    assert isinstance(tyre, Tyre)
    assert (tyre.outer or tyre.width or 0.0) > 0.0
