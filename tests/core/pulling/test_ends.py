"""A connection's point dragged at a moment: drawn where it has to be, to stand under the hand once all is solved."""

from __future__ import annotations

import numpy as np
import pytest

from core.document.joint_edits import MoveEnd, ReplaceConnection, carriers, ends_of
from core.document.project import Project
from core.geometry.planar import point_at
from core.pulling.ends import MOST_GAIN, THERE, EndHeld, hold_end
from core.pulling.grab import grips_at
from core.study import run
from tests.mechanisms.sketch import FRAME, frame, jack, latch, moving, pivot, project, rod, slot, step


def four_bar() -> Project:
    """A crank at the origin, a coupler, and a rocker at (80, 0); a rod leads from the rocker to a flap."""
    return project(
        (frame(), *moving("crank", "coupler", "rocker", "flap")),
        (
            pivot("crank-pivot", FRAME, "crank", 0), pivot("elbow", "crank", "coupler", 30j),
            pivot("wrist", "coupler", "rocker", 70 + 50j), pivot("rocker-pivot", FRAME, "rocker", 80),
            pivot("flap-pivot", FRAME, "flap", 130), rod("flap-rod", "rocker", "flap", 75 + 25j, 125 + 22j),
        ),
        {"drive": "crank-pivot"},
        (step("turn", 4.0, {"drive": -50.0}),),
    )  # fmt: skip


def held(one: Project, connection: str, number: int = 0, *, time: float = 2.0) -> EndHeld | None:
    motion = run(one).sequences[0].motion
    poses = motion.poses_at(np.array([time]))[0]
    return hold_end(
        one, one.sequences[0], time, poses, connection=connection, number=number, grips=grips_at(motion.course, time)
    )  # fmt: skip


def stands(one: Project, connection: str, number: int = 0, *, time: float = 2.0) -> complex:
    """Where a point really is, once everything is solved from the drawn position on."""
    motion = run(one).sequences[0].motion
    assert motion.assembled_at(np.array([time])).all()
    link = next(each for each in one.connections if each.id == connection)
    body = motion.bodies.index(carriers(link)[number])
    return complex(point_at(motion.poses_at(np.array([time]))[0][body], complex(*ends_of(link)[number])))


POINTS = [(one.id, number) for one in four_bar().connections for number in range(len(ends_of(one)))]


@pytest.mark.parametrize(("connection", "number"), POINTS)
@pytest.mark.parametrize("time", [0.0, 1.3, 4.0])
def test_it_stands_under_the_hand_once_all_is_solved(connection: str, number: int, time: float):
    one = four_bar()
    found = held(one, connection, number, time=time)
    hand = found.stands + complex(1.1, -0.7)
    found = found.follow((hand.real, hand.imag))
    assert found.short_by((hand.real, hand.imag)) <= THERE
    assert abs(stands(found.edit.apply(one), connection, number, time=time) - hand) <= 2.0 * THERE


def test_on_a_fixed_body_it_is_drawn_where_the_hand_is():
    found = held(four_bar(), "rocker-pivot").follow((81.5, -2.0))
    assert found.edit == MoveEnd("rocker-pivot", 0, pytest.approx((81.5, -2.0), abs=1e-3))


def test_on_a_body_that_turns_it_is_drawn_by_so_much_turned_back():
    found = held(four_bar(), "elbow", time=4.0)
    at = found.stands + 2.0
    found = found.follow((at.real, at.imag))
    assert found.drawn == pytest.approx(30j + 2.0 * np.exp(1j * np.radians(50.0)), abs=1e-3)


def test_of_a_pivot_it_is_all_one_which_of_its_bodies_carries_it():
    one = four_bar()
    other = ReplaceConnection(pivot("wrist", "rocker", "coupler", 70 + 50j)).apply(one)
    at = held(one, "wrist").stands + complex(0.8, 0.9)
    hand = (at.real, at.imag)
    assert held(one, "wrist").follow(hand).drawn == pytest.approx(held(other, "wrist").follow(hand).drawn, abs=1e-3)


def test_many_small_ways_come_to_the_same_as_one():
    found = once = held(four_bar(), "wrist")
    start = found.stands
    for share in np.linspace(0.1, 1.0, 10):
        at = start + share * complex(3.0, -2.0)
        found = found.follow((at.real, at.imag))
    assert once.follow((at.real, at.imag)).drawn == pytest.approx(found.drawn, abs=1e-2)


