"""Which parts are checked against each other: by view, depth, what joins them, and rules."""

from __future__ import annotations

import math

import pytest

from core.document.project import Body, Circle, Jack, Latch, PairRule, Pivot, Rod, Slide, Slot
from core.interference.pairs import checked_pairs
from core.interference.placement import parts_of
from tests.core.interference.scenes import body, box, project_of

FRAME = body("frame", box(-50, 0, 50, 5), fixed=True)
LEG = body("leg", box(-2, -40, 2, 3))
DOOR = body("door", box(10, -2, 30, 0))


def ids(*bodies, connections=(), pairs=()):
    project = project_of(*bodies, connections=connections, pairs=pairs)
    return checked_pairs(project, parts_of(project)).ids


def test_every_pair_in_one_view_is_checked():
    assert ids(FRAME, LEG, DOOR) == (("frame", "leg"), ("frame", "door"), ("leg", "door"))


def test_other_views_are_another_place():
    elsewhere = Body(id="collar", view="plan", shapes=(Circle(centre=(0, 0), radius=5),))
    assert ids(FRAME, LEG, elsewhere) == (("frame", "leg"),)


def test_two_fixed_bodies_are_never_checked():
    other = body("bulkhead", box(0, 0, 5, 50), fixed=True)
    assert ids(FRAME, other, pairs=(PairRule(bodies=("frame", "bulkhead"), rule="check"),)) == ()


@pytest.mark.parametrize(
    ("one", "other", "meet"),
    [
        ((0, 5), (5, 9), False),
        ((0, 5), (4.99, 9), True),
        (None, (3, 4), True),
        ((9, 5), (0, 6), True),
        ((0, 5), (6, 9), False),
    ],
)
def test_parts_meet_where_their_depths_lap_by_more_than_nothing(one, other, meet):
    first = body("leg", box(-2, -40, 2, 3), depth=one)
    second = body("door", box(10, -2, 30, 0), depth=other)
    assert bool(ids(first, second)) == meet


@pytest.mark.parametrize(
    "joint",
    [
        Pivot(id="joint", bodies=("frame", "leg"), at=(0, 0)),
        Slide(id="joint", bodies=("leg", "frame"), at=(0, 0), along=(0, 1)),
        Slot(id="joint", bodies=("frame", "leg"), at=(0, 0), start=(-5, 0), end=(5, 0)),
        Latch(id="joint", bodies=("frame", "leg"), ends=((0, 0), (0, -5))),
    ],
)
def test_joined_bodies_lap_by_nature_unless_a_rule_says_check(joint):
    assert ids(FRAME, LEG, connections=(joint,)) == ()
    rule = PairRule(bodies=("leg", "frame"), rule="check")
    assert ids(FRAME, LEG, connections=(joint,), pairs=(rule,)) == (("frame", "leg"),)


def test_a_rod_joins_its_own_ends_and_not_the_two_bodies():
    rod = Rod(id="rod", bodies=("leg", "door"), ends=((0, -20), (20, -1)), width=2)
    assert ids(FRAME, LEG, DOOR, connections=(rod,)) == (
        ("frame", "leg"),
        ("frame", "door"),
        ("frame", "rod"),
        ("leg", "door"),
    )


def test_a_jack_is_one_pair_of_two_parts_and_never_against_itself():
    jack = Jack(id="jack", bodies=("frame", "leg"), ends=((20, 2), (0, -10)), closed=15, stroke=10, barrel=5, rod=2)
    project = project_of(FRAME, LEG, DOOR, connections=(jack,))
    pairs = checked_pairs(project, parts_of(project))
    assert pairs.ids == (("frame", "leg"), ("frame", "door"), ("leg", "door"), ("door", "jack"))
    assert pairs.reported.tolist() == [0, 1, 2, 3, 3]


def test_rods_that_share_a_pin_are_joined():
    one = Rod(id="one", bodies=("frame", "leg"), ends=((20, 0), (0, -20)), width=2)
    other = Rod(id="other", bodies=("door", "leg"), ends=((20, -1), (0, -20)), width=2)
    apart = Rod(id="apart", bodies=("door", "leg"), ends=((20, -1), (0, -21)), width=2)
    assert ("one", "other") not in ids(FRAME, LEG, DOOR, connections=(one, other))
    assert ("one", "apart") in ids(FRAME, LEG, DOOR, connections=(one, apart))


