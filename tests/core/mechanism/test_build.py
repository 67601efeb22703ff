"""From a project to numbered arrays."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from core.document.project import Body, Circle, Jack, Polygon, Wall
from core.mechanism.build import build
from core.mechanism.mechanism import Kind
from tests.mechanisms.sketch import FRAME, frame, gearing, latch, moving, pivot, project, rod, slide, slot

MADE = project(
    (*moving("leg", "door"), frame()),
    (
        gearing("tube", "hinge", "leg-pivot", -0.5),
        pivot("leg-pivot", FRAME, "leg", 1 + 2j, (-5.0, 90.0)),
        pivot("hinge", "door", FRAME, 30),
        rod("stay", "leg", "door", 3 + 4j, 30 + 4j),
        Jack(id="jack", bodies=(FRAME, "leg"), ends=((0.0, 30.0), (0.0, -10.0)), closed=31.0, stroke=20.0),
        slide("guide", FRAME, "leg", 0, 3 + 4j),
        slot("slot", "leg", "door", 2, 1, 6),
        latch("uplock", "leg", "door", 1j, 2j, 0.3),
    ),
    {"second": "jack", "first": "leg-pivot"},
)


def test_bodies_connections_and_drives_keep_their_order() -> None:
    made = build(MADE)
    assert made.bodies == ("leg", "door", "frame")
    assert made.fixed == (False, False, True)
    assert [link.id for link in made.links] == [one.id for one in MADE.connections]
    assert made.drives == ("second", "first")
    assert [made.links[number].id for number in made.driven] == ["jack", "leg-pivot"]
    assert (made.links[4].drive, made.links[1].drive, made.links[2].drive) == (0, 1, -1)


def test_every_kind_has_its_numbers() -> None:
    tube, leg_pivot, hinge, stay, jack, guide, slotted, uplock = build(MADE).links
    assert (tube.kind, tube.pivots, tube.ratio) == (Kind.GEARING, (2, 1), -0.5)
    assert (leg_pivot.p, leg_pivot.q, leg_pivot.limits) == (1 + 2j, 1 + 2j, (-5.0, 90.0))
    assert hinge.bodies == (1, 2)
    assert stay.length == 27.0  # as drawn
    assert (jack.length, jack.stroke, jack.limits) == (31.0, 20.0, (0.0, 20.0))
    assert guide.along == pytest.approx(0.6 + 0.8j)
    assert (slotted.p, slotted.q, slotted.length, slotted.limits) == (1 + 0j, 2 + 0j, 5.0, (0.0, 5.0))
    assert uplock.reach == 0.3


def test_a_drive_of_a_jack_is_drawn_as_far_as_the_jack_is_out() -> None:
    assert build(MADE).drawn == (pytest.approx(9.0), 0.0)


def test_a_rod_keeps_a_length_that_is_given() -> None:
    made = project((frame(), *moving("leg")), (rod("stay", FRAME, "leg", 0, 5, length=4.5),), {})
    assert build(made).links[0].length == 4.5


RIM = Polygon(points=((-10.0, 0.0, 1.0), (10.0, 0.0, 1.0)), holes=(((3.0, 0.0), (4.0, 0.0), (4.0, 1.0)),))


@pytest.mark.parametrize(
    ("shape", "role", "is_round"),
    [
        (Circle(centre=(0.0, 0.0), radius=10.0), "wheel", True),
        (RIM, "wheel", True),
        (Circle(centre=(0.0, 0.0), radius=10.0), "link", False),
        (Circle(centre=(0.0, 0.5), radius=10.0), "wheel", False),
        (Polygon(points=((-10.0, 0.0, 0.9), (10.0, 0.0, 1.0))), "wheel", False),
        (Polygon(points=((-10.0, 0.0), (10.0, 0.0), (0.0, 9.0))), "wheel", False),
        (Wall(points=((-10.0, 0.0), (10.0, 0.0)), thickness=1.0), "wheel", False),
    ],
)
def test_a_wheel_that_is_round_about_its_axle(shape, role, is_round) -> None:
    wheel = Body(id="wheel", view="side", role=role, shapes=(shape,))
    axle = pivot("axle", FRAME, "wheel", 0)
    made = project((frame(), wheel), (axle,), {})
    assert build(made).round == (False, is_round)
    braked = replace(made, connections=(axle, rod("brake", FRAME, "wheel", 20, 9)))
    assert build(braked).round == (False, False)
