"""Bodies taken out of a project and put into one: what goes along, under what names, where."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from core.document.checks import problems
from core.document.names import name_of
from core.document.project import Aircraft, Gearing, Latch, Project, Slide, Slot, View
from core.document.project_file import decode, encode, read_project
from core.geometry.outlines import outline
from core.sketch.pasting import put_in, taken_out
from tests.formats.merrow import FOLDER

MERROW = read_project(FOLDER)


def everything() -> Project:
    parts = taken_out(MERROW, {one.id for one in MERROW.bodies})
    assert parts is not None
    return parts


def test_all_of_an_aircraft_makes_sense_by_itself_and_through_a_file(tmp_path):
    parts = everything()
    assert problems(parts) == ()
    assert decode(encode(parts), tmp_path / "clipboard") == parts
    assert (len(parts.connections), len(parts.drives)) == (len(MERROW.connections), len(MERROW.drives))


def test_only_what_joins_chosen_bodies_goes_along():
    one = next(each for each in MERROW.connections if not isinstance(each, Gearing))
    both, first = taken_out(MERROW, set(one.bodies)), taken_out(MERROW, {one.bodies[0]})
    assert both is not None
    assert first is not None
    assert one in both.connections
    assert all(set(each.bodies) <= set(one.bodies) for each in both.connections if not isinstance(each, Gearing))
    assert (first.connections, first.drives) == ((), ())
    assert taken_out(MERROW, {one.id}) is None, "a connection by itself joins nothing"


def test_a_whole_aircraft_pasted_into_itself_makes_sense_and_shares_no_name():
    after = put_in(MERROW, everything(), None).apply(MERROW)
    assert problems(after) == ()
    for sort in ("bodies", "drives"):
        names = [name_of(one) if sort == "bodies" else one.name or one.id for one in getattr(after, sort)]
        assert len(set(names)) == len(names) == 2 * len(getattr(MERROW, sort))
    assert len(after.connections) == 2 * len(MERROW.connections)
    assert after.views is not MERROW.views
    assert after.views == MERROW.views


def test_what_is_pasted_is_moved_as_one_thing():
    edit = put_in(MERROW, everything(), None)
    old, new = MERROW.bodies[0], edit.bodies[0]
    x, y = (outline(new).bounds[axis] - outline(old).bounds[axis] for axis in (0, 1))
    assert x > 0.0
    assert y == pytest.approx(-x)
    for before, after in zip(MERROW.connections, edit.connections, strict=True):
        assert type(before) is type(after)
        for key in ("at", "start", "end"):
            if isinstance(before, Slot) or (key == "at" and hasattr(before, "at")):
                assert getattr(after, key) == pytest.approx((getattr(before, key)[0] + x, getattr(before, key)[1] + y))
        if hasattr(before, "ends") and not isinstance(before, Latch):
            assert after.ends[0] == pytest.approx((before.ends[0][0] + x, before.ends[0][1] + y))
        if isinstance(before, Slide):
            assert after.along == before.along


def test_pasted_again_it_lies_beside_the_first_copy():
    part = taken_out(MERROW, {MERROW.bodies[0].id})
    assert part is not None
    first = put_in(MERROW, part, None)
    second = put_in(first.apply(MERROW), part, None)
    assert len({outline(one).bounds[0] for one in (MERROW.bodies[0], first.bodies[0], second.bodies[0])}) == 3


def test_an_empty_project_gets_the_views_too():
    empty = Project(aircraft=Aircraft(name="Pellow 3"))
    after = put_in(empty, everything(), None).apply(empty)
    assert problems(after) == ()
    assert [one.plane for one in after.views] == [one.plane for one in everything().views]
    assert all(not one.drawings for one in after.views)
    assert [one.name for one in after.bodies] == [one.name for one in MERROW.bodies], "nothing there had these names"


@pytest.mark.parametrize(
    ("planes", "worked_in", "goes_to"),
    [
        ({"a": "side", "b": "front"}, "b", "a"),
        ({"a": "side", "b": "side"}, "b", "b"),
        ({"a": "plan", "b": "front"}, "b", "b"),
        ({"a": "plan", "b": "front"}, None, "a"),
        ({"a": "other", "b": "front"}, "gone", "a"),
    ],
)
def test_a_body_goes_to_the_view_of_its_plane_else_where_the_work_is(planes, worked_in, goes_to):
    body = replace(MERROW.bodies[0], view="s")
    parts = Project(aircraft=Aircraft(name="Merrow T.2"), views=(View(id="s", plane="side"),), bodies=(body,))
    into = Project(
        aircraft=Aircraft(name="Pellow 3"), views=tuple(View(id=one, plane=plane) for one, plane in planes.items())
    )
    edit = put_in(into, parts, worked_in)
    assert (edit.bodies[0].view, edit.views) == (goes_to, ())
    assert problems(edit.apply(into)) == ()
