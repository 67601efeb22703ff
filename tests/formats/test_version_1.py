"""A file that version 1 of the format saved opens for ever, with every word in its meaning."""

from __future__ import annotations

import json

from core.document.project import Circle, Gearing, Jack, Latch, Pivot, Polygon, Rod, Slide, Slot, Wall
from core.document.project_file import encode, read_project
from tests.formats.merrow import FILE, FOLDER, tree


def test_the_folder_and_its_file_are_the_same_project():
    assert read_project(FOLDER) == read_project(FILE)


def test_every_kind_is_there():
    project = read_project(FOLDER)
    assert {type(one) for one in project.connections} == {Pivot, Slide, Slot, Rod, Jack, Gearing, Latch}
    assert {type(shape) for body in project.bodies for shape in body.shapes} == {Polygon, Circle, Wall}


def test_what_the_file_says():
    project = read_project(FOLDER)
    assert (project.version, project.aircraft.name, project.aircraft.scale) == (1, "Merrow T.2", 12.0)
    assert (project.length_unit, project.least_clearance) == ("mm", 0.5)
    side = project.views[0]
    assert side.drawing is not None
    assert side.drawing.pixel_to_mm == ((0.08, 0.0, -41.0), (0.0, -0.08, 64.0), (0.0, 0.0, 1.0))
    assert side.drawing.known[1].mm == (100.0, 0.0)
    leg = project.bodies[1]
    assert (leg.view, leg.role, leg.fixed, leg.depth, leg.mass, leg.centre_of_mass) == (
        "side", "leg", False, (-5.0, 5.0), 48.0, (10.0, -30.0),
    )  # fmt: skip
    assert leg.shapes[0].holes == (((-1.0, -10.0), (1.0, -10.0), (1.0, -12.0), (-1.0, -12.0)),)


def test_connections_with_keys_that_are_words_of_the_language():
    slot = next(one for one in read_project(FOLDER).connections if isinstance(one, Slot))
    assert (slot.start, slot.end) == ((3.0, 2.0), (12.0, 2.0))
    jack = next(one for one in read_project(FOLDER).connections if isinstance(one, Jack))
    assert (jack.closed, jack.stroke, jack.barrel, jack.rod) == (31.0, 26.5, 6.0, 3.0)


def test_steps_and_moments():
    retract = read_project(FOLDER).sequences[0]
    opened, up, off = retract.steps
    assert (opened.after, opened.together_with, opened.delay, opened.duration) == (None, None, 0.0, 1.5)
    assert (up.after, up.delay, up.engage, up.release) == ("doors-open", 0.2, ("uplock",), ())
    assert (up.moves[0].drive, up.moves[0].to, up.moves[0].profile) == ("gear", 101.0, "eased")
    assert (off.together_with, off.moves[0].profile) == ("doors-open", "steady")
    stowed, half = read_project(FOLDER).targets
    assert (stowed.at.after, stowed.at.at, half.at.at, half.within) == ("leg-up", None, 3.5, 0.5)


def test_what_is_left_out_has_the_meaning_it_had():
    """Defaults belong to the format: changing one would change every saved file."""
    project = read_project(FOLDER)
    hook = next(body for body in project.bodies if body.id == "hook")
    assert (hook.fixed, hook.depth, hook.mass, hook.shapes) == (False, None, None, ())
    frame = next(view for view in project.views if view.id == "plan")
    assert frame.drawing is None


def test_it_is_written_as_it_was_written_then():
    """Byte for byte, but for line breaks and spaces and how a number is spelt."""
    again = json.loads(encode(read_project(FOLDER)))
    before = tree()
    before["sequences"][0]["steps"][1].pop("release")  # said nothing: no latch is released
    before["bodies"][7].pop("role")  # "other" is what a body is that has none
    before["targets"][1]["within"] = 0.5
    assert again == before
    assert list(again) == list(before)
    assert [list(one) for one in again["connections"]] == [list(one) for one in before["connections"]]
    assert [list(one) for one in again["bodies"]] == [list(one) for one in before["bodies"]]
