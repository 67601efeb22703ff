"""What can be typed and picked of connections: sizes offered and refused, play, and what a form shows of them."""

from __future__ import annotations

import math
import re

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from core.document.project import Workshop
from core.units import parse_length
from tests.app.panels.entered import enter, everything, shown, thing


@pytest.mark.parametrize(
    ("thing", "key", "offered"),
    [("jack", "bore", "10 mm  –  ISO 6432"), ("jack", "rod", "4 mm, for a bore of 8 mm"),
     ("leg-pivot", "pin", "3 mm, H7/g6 slides: 2 to 18 µm (ISO 286-2)  –  ISO 2338"), ("rod", "width", "1/8 in")],
)  # fmt: skip
def test_standard_sizes_are_offered_with_their_source_and_typed_when_taken(qtbot, thing, key, offered):
    form, session = shown(qtbot, thing)
    menu = form.fields[key].offers.menu_now()
    action = next(one for one in menu.actions() if one.text().startswith(offered))
    action.trigger()
    one = next(one for one in session.project.connections if one.id == thing)
    assert getattr(one, key) == pytest.approx(parse_length(re.split(r",|  –", offered)[0]))
    assert form.fields["name"].offers is None


@pytest.mark.parametrize(("unit", "told"), [("in", "4 in"), ("ft", "4 in"), ("cm", "4 cm")])
def test_what_cannot_be_is_told_in_the_unit_that_it_is_typed_in(qtbot, unit, told):
    form, session = shown(qtbot, "jack", everything(unit))
    form.fields["closed"].enter("-4")
    assert f"\N{MINUS SIGN}{told} cannot be; a number greater than 0" in form.fields["closed"].reason
    assert session.project == everything(unit)


def test_a_jack_s_force_is_offered_by_its_bore(qtbot):
    bare = everything()
    jacks = tuple(replace(one, bore=10.0, rod=4.0) if one.id == "jack" else one for one in bare.connections)
    form, session = shown(qtbot, "jack", replace(bare, connections=jacks))
    menu = form.fields["force"].offers.menu_now()
    (action,) = (one for one in menu.actions() if "100 psi" in one.text())
    assert action.text() == (
        "54.15 N, bore of 10 mm at 100 psi; it pulls with 45.49 N  –  bore and pressure, without friction"
    )
    action.trigger()
    assert thing(session, "jack").force == pytest.approx(54.15)


def test_a_pin_has_less_play_than_it_is_thick(qtbot):
    form, session = shown(qtbot, "leg-pivot")
    for key, text in (("play", "3"), ("play", "20")):
        assert "its play is no less than its pin is thick; less play, or a thicker pin" in enter(form, key, text)
    assert enter(form, "play", "0.5") == ""
    assert "its play is no less than its pin is thick" in enter(form, "pin", "0.5")
    assert (thing(session, "leg-pivot").pin, thing(session, "leg-pivot").play) == (3.0, 0.5)


def test_play_left_empty_is_the_workshops(qtbot):
    form, session = shown(qtbot, "rod", replace(everything(), workshop=Workshop(play=0.08)))
    line = form.fields["play"].line
    assert (line.text(), line.placeholderText()) == ("", "0.08")
    assert enter(form, "play", "0.05") == ""
    assert enter(form, "play", "") == ""
    assert thing(session, "rod").play is None


def test_play_is_offered_as_the_fits_of_the_pin_leave_it(qtbot):
    form, _ = shown(qtbot, "leg-pivot")
    lines = [one.text() for one in form.fields["play"].offers.menu_now().actions()]
    assert lines[0] == "0.01 mm, H7/g6 slides, pin of 3 mm  –  ISO 286-2"


def test_a_direction_is_typed_as_an_angle(qtbot):
    form, session = shown(qtbot, "slide")
    assert form.fields["along"].line.text().replace("−", "-") == "-90"
    assert enter(form, "along", "30") == ""
    assert math.atan2(*reversed(thing(session, "slide").along)) == pytest.approx(math.radians(30.0))


def test_lengths_are_in_the_projects_unit(qtbot):
    form, session = shown(qtbot, "leg-pivot", everything("in"))
    assert form.fields["pin"].line.text() == "0.1181"
    enter(form, "pin", "0.125")
    assert thing(session, "leg-pivot").pin == 3.175


def test_a_number_or_what_stands_for_none_is_never_cut_short(qtbot):
    form, _ = shown(qtbot, "leg-pivot")
    form.resize(250, 400)
    form.show()
    qtbot.waitExposed(form)
    enter(form, "limits", "-112.125 to 105.875")
    limits = form.fields["limits"]
    qtbot.waitUntil(lambda: limits.width() >= limits.whole_width)
    assert limits.x() == 0
    assert form.fields["pin"].x() > 0
    form, _ = shown(qtbot, "rod")
    form.resize(200, 400)
    form.show()
    qtbot.waitExposed(form)
    length = form.fields["length"]
    assert (length.line.text(), length.line.placeholderText()) == ("", "5 as drawn")
    qtbot.waitUntil(lambda: length.x() == 0 and length.width() >= length.whole_width)


def test_a_stepped_value_is_shown_as_a_draft_and_pushed_when_it_is_entered(qtbot):
    form, session = shown(qtbot, "rod")
    field, before = form.fields["width"], session.project
    form.show()
    qtbot.waitExposed(form)
    field.line.setFocus()
    QTest.keyClick(field.line, Qt.Key.Key_Up)
    assert session.project is before
    assert next(one for one in session.shown.connections if one.id == "rod").width == 3.0
    QTest.keyClick(field.line, Qt.Key.Key_Escape)
    assert session.shown is before
    QTest.keyClick(field.line, Qt.Key.Key_Up)
    QTest.keyClick(field.line, Qt.Key.Key_Return)
    assert next(one for one in session.project.connections if one.id == "rod").width == 3.0
    assert not session.drafting
