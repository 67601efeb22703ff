"""Forces and torques as builders and data sheets write them."""

from __future__ import annotations

import pytest

from core.errors import UnreadableQuantity
from core.units.loads import format_force, format_torque, parse_force, parse_mass, parse_torque


@pytest.mark.parametrize(
    ("text", "newtons"),
    [
        ("4.5", 4.5),
        ("4,5 N", 4.5),
        ("1 kg", 9.80665),  # standard gravity, 3rd CGPM 1901
        ("100 gf", 0.980665),
        ("1 lbf", 4.4482216152605),  # NIST Special Publication 811, appendix B.8
        ("16 oz", 4.4482216152605),
        ("½ lb.", 2.22411080763025),
    ],
)
def test_forces(text, newtons):
    assert parse_force(text) == pytest.approx(newtons, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("62", 62.0),
        ("62 g", 62.0),
        ("1.2 kg", 1200.0),
        ("0", 0.0),
        ("2½ oz", 2.5 * 28.349523125),  # NIST Special Publication 811, appendix B.8: 2.834952 E-02 kg
        ("1 lb.", 453.59237),
    ],
)
def test_masses(text, grams):
    assert parse_mass(text) == pytest.approx(grams, rel=1e-12)


@pytest.mark.parametrize(("text", "why"), [("-5", "0 or more"), ("62 N", "is no unit of it"), ("2000 kg", "too large")])
def test_what_is_no_mass_is_refused(text, why):
    with pytest.raises(UnreadableQuantity, match=why):
        parse_mass(text)


@pytest.mark.parametrize(
    ("text", "newton_millimetres"),
    [
        ("320", 320.0),
        ("32 N cm", 320.0),
        ("0.32 N·m", 320.0),
        ("0.32Nm", 320.0),
        ("3.2 kg-cm", 313.8128),
        ("3.2 kgf·cm", 313.8128),
        ("1 ozf in", 7.061552),  # NIST Special Publication 811, appendix B.8: 7.061552 E-03 N m
        ("1 lbf in", 112.9848),  # the same: 1.129848 E-01 N m
        ("1 in-lb", 112.9848),
        ("1 in.-lb.", 112.9848),
    ],
)
def test_torques(text, newton_millimetres):
    assert parse_torque(text) == pytest.approx(newton_millimetres, rel=1e-6)


@pytest.mark.parametrize("text", ["", "N", "3 mm", "-2 N", "0", "two kg", "1e9 N", "3.2 kg cm s"])
def test_what_is_no_force_is_refused_with_its_reason(text):
    with pytest.raises(UnreadableQuantity) as refused:
        parse_force(text)
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize("text", ["", "3 kg", "3 cm", "kg cm", "-1 N mm"])
def test_what_is_no_torque_is_refused(text):
    with pytest.raises(UnreadableQuantity):
        parse_torque(text)


def test_what_is_shown_is_read_back():
    assert parse_force(format_force(4.25)) == 4.25
    assert parse_torque(format_torque(313.8)) == 313.8


def test_the_place_of_what_is_refused_is_marked_in_the_whole():
    with pytest.raises(UnreadableQuantity) as caught:
        parse_force(" 1,000 lb")
    assert caught.value.marked == " →1,000← lb"
