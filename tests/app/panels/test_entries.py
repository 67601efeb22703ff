"""What can be typed and picked of each thing: read, written, refused, and one edit each."""

from __future__ import annotations

import math
import re

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel

from app.panels.entries import entries_of
from app.panels.entry_form import EntryForm
from app.session import Session
from core.document.project import Circle, Drive, Gearing, Jack, Latch, Project, Rod, Slide, Slot, Wall, Workshop
from core.units import parse_length
from tests.app.small_aircraft import small_aircraft

MADE = (
    Rod(id="rod", bodies=("leg", "door"), ends=((0.0, 0.0), (3.0, 4.0)), width=2.0),
    Jack(id="jack", bodies=("leg", "door"), ends=((0.0, 0.0), (9.0, 0.0)), closed=7.0, stroke=4.5),
    Slide(id="slide", bodies=("airframe", "leg"), at=(0.0, -40.0), along=(0.0, -1.0), limits=(0.0, 7.5)),
    Slot(id="slot", bodies=("leg", "door"), at=(5.0, 2.0), start=(3.0, 2.0), end=(12.0, 2.0)),
    Latch(id="latch", bodies=("leg", "door"), ends=((0.0, 0.0), (1.0, 0.0)), reach=0.8),
    Gearing(id="gearing", pivots=("leg-pivot", "hinge"), ratio=-1.0),
)


def everything(unit: str = "mm") -> Project:
    project = small_aircraft()
    return replace(project, connections=(*project.connections, *MADE), length_unit=unit)


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


def shown(qtbot, thing: str | None, project: Project | None = None) -> tuple[EntryForm, Session]:
    session = Session()
    session.open(project or everything(), None)
    form = EntryForm(session)
    qtbot.addWidget(form)

    def show() -> None:
        form.show_entries(thing or "", entries_of(session.project, session.sequence, thing))

    session.project_changed.connect(show)
    show()
    form.show()
    return form, session


def enter(form: EntryForm, key: str, text: str) -> str:
    """Type a value as a user does; gives back the reason when it was refused."""
    field = form.fields[key]
    field.line.setText(text)
    field.line.setModified(True)
    field.line.returnPressed.emit()
    return field.reason


def thing(session: Session, thing_id: str):
    every = (*session.project.bodies, *session.project.connections, *session.project.drives)
    return next(one for one in every if one.id == thing_id)


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


def test_a_direction_is_typed_as_an_angle(qtbot):
    form, session = shown(qtbot, "slide")
    assert form.fields["along"].line.text().replace("−", "-") == "-90"
    assert enter(form, "along", "30") == ""
    assert math.atan2(*reversed(thing(session, "slide").along)) == pytest.approx(math.radians(30.0))


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
