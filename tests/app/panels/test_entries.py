"""What can be typed and picked of each thing: read, written, refused, and one edit each."""

from __future__ import annotations

import math
import re

import pytest
from msgspec.structs import replace
from PySide6.QtWidgets import QLabel

from core.document.project import Circle, Drive, Wall, Workshop
from tests.app.panels.entered import enter, everything, shown, thing


def test_what_a_file_would_say_in_millimetres_is_told_in_the_projects_unit(qtbot):
    form, _ = shown(qtbot, "slot", everything("in"))
    assert "the pin is drawn 0.9843 in off the slot's line" in enter(form, "at", "5 mm, 27 mm")
    form, _ = shown(qtbot, "leg", everything("in"))
    assert enter(form, "depth", "5 to 1").endswith("the slab has no thickness; near first, and far greater than it")
    form, _ = shown(qtbot, "leg-pivot", everything("in"))
    assert "−5 in cannot be; 0 to 0.9843 in are needed" in enter(form, "play", "-5")
    form, _ = shown(qtbot, "gear")
    assert "“-3” is not taken: −3 cannot be" in enter(form, "resolution", "-3")


@pytest.mark.parametrize("text", ["12", "1:12", "1 : 12", "1/12"])
def test_a_scale_is_typed_as_it_is_said(qtbot, text):
    form, session = shown(qtbot, None)
    form.fields["scale"].enter("7")
    form.fields["scale"].enter(text)
    assert session.project.aircraft.scale == 12.0


def test_how_thick_walls_are_is_typed_and_sheets_are_offered(qtbot):
    bare = everything()
    wall = Wall(points=((0.0, 0.0), (20.0, 0.0)), thickness=1.0)
    airframe = replace(bare.bodies[0], shapes=(wall, Circle(centre=(0.0, 0.0), radius=2.0), wall))
    form, session = shown(qtbot, airframe.id, replace(bare, bodies=(airframe, *bare.bodies[1:])))
    lines = [one.text() for one in form.fields["thickness"].offers.menu_now().actions()]
    assert "0.8 mm  –  stock sheet, unconfirmed" in lines
    assert enter(form, "thickness", "1/32 in") == ""
    first, middle, last = thing(session, airframe.id).shapes
    assert first.thickness == last.thickness == pytest.approx(25.4 / 32.0)
    assert middle == airframe.shapes[1]
    assert session.undo_label.startswith("Change wall thickness")
    assert "greater than 0" in enter(form, "thickness", "0")
    session.undo()
    assert thing(session, airframe.id) == airframe
    assert "thickness" not in shown(qtbot, "leg")[0].fields


def test_inches_are_shown_in_fractions_where_they_are_some(qtbot):
    form, session = shown(qtbot, None, everything("in"))
    pick = form.picks["parts"]
    assert pick.currentText() == "decimals"
    pick.activated.emit(4)
    assert session.project.inch_fraction == 64
    assert session.undo_label == "Change fractions"
    field = form.fields["least_clearance"]
    field.enter("0.421875")
    assert field.line.text() == "27/64"
    assert session.project.least_clearance == pytest.approx(27 / 64 * 25.4, rel=1e-12)
    field.enter("0.42")
    assert field.line.text() == "0.42", "it is no 64th, and is not made one"
    assert "parts" not in shown(qtbot, None, everything("cm"))[0].picks


