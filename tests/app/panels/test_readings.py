"""Typed text as fields read it: seconds, lengths and points, and why what is none of these is refused."""

import pytest
from msgspec.structs import replace

from app.panels.readings import (
    read_angle,
    read_duration,
    read_length,
    read_mass,
    read_point,
    read_seconds,
    read_share,
    read_span,
    write_angle,
    write_length,
    write_number,
)
from app.widgets.value_field import Refused
from tests.app.small_aircraft import small_aircraft


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("1.5", 1.5),
        (" 2 s", 2.0),
        ("300 ms", 0.3),
        ("1½ sec.", 1.5),
        ("-0.25 sec", -0.25),
        ("−1", -1.0),
        ("0,1", 0.1),
        (".5", 0.5),
    ],
)
def test_seconds_as_people_type_them(text: str, seconds: float):
    assert read_seconds(text) == pytest.approx(seconds)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("soon", "'soon' is not understood here; a number alone, such as 1.5"),
        ("", "nothing stands here; a number is needed"),
        ("1,500", "a comma may part thousands or decimals; 1500 or 1.500"),
        ("nan", "'nan' is not understood here"),
        ("1e9", "'e' is not a unit; a number alone"),
        ("9999999999", "this is too large"),
        ("9999", "it is more than an hour"),
        ("1 2", "numbers follow each other without units; a number alone, such as 1.5"),
    ],
)
def test_what_is_not_seconds_is_refused_with_its_reason(text: str, reason: str):
    with pytest.raises(ValueError, match=reason):
        read_seconds(text)


def test_a_step_takes_no_less_than_no_time():
    assert read_duration("0") == 0.0
    with pytest.raises(ValueError, match="less than no time"):
        read_duration("-1")


def test_lengths_are_in_the_projects_unit_and_scale():
    project = small_aircraft()
    assert read_length(project)("3.2") == pytest.approx(3.2)
    assert read_length(project)("318 mm full size") == pytest.approx(26.5)
    inches = replace(project, length_unit="in")
    assert read_length(inches)("1/8") == pytest.approx(3.175)
    assert write_length(inches)(3.175) == "0.125"
    with pytest.raises(ValueError, match="not a unit of length"):
        read_length(project)("3 furlongs")


@pytest.mark.parametrize("unit", ["mm", "cm", "in", "ft"])
def test_a_length_that_is_shown_can_be_read_back(unit: str):
    project = replace(small_aircraft(), length_unit=unit)
    shown = write_length(project)(317.5)
    assert read_length(project)(shown) == pytest.approx(317.5, abs=0.02)


def test_the_place_that_is_not_understood_is_marked():
    with pytest.raises(Refused) as caught:
        read_length(small_aircraft())("3 furlongs")
    assert caught.value.marked == "3 →furlongs←"


@pytest.mark.parametrize(
    "text", ["12.5, -3", "12.5,-3", "12,5; -3", "12.5;-3", "12,5, -3", " 12.5 mm,  -3 mm ", "(12.5, -3)"]
)
def test_points_as_people_type_them(text: str):
    assert read_point(small_aircraft())(text) == (12.5, -3.0)


@pytest.mark.parametrize("text", ["12,5", "12", "1, 2, 3", "1; 2; 3", ";3", "1,"])
def test_what_is_no_point_is_refused(text: str):
    with pytest.raises(ValueError, match=r"x and y|stands"):
        read_point(small_aircraft())(text)


def test_angles():
    assert read_angle("92°") == 92.0
    assert write_angle(-0.0001) == "0"
    with pytest.raises(ValueError, match="angle"):
        read_angle("up")


@pytest.mark.parametrize(
    ("value", "text"), [(1.5, "1.5"), (2.0, "2"), (-0.0001, "0"), (0.1234, "0.123"), (100.0, "100")]
)
def test_numbers_show_what_says_something(value: float, text: str):
    assert write_number(value) == text


@pytest.mark.parametrize("text", ["-5 to 5", "± 5", "±5 mm", "+/- 5", "-5 … 5"])
def test_spans_as_people_type_them(text: str):
    assert read_span(read_length(small_aircraft()))(text) == (-5.0, 5.0)


@pytest.mark.parametrize("text", ["5", "± ", "5 ± 1", "1 to 2 to 3"])
def test_what_is_no_span_is_refused(text: str):
    with pytest.raises(ValueError, match=r"two values|stands"):
        read_span(read_length(small_aircraft()))(text)


@pytest.mark.parametrize("text", ["50", "50 %", "50%", "50 per cent"])
def test_shares(text: str):
    assert read_share(text) == 50.0


def test_a_mass_says_its_unit():
    assert read_mass("62 g") == 62.0
    with pytest.raises(Refused) as caught:
        read_mass("62 mm")
    assert caught.value.marked == "62 →mm←"