def jacked() -> Project:
    """A leg at the origin that a jack from (40, 40) turns."""
    return project(
        (frame(), *moving("leg")),
        (pivot("hip", FRAME, "leg", 0), jack("ram", FRAME, "leg", 40 + 40j, 5 - 30j, 60.0, 60.0)),
        {"gear": "ram"},
        (step("up", 4.0, {"gear": 10.0}),),
    )


def test_a_jack_that_is_driven_has_its_length_at_that_moment_and_its_end_goes_across_alone():
    one = jacked()
    found = held(one, "ram", 1, time=4.0)
    foot = complex(40.0, 40.0)
    along = (found.stands - foot) / abs(found.stands - foot)
    length = abs(found.stands - foot)
    for way in (along * 3.0, along * 3.0j, along * (2.0 - 2.0j)):
        at = found.stands + way
        after = found.follow((at.real, at.imag))
        assert abs(after.stands - foot) == pytest.approx(length, abs=1e-6)
        assert abs(after.stands - at) == pytest.approx(abs(abs(at - foot) - length), abs=2e-2)
        assert abs(stands(after.edit.apply(one), "ram", 1, time=4.0) - after.stands) <= 1e-6


def test_what_hardly_follows_is_not_drawn_far_away():
    """A brace of two links that are drawn in line: across them the elbow's place changes no length, so that half way
    up it stays where it is."""
    one = project(
        (frame(), *moving("leg", "upper", "lower")),
        (
            pivot("hip", FRAME, "leg", 0), pivot("top", FRAME, "upper", 60 + 0j),
            pivot("elbow", "upper", "lower", 33 - 9j),
            pivot("foot", "lower", "leg", 6 - 18j),
        ),
        {"gear": "hip"},
        (step("up", 4.0, {"gear": 60.0}),),
    )  # fmt: skip
    found = held(one, "elbow", time=2.0)
    across = complex(9.0, 27.0) / abs(complex(9.0, 27.0))
    for way in (across * np.exp(1j * turn) for turn in np.linspace(0.0, 2.0 * np.pi, 9)):
        at = found.stands + way
        after = found.follow((at.real, at.imag))
        assert abs(after.drawn - found.drawn) <= 8 * MOST_GAIN
        assert after.short_by((at.real, at.imag)) <= 1.0 + 1e-9


def test_where_nothing_holds_together_there_is_nothing_to_take_hold_of():
    short = project(
        (frame(), *moving("leg", "door")),
        (
            pivot("hip", FRAME, "leg", 0), pivot("hinge", FRAME, "door", 50), rod("link", "leg", "door", 10j, 50 + 10j),
        ),
        {"gear": "hip", "doors": "hinge"},
        (step("up", 4.0, {"gear": 80.0}),),
    )  # fmt: skip
    assert run(short).sequences[0].motion.troubles
    assert held(short, "link", 1, time=3.0) is None
    assert held(short, "link", 1, time=0.0) is not None


def test_a_slots_points_and_a_latch_that_holds_are_dragged_too():
    one = project(
        (frame(), *moving("leg", "door")),
        (
            pivot("hip", FRAME, "leg", 0), pivot("hinge", FRAME, "door", 50),
            slot("groove", "leg", "door", 20 + 0j, 5 + 0j, 35 + 0j),
            latch("lock", FRAME, "leg", 10 - 20j, 10 - 20j, 50.0),
        ),
        {"gear": "hip"},
        (step("up", 2.0, {"gear": 20.0}, engage=("lock",)), step("rest", 2.0)),
    )  # fmt: skip
    for number in range(3):
        found = held(one, "groove", number, time=1.0)
        at = found.stands + complex(0.3, 0.2)
        after = found.follow((at.real, at.imag))
        assert abs(stands(after.edit.apply(one), "groove", number, time=1.0) - after.stands) <= 2.0 * THERE
    assert held(one, "groove", 0, time=3.0) is not None
    found = held(one, "lock", 1, time=3.0)
    at = found.stands + complex(0.3, 0.2)
    assert found.follow((at.real, at.imag)).short_by((at.real, at.imag)) <= THERE