def test_a_rod_that_ends_on_a_pivot_pin_laps_both_bodies_there():
    pivot = Pivot(id="hinge", bodies=("frame", "door"), at=(10, 0))
    rod = Rod(id="rod", bodies=("door", "leg"), ends=((10, 0), (0, -20)), width=2)
    assert ids(FRAME, LEG, DOOR, connections=(pivot, rod)) == (("frame", "leg"), ("leg", "door"))


def test_rules_speak_of_a_pair_in_either_order():
    rule = PairRule(bodies=("door", "leg"), rule="ignore", why="they are in line")
    assert ids(FRAME, LEG, DOOR, pairs=(rule,)) == (("frame", "leg"), ("frame", "door"))


def test_a_rule_may_name_a_rod():
    rod = Rod(id="rod", bodies=("leg", "door"), ends=((0, -20), (20, -1)), width=2)
    ignore = PairRule(bodies=("rod", "frame"), rule="ignore", why="passes through a slit")
    look = PairRule(bodies=("leg", "rod"), rule="check", beyond=3.0)
    found = ids(FRAME, LEG, DOOR, connections=(rod,), pairs=(ignore, look))
    assert ("frame", "rod") not in found
    assert ("leg", "rod") in found


def test_wanted_clearance_is_the_rules_or_the_projects():
    project = project_of(
        FRAME, LEG, DOOR, least_clearance=0.5, pairs=(PairRule(bodies=("leg", "door"), rule="check", clearance=1.5),)
    )
    assert checked_pairs(project, parts_of(project)).wanted.tolist() == [0.5, 0.5, 1.5]


def test_beyond_leaves_out_a_disc_about_the_pivot_of_both():
    pivot = Pivot(id="hinge", bodies=("frame", "leg"), at=(0, 2))
    project = project_of(
        FRAME, LEG, connections=(pivot,), pairs=(PairRule(bodies=("frame", "leg"), rule="check", beyond=4.0),)
    )
    parts = parts_of(project)
    pairs = checked_pairs(project, parts)
    for cut, part in ((pairs.first_polygons[0], pairs.first[0]), (pairs.second_polygons[0], pairs.second[0])):
        whole = parts.polygons[part]
        assert cut.area < whole.area
        assert whole.difference(cut).area <= math.pi * 4.01**2
        assert cut.distance(whole.boundary) == 0.0


def test_beyond_about_a_slot_goes_with_the_pin_and_about_a_rod_with_its_end():
    slot = Slot(id="slot", bodies=("frame", "leg"), at=(0, 2), start=(-5, 2), end=(5, 2))
    rod = Rod(id="rod", bodies=("door", "leg"), ends=((20, -1), (0, -20)), width=2)
    project = project_of(
        FRAME,
        LEG,
        DOOR,
        connections=(slot, rod),
        pairs=(
            PairRule(bodies=("frame", "leg"), rule="check", beyond=3.0),
            PairRule(bodies=("rod", "leg"), rule="check", beyond=3.0),
        ),
    )
    parts = parts_of(project)
    pairs = checked_pairs(project, parts)
    whole = pairs.ids.index(("frame", "leg"))
    assert pairs.first_polygons[whole] is parts.polygons[0]
    assert pairs.second_polygons[whole].area < parts.polygons[1].area
    row = pairs.reported.tolist().index(pairs.ids.index(("leg", "rod")))
    length = math.hypot(20.0, 19.0)
    assert pairs.second_polygons[row].bounds[2] == pytest.approx(length - 3.0, abs=0.4)


def test_a_disc_that_takes_everything_leaves_nothing_to_check():
    pivot = Pivot(id="hinge", bodies=("frame", "door"), at=(20, 0))
    rule = PairRule(bodies=("frame", "door"), rule="check", beyond=60.0)
    assert ids(FRAME, DOOR, connections=(pivot,), pairs=(rule,)) == ()
