"""Bodies drawn, moved with what lies on them, and removed with what rests on them."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from core.document.checks import problems
from core.document.project import Aircraft, Body, Circle, Pivot, Project, Rod, View
from core.document.project_file import read_project
from core.sketch.body_edits import AddBodies, AddShape, MoveBodies, RemoveThings, ReplaceBody, ReplaceShapes, bodies_at
from core.sketch.constructing import rectangle
from core.sketch.moving import Likeness
from tests.formats.merrow import FOLDER

MERROW = read_project(FOLDER)


def small():
    return Project(
        aircraft=Aircraft(name="Merrow T.2"),
        views=(View(id="side", plane="side"),),
        bodies=(
            Body(id="frame", view="side", fixed=True, shapes=(rectangle((-20, 0), (20, 4)),)),
            Body(id="lever", view="side", shapes=(rectangle((-2, -30), (2, 2)),)),
            Body(id="door", view="side", shapes=(rectangle((10, -3), (30, -1)),)),
        ),
        connections=(
            Pivot(id="bearing", bodies=("frame", "lever"), at=(0.0, 1.0)),
            Pivot(id="tip", bodies=("lever", "door"), at=(0.0, -28.0)),
            Rod(id="rod", bodies=("lever", "door"), ends=((0.0, -20.0), (25.0, -2.0))),
        ),
    )


def by_id(project):
    return {one.id: one for one in (*project.bodies, *project.connections)}


def test_the_first_body_brings_its_view():
    empty = Project(aircraft=Aircraft(name="New"))
    made = AddBodies((Body(id="leg", name="Leg", view="side"),), View(id="side", plane="side"))
    assert made.label == "Draw Leg"
    assert not problems(made.apply(empty))


def test_shapes_are_added_and_replaced_and_the_rest_shared():
    disc = Circle(centre=(0.0, 0.0), radius=2.0)
    more = AddShape("lever", disc).apply(small())
    assert by_id(more)["lever"].shapes[1] == disc
    base = small()
    assert ReplaceShapes("lever", base.bodies[1].shapes).apply(base) is base
    assert ReplaceShapes("lever", (disc,)).apply(base).bodies[0] is base.bodies[0]
    assert ReplaceBody(replace(base.bodies[1], name="Lever")).apply(base).bodies[1].name == "Lever"


def test_a_moved_body_takes_the_points_that_are_its_own():
    moved = by_id(MoveBodies(("lever",), Likeness.moving(5.0, 0.0)).apply(small()))
    assert moved["lever"].shapes[0].points[0] == (3.0, -30.0)
    assert moved["bearing"].at == (0.0, 1.0), "it lies on the frame as well, which stays"
    assert moved["tip"].at == (5.0, -28.0), "it lies on the lever alone"
    assert moved["rod"].ends == ((5.0, -20.0), (25.0, -2.0))


def test_bodies_moved_together_take_all_that_is_between_them():
    moved = by_id(MoveBodies(("lever", "frame", "door"), Likeness.moving(1.0, 2.0)).apply(small()))
    assert moved["bearing"].at == (1.0, 3.0)
    assert moved["rod"].ends == ((1.0, -18.0), (26.0, 0.0))
    assert MoveBodies(("nothing",), Likeness.moving(1.0, 0.0)).apply(MERROW) is MERROW


@pytest.mark.parametrize("thing", [*(b.id for b in MERROW.bodies), *(c.id for c in MERROW.connections),
                                   *(d.id for d in MERROW.drives)])  # fmt: skip
def test_whatever_is_removed_the_rest_makes_sense(thing):
    left = RemoveThings((thing,)).apply(MERROW)
    assert left != MERROW
    assert problems(left) == problems(MERROW) or not problems(left)
    assert thing not in {one.id for one in (*left.bodies, *left.connections, *left.drives)}


def test_removing_everything_leaves_an_empty_aircraft():
    left = RemoveThings(tuple(body.id for body in MERROW.bodies)).apply(MERROW)
    assert (left.bodies, left.connections, left.drives, left.pairs, left.targets) == ((), (), (), (), ())
    assert not problems(left)


def test_removing_what_is_not_there_changes_nothing():
    assert RemoveThings(("nothing",)).apply(MERROW) is MERROW


def test_the_bodies_at_a_place_the_last_drawn_first():
    assert bodies_at(small(), "side", (0.0, 1.0)) == ("lever", "frame")
    assert bodies_at(small(), "side", (12.0, -2.0)) == ("door",)
    assert bodies_at(small(), "front", (0.0, 1.0)) == ()
