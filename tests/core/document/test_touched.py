"""What an edit touched, and what only lies elsewhere after it."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from core.document.edits import Edit
from core.document.joint_edits import MoveEnd, ReplaceConnection
from core.document.look_edits import OrderBodies
from core.document.project import Project
from core.document.project_file import read_project
from core.document.touched import only_lies_elsewhere, touched
from core.sketch.body_edits import MoveBodies, RemoveThings, ReplaceBody
from core.sketch.moving import Likeness
from tests.formats.merrow import FOLDER

PROJECT = read_project(FOLDER)
DOOR = next(one for one in PROJECT.bodies if one.id == "door")
ROD = next(one for one in PROJECT.connections if one.id == "door-rod")


def ids(before: Project, after: Project) -> tuple[set[str], set[str]] | None:
    found = touched(before, after)
    if found is None:
        return None
    return {after.bodies[n].id for n in found.bodies}, {after.connections[n].id for n in found.connections}


def test_what_is_touched_are_the_others_and_the_connections_of_bodies_that_are():
    assert ids(PROJECT, PROJECT) == (set(), set())
    assert ids(PROJECT, MoveEnd("door-rod", 0, (1.0, 2.0)).apply(PROJECT)) == (set(), {"door-rod"})
    of_the_door = {one.id for one in PROJECT.connections if "door" in getattr(one, "bodies", ())}
    assert len(of_the_door) > 1
    assert ids(PROJECT, ReplaceBody(replace(DOOR, name="Flap")).apply(PROJECT)) == ({"door"}, of_the_door)


def test_what_has_others_or_another_order_cannot_be_compared():
    order = tuple(one.id for one in PROJECT.bodies[::-1])
    assert ids(PROJECT, OrderBodies(order).apply(PROJECT)) is None
    assert ids(PROJECT, RemoveThings(("door-rod",)).apply(PROJECT)) is None
    assert ids(PROJECT, RemoveThings(("door",)).apply(PROJECT)) is None


@pytest.mark.parametrize(
    ("edit", "alone"),
    [
        (MoveEnd("door-rod", 0, (1.0, 2.0)), True),
        (MoveEnd("leg-pivot", 0, (1.0, 2.0)), True),
        (MoveBodies(("door",), Likeness.moving(1.0, 2.0)), True),
        (ReplaceBody(replace(DOOR, name="Flap")), False),
        (ReplaceBody(replace(DOOR, fixed=True)), False),
        (ReplaceConnection(replace(ROD, width=None)), False),
        (ReplaceConnection(replace(ROD, bodies=ROD.bodies[::-1])), False),
        (RemoveThings(("door-rod",)), False),
    ],
)
def test_what_only_lies_elsewhere_names_nothing_else(edit: Edit, alone: bool):
    after = edit.apply(PROJECT)
    assert after is not PROJECT
    assert only_lies_elsewhere(PROJECT, after) is alone
    assert not only_lies_elsewhere(PROJECT, replace(after, least_clearance=3.0))