@pytest.mark.parametrize(
    ("of", "key", "typed", "attribute", "value"),
    [
        ("leg", "name", "Main  leg", "name", "Main leg"),
        ("leg", "depth", "-4 to 6.5", "depth", (-4.0, 6.5)),
        ("leg", "depth", "", "depth", None),
        ("leg", "mass", "51.5", "mass", 51.5),
        ("leg", "centre_of_mass", "1, -32", "centre_of_mass", (1.0, -32.0)),
        ("leg-pivot", "at", "0.5, 1", "at", (0.5, 1.0)),
        ("leg-pivot", "pin", "1/8 in", "pin", 3.175),
        ("leg-pivot", "pin", "", "pin", None),
        ("leg-pivot", "limits", "0 to 95°", "limits", (0.0, 95.0)),
        ("leg-pivot", "limits", "", "limits", None),
        ("rod", "length", "6.5", "length", 6.5),
        ("rod", "end 2", "6, 8", "ends", ((0.0, 0.0), (6.0, 8.0))),
        ("rod", "depth", "0 to 2", "depth", (0.0, 2.0)),
        ("jack", "closed", "6.8", "closed", 6.8),
        ("jack", "stroke", "54 mm full size", "stroke", 4.5),
        ("jack", "barrel", "5", "barrel", 5.0),
        ("slide", "limits", "-1 to 8", "limits", (-1.0, 8.0)),
        ("slot", "end", "14, 2", "end", (14.0, 2.0)),
        ("latch", "reach", "0.4", "reach", 0.4),
        ("gearing", "ratio", "-2", "ratio", -2.0),
        ("gearing", "backlash", "0.8°", "backlash", 0.8),
        ("gearing", "backlash", "48' ", "backlash", 0.8),
        ("gearing", "backlash", "0.2 mm at 1.5 cm", "backlash", pytest.approx(math.degrees(0.2 / 15.0))),
        ("gearing", "backlash", "1/64 in at 1 in", "backlash", pytest.approx(math.degrees(1.0 / 64.0))),
        ("gear", "resolution", "0.6", "resolution", 0.6),
        ("gear", "hysteresis", "0", "hysteresis", 0.0),
        ("leg-pivot", "play", "0.05", "play", 0.05),
        ("slot", "play", "0.1 mm", "play", 0.1),
        ("rod", "play", "0.04", "play", 0.04),
        ("jack", "play", "0", "play", 0.0),
        ("gear", "name", "Leg", "name", "Leg"),
    ],
)
def test_a_typed_value_is_one_edit(qtbot, of, key, typed, attribute, value):
    form, session = shown(qtbot, of)
    before = session.project
    assert enter(form, key, typed) == ""
    if typed != "54 mm full size":  # what it is already changes nothing
        assert getattr(thing(session, of), attribute) == value
        session.undo()
    assert session.project == before


@pytest.mark.parametrize("of", ["leg", "rod", "jack"])
def test_how_a_thing_is_made_is_picked_or_left_to_the_workshop(qtbot, of):
    form, session = shown(qtbot, of, replace(everything(), workshop=Workshop(made="resin", tolerances={"resin": 0.15})))
    pick = form.picks["made"]
    assert pick.currentText() == "the workshop's"
    assert any("workshop's: resin" in one.text() for one in form.findChildren(QLabel))
    pick.activated.emit(pick.findText("resin ± 0.15 mm"))
    assert thing(session, of).made == "resin"
    pick.activated.emit(0)
    assert thing(session, of).made is None


@pytest.mark.parametrize(
    ("of", "key", "empty", "offered"),
    [
        ("gearing", "backlash", "0.3", "0.29°, new gears of 20 teeth  –  a maker of gears: 3 to 6 % of the module"),
        ("gear", "resolution", "0.45", "0.45°, usual  –  4 to 5 µs of dead band in data sheets"),
        ("gear", "hysteresis", "0.5", "0.5°, usual  –  common practice, no source"),
        ("gear", "hysteresis", "0.5", "0°, it runs against a stop that is set  –  common practice, no source"),
        ("lift", "resolution", "0.1", "0.1 mm, usual  –  common practice of home workshops, unconfirmed"),
    ],
)
def test_how_exactly_it_is_driven_is_offered_with_its_source(qtbot, of, key, empty, offered):
    lift = Drive(id="lift", on="jack")
    form, session = shown(qtbot, of, replace(everything(), drives=(*everything().drives, lift)))
    field = form.fields[key]
    assert field.line.placeholderText() == empty
    action = next(one for one in field.offers.menu_now().actions() if one.text().startswith(offered))
    action.trigger()
    assert getattr(thing(session, of), key) == pytest.approx(float(re.split("°| mm", offered)[0]))
    session.undo()
    assert getattr(thing(session, of), key) is None


