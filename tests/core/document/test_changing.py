"""What a change leaves as it was stays the same object, in the project and in each of its parts."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from core.document.changing import each, put, those, with_drive, with_parts, with_view
from core.document.project import Aircraft, Drive, Project, View

SIDE, PLAN = View(id="side", name="Side"), View(id="plan")
PROJECT = Project(aircraft=Aircraft(name=""), views=(SIDE, PLAN), drives=(Drive(id="leg", on="hinge"),))


def test_a_thing_is_put_in_place_of_its_like_or_at_the_end():
    named = replace(PLAN, name="Plan")
    assert put(PROJECT.views, named) == (SIDE, named)
    assert put(PROJECT.views, named)[0] is SIDE
    front = View(id="front")
    assert put(PROJECT.views, front) == (SIDE, PLAN, front)
    assert put(PROJECT.views, replace(PLAN)) is PROJECT.views, "it is there already"


@pytest.mark.parametrize(
    "changed",
    [
        with_parts(PROJECT, views=each(PROJECT.views, replace)),
        with_parts(PROJECT, views=those(PROJECT.views, bool), drives=PROJECT.drives),
        with_view(PROJECT, "side", lambda one: replace(one, name="Side")),
        with_view(PROJECT, "front", lambda one: replace(one, name="Front")),
        with_drive(PROJECT, "leg", replace),
    ],
)
def test_where_nothing_is_another_now_the_project_is_the_very_same(changed):
    assert changed is PROJECT


def test_what_changes_takes_nothing_along():
    changed = with_view(PROJECT, "plan", lambda one: replace(one, name="Plan"))
    assert [one.name for one in changed.views] == ["Side", "Plan"]
    assert changed.views[0] is SIDE
    assert changed.drives is PROJECT.drives
