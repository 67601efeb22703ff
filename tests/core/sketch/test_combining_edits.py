"""Bodies joined and cut: their shapes, what goes over to the leading one, and what is refused."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from core.document.checks import problems
from core.document.project import (
    Acceptance,
    Aircraft,
    Body,
    Circle,
    Figure,
    Moment,
    PairRule,
    Pivot,
    Project,
    Rod,
    Sequence,
    Shape,
    Step,
    Target,
    View,
)
from core.geometry.outlines import outline
from core.sketch.combining_edits import CutAway, JoinBodies, why_not_cut, why_not_join
from core.sketch.constructing import rectangle


def body(body_id: str, *shapes: Shape, **more) -> Body:
    return Body(id=body_id, name=body_id.title(), view="side", shapes=shapes, **more)


def project() -> Project:
    return Project(
        aircraft=Aircraft(name="Merrow T.2"),
        views=(View(id="side", plane="side"), View(id="plan", plane="plan")),
        bodies=(
            body("frame", rectangle((-40, 20), (40, 30)), fixed=True),
            body("leg", rectangle((-2, -30), (2, 2))),
            body("fork", rectangle((-6, -40), (6, -28))),
            body("wheel", Circle(centre=(0, -40), radius=5)),
            body("door", rectangle((60, 0), (80, 4))),
        ),
        connections=(
            Pivot(id="trunnion", bodies=("frame", "leg"), at=(0.0, 0.0)),
            Pivot(id="axle", bodies=("fork", "wheel"), at=(0.0, -40.0)),
            Rod(id="rod", bodies=("door", "fork"), ends=((60.0, 2.0), (6.0, -30.0))),
        ),
        sequences=(Sequence(id="up", steps=(Step(id="one", duration=1.0),)),),
    )


def one(project: Project, thing: str):
    return next(each for each in (*project.bodies, *project.connections) if each.id == thing)


def test_joined_bodies_are_one_and_what_hung_on_the_others_hangs_on_it():
    before = project()
    after = JoinBodies("leg", ("fork",)).apply(before)
    assert [each.id for each in after.bodies] == ["frame", "leg", "wheel", "door"]
    assert len(one(after, "leg").shapes) == 1
    assert outline(one(after, "leg")).area == pytest.approx(4 * 32 + 12 * 12 - 4 * 2, abs=1e-6)
    assert one(after, "axle").bodies == ("leg", "wheel")
    assert one(after, "rod").bodies == ("door", "leg")
    assert one(after, "trunnion") is one(before, "trunnion")
    assert problems(after) == ()


def test_what_does_not_touch_stays_the_shape_that_it_was():
    far = replace(project(), connections=())
    after = JoinBodies("wheel", ("door",)).apply(far)
    assert one(after, "wheel").shapes == (*one(far, "wheel").shapes, *one(far, "door").shapes)


def test_targets_figures_and_rules_go_over_and_excuses_do_not():
    at = Moment(at="end")
    before = replace(
        project(),
        targets=(Target(id="there", body="fork", at=at, x=0.0, y=-34.0, turn=0.0),),
        figures=(
            Figure(id="reach", quantity="distance", between=[{"body": "fork", "point": [0, -34]}, "trunnion"]),
            Figure(id="across", quantity="diameter", of="fork", across="outline"),
        ),
        pairs=(
            PairRule(bodies=("fork", "door"), rule="check", clearance=2.0),
            PairRule(bodies=("fork", "frame"), rule="ignore", why="They are welded"),
        ),
        accepted=(Acceptance(kind="clash", bodies=("fork", "door"), amount=1.0, why="It rubs"),),
    )
    after = JoinBodies("leg", ("fork",)).apply(before)
    assert after.targets[0].body == "leg"
    assert after.figures[0].between[0] == {"body": "leg", "point": [0, -34]}
    assert after.figures[1].of == "leg"
    assert [(rule.bodies, rule.rule) for rule in after.pairs] == [(("leg", "door"), "check")]
    assert after.accepted == ()
    assert (problems(before), problems(after)) == ((), ())


def test_masses_are_added_about_their_common_centre():
    weighed = replace(
        project(),
        bodies=(
            body("leg", rectangle((-2, -30), (2, 2)), mass=30.0, centre_of_mass=(0.0, -14.0)),
            body("fork", rectangle((-6, -40), (6, -28)), mass=10.0, centre_of_mass=(0.0, -34.0)),
        ),
        connections=(),
    )
    after = one(JoinBodies("leg", ("fork",)).apply(weighed), "leg")
    assert (after.mass, after.centre_of_mass) == (40.0, (0.0, -19.0))


@pytest.mark.parametrize(
    ("lead", "others", "said"),
    [
        ("fork", ("wheel",), "axle connects Fork with Wheel"),
        ("leg", (), "two bodies or more"),
        ("leg", ("nothing",), "two bodies or more"),
        ("leg", ("frame",), "Frame is fixed and Leg is not"),
        ("leg", ("deep",), "differ in depth"),
        ("leg", ("above",), "in different views"),
        ("leg", ("empty",), "no shape yet"),
    ],
)
def test_what_cannot_be_joined_is_said_and_left(lead: str, others: tuple[str, ...], said: str):
    extra = (
        body("deep", rectangle((0, 0), (1, 1)), depth=(0.0, 4.0)),
        Body(id="above", name="Above", view="plan", shapes=(rectangle((0, 0), (1, 1)),)),
        body("empty"),
    )
    before = replace(project(), bodies=(*project().bodies, *extra))
    assert said in why_not_join(before, lead, others)
    assert JoinBodies(lead, others).apply(before) is before


def test_a_round_body_cut_away_leaves_a_true_arc():
    after = CutAway("fork", ("wheel",)).apply(project())
    left = one(after, "fork").shapes
    # Half of the circle lies on the fork; its area is Archimedes', pi r2 over two
    # An outline is flattened to a few microns.
    assert outline(one(after, "fork")).area == pytest.approx(144.0 - 0.5 * math.pi * 25.0, abs=0.05)
    assert any(len(corner) == 3 and abs(corner[2]) == pytest.approx(1.0, abs=1e-3) for corner in left[0].points)
    assert one(after, "wheel") == one(project(), "wheel")
    assert problems(after) == ()


def test_only_the_shape_that_is_met_is_cut():
    two = replace(project(), bodies=(
        body("leg", Circle(centre=(0, 0), radius=5), rectangle((10, 0), (20, 10))),
        body("tool", rectangle((14, -1), (16, 11))),
    ), connections=())  # fmt: skip
    after = one(CutAway("leg", ("tool",)).apply(two), "leg").shapes
    assert after[0] == Circle(centre=(0, 0), radius=5)
    assert len(after) == 3, "the rectangle falls in two"


def test_cutting_all_or_nothing_is_said_and_left():
    big = replace(project(), bodies=(*project().bodies, body("big", rectangle((-100, -100), (100, 100)))))
    assert why_not_cut(big, "leg", ("big",)) == "Nothing of Leg would be left"
    assert CutAway("leg", ("big",)).apply(big) is big
    assert "does not lie on Leg" in why_not_cut(big, "leg", ("door",))
    assert CutAway("leg", ("door",)).apply(big) is big