@pytest.mark.parametrize(
    ("of", "key", "typed", "reason"),
    [
        ("leg", "depth", "5 to -5", "no thickness"),
        ("leg", "depth", "5", "two values are wanted"),
        ("leg", "mass", "-3", "0 or more"),
        ("leg-pivot", "at", "3", "x and y are wanted"),
        ("leg-pivot", "limits", "90 to 0", "the wrong way round"),
        ("leg-pivot", "pin", "0", "greater than 0"),
        ("leg-pivot", "play", "-0.1", "0 to 25 mm"),
        ("leg-pivot", "play", "5 in", "127 mm cannot be; 0 to 25 mm are needed"),
        ("leg-pivot", "pin", "0.00001", "finer than can be told"),
        ("leg-pivot", "pin", "2000 m", "too large; a size that can be built"),
        ("leg", "mass", "2000000", "too large; less than a million"),
        ("jack", "closed", "", "a length is needed"),
        ("slot", "at", "5, 9", "off the slot's line"),
        ("gearing", "ratio", "0", "turns nothing"),
        ("gearing", "backlash", "-1", "0 to 45 degrees"),
        ("gearing", "backlash", "60", "0 to 45 degrees"),
        ("gearing", "backlash", "0.2 mm at 0", "such as 0.2 mm at 15 mm"),
        ("gearing", "backlash", "0.2 at 3 at 4", "such as 0.2 mm at 15 mm"),
        ("gearing", "backlash", "0.2 mm", "such as 0.2 mm at 15 mm"),
        ("gear", "resolution", "-0.1", "0 or more"),
        ("gear", "hysteresis", "lots", "a unit of angle"),
        (None, "name", " ", "needs a name"),
        (None, "scale", "0", "no model is built so"),
        (None, "scale", "0.00001", "no model is built so"),
    ],
)
def test_what_has_no_sense_is_refused_beside_the_field(qtbot, of, key, typed, reason):
    form, session = shown(qtbot, of)
    before = session.project
    assert reason in enter(form, key, typed)
    assert session.project is before
    assert session.undo_label is None


def test_roles_views_and_units_are_picked(qtbot):
    form, session = shown(qtbot, "leg")
    form.picks["role"].activated.emit(form.picks["role"].findText("link"))
    assert thing(session, "leg").role == "link"
    form.picks["fixed"].setCurrentIndex(1)
    form.picks["fixed"].activated.emit(1)
    assert not thing(session, "leg").fixed, "its pivot would join two fixed bodies"
    assert form.picks["fixed"].currentText() == "can move", "what is refused is shown as it was"
    assert "view" not in form.picks, "there is one view"
    form, session = shown(qtbot, None)
    form.picks["unit"].activated.emit(form.picks["unit"].findText("in"))
    assert session.project.length_unit == "in"
    assert form.fields["least_clearance"].line.text() == "0.0197"


def test_a_drive_starts_where_it_is_told(qtbot):
    form, session = shown(qtbot, "gear")
    assert enter(form, "start", "2.5") == ""
    assert session.project.sequences[0].start["gear"] == 2.5
    assert enter(form, "start", "") == ""
    assert "gear" not in session.project.sequences[0].start
    form, session = shown(qtbot, "gear")
    assert form.fields["start"].line.placeholderText() == "0 as drawn"


def test_a_second_value_starts_from_the_first(qtbot):
    form, session = shown(qtbot, "leg")
    enter(form, "name", "Main leg")
    enter(form, "mass", "50")
    assert (thing(session, "leg").name, thing(session, "leg").mass) == ("Main leg", 50.0)
