"""Hiding, locking, tinting and ordering: what changes, what stays the same object, and what the file says of it."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from core.document.look_edits import (
    OrderBodies,
    SetHidden,
    SetLocked,
    SetTint,
    ShowOnly,
    Way,
    laid,
    laid_over,
    words_for,
)
from core.document.looks import hidden_in, not_drawn, plain, why_locked
from core.document.project import View
from core.document.project_file import decode, encode
from core.errors import UnreadableProject
from core.sketch.body_edits import MoveBodies, RemoveThings
from core.sketch.moving import Likeness
from tests.app.small_aircraft import small_aircraft

PROJECT = small_aircraft()


def body(project, one):
    return next(body for body in project.bodies if body.id == one)


def ids(project):
    return [one.id for one in project.bodies]


# ---- hidden ----------------------------------------------------------------------------------------------------------


def test_hiding_touches_what_it_names_and_nothing_else():
    hidden = SetHidden(("door", "hinge"), True, "Hide").apply(PROJECT)
    assert [one.hidden for one in hidden.bodies] == [False, False, True, False]
    assert [one.hidden for one in hidden.connections] == [False, True, False]
    assert body(hidden, "leg") is body(PROJECT, "leg")
    assert SetHidden(("door", "hinge"), False, "Show").apply(hidden) == PROJECT


@pytest.mark.parametrize("edit", [
    SetHidden(("nobody",), True, ""), SetHidden(("door",), False, ""), SetLocked(("door",), False, ""),
    SetTint(("door",), None, ""), OrderBodies(("leg",)), OrderBodies(tuple(ids(PROJECT))),
    OrderBodies(("leg", "leg", "door", "airframe")),
])  # fmt: skip
def test_an_edit_that_changes_nothing_gives_the_same_project(edit):
    assert edit.apply(PROJECT) is PROJECT


def test_a_connection_goes_out_of_sight_with_both_its_bodies_and_not_with_one():
    one = SetHidden(("door",), True, "Hide").apply(PROJECT)
    both = SetHidden(("door", "airframe"), True, "Hide").apply(PROJECT)
    assert not_drawn(one) == {"door"}
    assert not_drawn(both) == {"door", "airframe", "hinge"}
    assert hidden_in(both) == ("airframe", "door"), "the hinge is not hidden by name"
    assert hidden_in(both, "plan") == ()


def test_only_the_chosen_is_shown_with_what_joins_it():
    only = ShowOnly(("leg", "airframe")).apply(PROJECT)
    assert hidden_in(only) == ("door", "aft-door", "hinge", "aft-hinge")
    by_connection = ShowOnly(("hinge",)).apply(PROJECT)
    assert hidden_in(by_connection) == ("leg", "aft-door", "leg-pivot", "aft-hinge")


def test_what_was_hidden_and_is_chosen_is_shown():
    hidden = SetHidden(("leg",), True, "Hide").apply(PROJECT)
    assert not body(ShowOnly(("leg",)).apply(hidden), "leg").hidden


def test_other_views_stay_as_they_are():
    views = (*PROJECT.views, View(id="plan", plane="plan"))
    bodies = tuple(replace(one, view="plan") if one.id == "aft-door" else one for one in PROJECT.bodies)
    two = replace(PROJECT, views=views, bodies=bodies, connections=PROJECT.connections[:2])
    assert "aft-door" not in hidden_in(ShowOnly(("leg",)).apply(two))


# ---- locked ----------------------------------------------------------------------------------------------------------

LOCKED = SetLocked(("leg", "hinge"), True, "Lock").apply(PROJECT)


@pytest.mark.parametrize("edit", [
    RemoveThings(("leg",)), RemoveThings(("airframe",)), MoveBodies(("leg", "door"), Likeness.moving(1.0, 0.0)),
    RemoveThings(("hinge",)),
])  # fmt: skip
def test_what_is_locked_is_neither_changed_nor_removed(edit):
    assert "is locked and stays as it is" in why_locked(LOCKED, edit.apply(LOCKED))


@pytest.mark.parametrize("edit", [
    SetHidden(("leg",), True, ""), SetTint(("leg",), "moss", ""), SetLocked(("leg",), False, ""),
    OrderBodies(tuple(reversed(ids(PROJECT)))), RemoveThings(("aft-door",)),
])  # fmt: skip
def test_how_it_is_shown_may_change_and_so_may_others(edit):
    changed = edit.apply(LOCKED)
    assert changed != LOCKED
    assert why_locked(LOCKED, changed) == ""


def test_looks_are_what_is_left_out_of_a_plain_thing():
    shown = replace(body(PROJECT, "leg"), name="Shank", tint="sky", hidden=True, locked=True)
    assert plain(shown) == plain(body(PROJECT, "leg"))
    assert plain(replace(shown, fixed=True)) != plain(shown)


# ---- order -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("bodies", "way", "order"), [
    ({"leg"}, Way.HIGHER, ["airframe", "door", "leg", "aft-door"]),
    ({"leg"}, Way.LOWER, ["leg", "airframe", "door", "aft-door"]),
    ({"leg"}, Way.TOP, ["airframe", "door", "aft-door", "leg"]),
    ({"door"}, Way.BOTTOM, ["door", "airframe", "leg", "aft-door"]),
    ({"airframe", "leg"}, Way.HIGHER, ["door", "airframe", "leg", "aft-door"]),
    ({"door", "aft-door"}, Way.HIGHER, ["airframe", "leg", "door", "aft-door"]),
    ({"airframe", "door"}, Way.LOWER, ["airframe", "door", "leg", "aft-door"]),
    ({"leg", "aft-door"}, Way.BOTTOM, ["leg", "aft-door", "airframe", "door"]),
])  # fmt: skip
def test_bodies_are_laid_over_and_under_each_other(bodies, way, order):
    assert list(laid(PROJECT, bodies, way)) == order


def test_one_higher_means_over_the_next_of_the_same_view():
    bodies = tuple(replace(one, view="plan") if one.id == "door" else one for one in PROJECT.bodies)
    two = replace(PROJECT, views=(*PROJECT.views, View(id="plan", plane="plan")), bodies=bodies)
    assert list(laid(two, {"leg"}, Way.HIGHER)) == ["airframe", "door", "aft-door", "leg"]


@pytest.mark.parametrize(("bodies", "under", "order"), [
    ({"leg"}, "aft-door", ["airframe", "door", "aft-door", "leg"]),
    ({"aft-door"}, "airframe", ["airframe", "aft-door", "leg", "door"]),
    ({"door"}, None, ["door", "airframe", "leg", "aft-door"]),
    ({"leg", "door"}, "door", ["airframe", "leg", "door", "aft-door"]),
    ({"airframe"}, "airframe", ["airframe", "leg", "door", "aft-door"]),
])  # fmt: skip
def test_bodies_are_laid_right_over_another(bodies, under, order):
    assert list(laid_over(PROJECT, bodies, under)) == order


def test_another_order_leaves_the_bodies_as_they_are():
    turned = OrderBodies(("aft-door", "door", "leg", "airframe")).apply(PROJECT)
    assert ids(turned) == ["aft-door", "door", "leg", "airframe"]
    assert body(turned, "leg") is body(PROJECT, "leg")


def test_words_name_one_thing_and_count_several():
    assert words_for(PROJECT, {"leg"}) == "Nose leg"
    assert words_for(PROJECT, {"leg", "hinge"}) == "2 things"


# ---- the file --------------------------------------------------------------------------------------------------------


def test_the_file_holds_what_was_chosen_and_leaves_out_the_rest():
    changed = SetTint(("leg",), "heather", "").apply(SetHidden(("hinge",), True, "").apply(LOCKED))
    text = encode(changed)
    assert decode(text, Path("project.json")) == changed
    assert (text.count(b'"hidden"'), text.count(b'"locked"'), text.count(b'"tint"')) == (1, 2, 1)
    assert b'"hidden"' not in encode(PROJECT)


@pytest.mark.parametrize(("wrong", "told"), [
    (b'"tint": "#ff8800"', "is not known here"), (b'"hidden": 1', "true or false is needed"),
    (b'"locked": "yes"', "true or false is needed"),
])  # fmt: skip
def test_what_the_file_cannot_mean_is_refused_with_its_place(wrong, told):
    text = encode(PROJECT).replace(b'"role": "leg"', b'"role": "leg", ' + wrong)
    with pytest.raises(UnreadableProject) as refused:
        decode(text, Path("project.json"))
    assert told in str(refused.value)
    assert "leg" in str(refused.value)
