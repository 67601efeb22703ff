"""Clashes between bodies drawn in different views: known cases, what is checked, and how it is told."""

from __future__ import annotations

import math

import numpy as np
import pytest

from core.document.project import Circle, PairRule, Polygon, Rod
from core.errors import CheckCancelled
from core.interference.across import overlaps_across, overlaps_in_all_views
from core.interference.check import interfere
from core.interference.pairs import checked_pairs
from core.interference.placement import parts_of
from core.interference.planes import drawn_axes
from tests.core.interference.aircraft import AXES, PLANES, aircraft, block, drawn
from tests.core.interference.scenes import box, check, clearance_of, motion_of, only_contact, still

TWO_PLANES = [(one, other) for one in PLANES for other in PLANES if one != other]


def pairs_of(project):
    return checked_pairs(project, parts_of(project)).across


# ---- which pairs -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("plane", PLANES)
def test_planes_draw_what_the_format_says(plane):
    assert drawn_axes(plane) == AXES[plane]
    assert drawn_axes("other") is None


def test_only_parts_in_different_planes_are_paired_across():
    unit = ((0, 0, 0), (1, 1, 1))
    bodies = [block("leg", "side", unit), block("door", "front", unit), block("collar", "plan", unit)]
    apart = drawn("scheme", "apart", box(0, 0, 1, 1), depth=(0, 1))
    again = drawn("variant", "again", box(0, 0, 1, 1), depth=(0, 1))
    project = aircraft(*bodies, apart, again)
    across = pairs_of(project)
    found = {frozenset(pair) for pair in across.pairs.ids}
    assert found == {
        frozenset(pair)
        for pair in [("leg", "door"), ("leg", "collar"), ("door", "collar"), ("variant", "door"), ("variant", "collar")]
    }
    views = {body.id: body.view for body in project.bodies}
    for ids, view, other in zip(across.pairs.ids, across.pairs.views, across.other_views, strict=True):
        assert (view, other) == (views[ids[0]], views[ids[1]])


def test_two_fixed_bodies_are_not_checked():
    unit = ((0, 0, 0), (1, 1, 1))
    assert not len(
        pairs_of(aircraft(block("bay", "side", unit, fixed=True), block("frame", "front", unit, fixed=True)))
    )
    assert len(pairs_of(aircraft(block("bay", "side", unit, fixed=True), block("door", "front", unit))))


def test_rules_hold_across_views():
    unit, beside = ((0, 0, 0), (1, 1, 1)), ((3, 0, 0), (4, 1, 1))
    bodies = block("leg", "side", unit), block("door", "front", beside)
    ignored = PairRule(bodies=("door", "leg"), rule="ignore", why="drawn twice")
    assert not len(pairs_of(aircraft(*bodies, pairs=(ignored,))))
    asked = PairRule(bodies=("door", "leg"), rule="check", clearance=2.5)
    assert pairs_of(aircraft(*bodies, pairs=(asked,))).pairs.wanted.tolist() == [2.5]
    assert pairs_of(aircraft(*bodies, least_clearance=0.7)).pairs.wanted.tolist() == [0.7]


def test_a_part_without_a_depth_is_left_out_and_told():
    leg = drawn("leg", "side", box(0, 0, 1, 1))
    door = block("door", "front", ((0, 0, 0), (1, 1, 1)))
    motion = motion_of({"leg": still, "door": still}, seconds=0.0)
    found = check(aircraft(leg, door), motion)
    assert found.without_depth == ("leg",)
    assert found.pairs == found.contacts == found.clearances == ()


def test_a_rule_has_a_part_without_a_depth_checked_as_filling_it_all():
    leg = drawn("leg", "side", box(0, 0, 1, 1))
    door = block("door", "front", ((0, 50, 0), (1, 51, 1)))
    rule = PairRule(bodies=("leg", "door"), rule="check")
    motion = motion_of({"leg": still, "door": still}, seconds=0.0)
    found = check(aircraft(leg, door, pairs=(rule,)), motion)
    assert found.without_depth == ()
    assert only_contact(found).depth == pytest.approx(1.0)


# ---- boxes in closed form --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("one", "other"), TWO_PLANES)
def test_boxes_meet_as_boxes_do(one, other):
    """The gap of two boxes is the hypotenuse of the gaps along the axes; the way out the shortest along one of them."""
    random = np.random.default_rng(5)
    touched = 0
    for _ in range(60):
        low, size = random.integers(-9, 6, (2, 3)).astype(float), random.integers(1, 9, (2, 3))
        high = low + size
        project = aircraft(block("leg", one, (low[0], high[0])), block("door", other, (low[1], high[1])))
        found = check(project, motion_of({"leg": still, "door": still}, seconds=0.0))
        apart = np.maximum(np.maximum(low[0] - high[1], low[1] - high[0]), 0.0)
        lap = np.minimum(high[0], high[1]) - np.maximum(low[0], low[1])
        if (lap > 0.0).all():
            touched += 1
            contact = only_contact(found)
            assert contact.depth == pytest.approx(np.minimum(high[0] - low[1], high[1] - low[0]).min())
            for view, area in ((one, contact.area), (other, contact.other_area)):
                assert area == pytest.approx(lap[AXES[view][0]] * lap[AXES[view][1]])
        else:
            assert found.contacts == ()
            if np.hypot.reduce(apart) <= 10.0:
                clearance = clearance_of(found, "leg", "door")
                assert clearance.least == pytest.approx(np.hypot.reduce(apart), abs=1e-12)
    assert touched >= 2


def test_faces_that_lie_against_each_other_are_no_clash():
    leg = block("leg", "side", ((0, 0, 0), (10, 2, 10)))
    for beside in (((10, 0, 0), (12, 2, 10)), ((0, 2, 0), (10, 4, 10)), ((0, 0, 10), (10, 2, 12))):
        project = aircraft(leg, block("door", "front", beside))
        found = check(project, motion_of({"leg": still, "door": still}))
        assert found.contacts == ()
        assert clearance_of(found, "leg", "door").least == 0.0
        assert overlaps_across(parts_of(project), pairs_of(project), np.zeros((2, 3))) == ()


def test_a_ring_lets_through_what_passes_its_hole():
    """A rod in the side view runs through a hole of a frame in the front view: 1 mm to spare all round."""
    hole = ((-4, -4), (4, -4), (4, 4), (-4, 4))
    frame = drawn(
        "frame",
        "front",
        Polygon(points=((-9, -9), (9, -9), (9, 9), (-9, 9)), holes=(hole,)),
        depth=(40, 42),
        fixed=True,
    )
    through = drawn("rod", "side", box(0, -3, 100, 3), depth=(-3, 3))
    found = check(aircraft(frame, through), motion_of({"frame": still, "rod": still}, seconds=0.0))
    assert found.contacts == ()
    assert clearance_of(found, "frame", "rod").least == pytest.approx(1.0)
    found = check(aircraft(frame, through), motion_of({"frame": still, "rod": lambda _: (0.0, 3.0, 0.0)}, seconds=0.0))
    contact = only_contact(found)
    assert contact.depth == pytest.approx(2.0)
    assert contact.other_area == pytest.approx(2.0 * 2.0)


def test_a_body_of_two_pieces_meets_with_either():
    """Two lugs in the front view, at waterlines 0 to 2 and 8 to 10; a bar between them touches one or the other."""
    lugs = drawn("lugs", "front", box(-3, 0, 3, 2), box(-3, 8, 3, 10), depth=(0, 5), fixed=True)
    bar = drawn("bar", "side", box(-20, 3.5, 20, 5.5), depth=(-1, 1))
    for rise, least in ((0.0, 1.5), (1.0, 1.5), (2.0, 0.5)):
        motion = motion_of({"lugs": still, "bar": lambda _, rise=rise: (0.0, rise, 0.0)}, seconds=0.0)
        assert clearance_of(check(aircraft(lugs, bar), motion), "lugs", "bar").least == pytest.approx(least)
    for rise, depth in ((-2.0, 0.5), (3.5, 1.0)):
        motion = motion_of({"lugs": still, "bar": lambda _, rise=rise: (0.0, rise, 0.0)}, seconds=0.0)
        assert only_contact(check(aircraft(lugs, bar), motion)).depth == pytest.approx(depth)


# ---- over a motion ---------------------------------------------------------------------------------------------------


def door_and_leg(frames: int):
    """A leg, a bar 40 mm long and 4 wide, swings up in the side view about (0, 0), through 90 degrees in a second. A
    door, 30 mm wide and 1 thick, hangs from a hinge at buttock line 10, waterline -8, between stations 10 and 30; it
    opens in the front view, from 0.5 s on."""
    leg = drawn("leg", "side", box(-2, -40, 2, 0), depth=(-3, 3))
    door = drawn("door", "front", box(-20, -9, 10, -8), depth=(10, 30))
    hinge = (10.0, -8.0)

    def opening(times):
        angle = -math.radians(80.0) * np.clip((times - 0.5) / 0.25, 0.0, 1.0)
        cosine, sine = np.cos(-angle), np.sin(-angle)
        return hinge[0] - cosine * hinge[0] + sine * hinge[1], hinge[1] - sine * hinge[0] - cosine * hinge[1], -angle

    paths = {"leg": lambda t: (0.0, 0.0, 0.5 * math.pi * t), "door": opening}
    return aircraft(leg, door), motion_of(paths, frames=frames, landmarks=(0.5, 0.75))


@pytest.mark.parametrize("frames", [3, 8, 200])
def test_a_leg_that_swings_through_a_shut_door(frames):
    """The leg's front face, 2 mm from its pivot, comes to the shut door's near lower edge (10, -9) when the leg has
    turned by atan2(10, 9) - asin(2 / hypot(10, 9)). Later the door opens upon it."""
    project, motion = door_and_leg(frames)
    contact = only_contact(check(project, motion))
    turn = math.atan2(10.0, 9.0) - math.asin(2.0 / math.hypot(10.0, 9.0))
    assert contact.begin == pytest.approx(turn / (0.5 * math.pi), abs=1e-4)
    assert contact.parts == ("leg", "door")
    assert (contact.view, contact.other_view) == ("side", "front")
    assert 10.0 < contact.at[0] < 30.0
    assert contact.other_at is not None
    assert abs(contact.other_at[0]) < 3.0


def test_the_clash_is_shown_in_both_views():
    project, motion = door_and_leg(61)
    parts, pairs = parts_of(project), checked_pairs(project, parts_of(project))
    contact = only_contact(interfere(parts, pairs, motion))
    poses = motion.poses_at(np.array([contact.worst]))[0]
    shown = overlaps_in_all_views(parts, pairs, poses)
    assert {overlap.view: overlap.area.area for overlap in shown} == {
        "side": pytest.approx(contact.area),
        "front": pytest.approx(contact.other_area),
    }
    assert all(overlap.parts == ("leg", "door") for overlap in shown)
    by_view = {overlap.view: overlap for overlap in shown}
    low, high = by_view["side"].area.bounds[1::2], by_view["front"].area.bounds[1::2]
    assert low == pytest.approx(high)  # they share the waterline
    assert by_view["side"].area.bounds[0] >= 10.0 - 1e-9
    assert np.abs(by_view["front"].area.bounds[0::2]).max() <= 3.0 + 1e-9


def test_a_blade_passes_a_post_between_frames():
    """A blade of 0.05 mm in the side view crosses a post of 0.05 mm in the plan within a seventh of a frame."""
    blade = drawn("door", "side", box(-0.025, -5, 0.025, 5), depth=(-5, 5))
    post = drawn("link", "plan", box(19.975, -0.025, 20.025, 0.025), depth=(-1, 1), fixed=True)
    speed = 137.0
    motion = motion_of({"door": lambda t: (speed * (t - 0.5), 0.0, 0.0), "link": still}, frames=7)
    contact = only_contact(check(aircraft(blade, post), motion))
    assert (contact.begin, contact.end) == pytest.approx((0.5 + 19.95 / speed, 0.5 + 20.05 / speed), abs=2e-5)
    assert contact.depth == pytest.approx(0.05, abs=1e-3)


def test_a_least_clearance_between_frames_is_found_and_proved():
    """A disc in the front view passes under a bar in the side view: nearest at 0.37 s, 0.25 mm."""
    bar = drawn("leg", "side", box(0, 0, 50, 4), depth=(-2, 2), fixed=True)
    disc = drawn("wheel", "front", Circle(centre=(0, 0), radius=5), depth=(20, 24))
    motion = motion_of(
        {"leg": still, "wheel": lambda t: (100.0 * (t - 0.37), -5.25 - 40.0 * (t - 0.37) ** 2, 0.0)}, frames=5
    )
    clearance = clearance_of(check(aircraft(bar, disc), motion), "leg", "wheel")
    assert clearance.least == pytest.approx(0.25, abs=0.003)
    assert clearance.proved
    assert (clearance.view, clearance.other_view) == ("side", "front")
    (on_bar, on_disc), (there, on_disc_there) = clearance.points, clearance.other_points
    assert on_bar[1] == pytest.approx(0.0) == pytest.approx(there[1])
    assert on_disc[1] == on_disc_there[1] == pytest.approx(-0.25, abs=0.003)
    assert 20.0 <= on_disc[0] <= 24.0
    assert abs(on_disc_there[0]) <= 2.5


def test_what_is_held_at_its_last_good_pose_is_not_called_proved():
    project, _ = door_and_leg(21)
    motion = motion_of({"leg": still, "door": still}, held=lambda times: times > 0.5)
    far = clearance_of(check(project, motion), "leg", "door")
    assert far.least == pytest.approx(8.0)
    assert not far.proved


def test_a_rod_is_checked_across_views_with_its_depth():
    rod = Rod(id="rod", bodies=("leg", "arm"), ends=((0, 0), (30, 0)), width=2.0, depth=(-1, 1))
    bodies = (
        drawn("leg", "side", Circle(centre=(0, 0), radius=2)),
        drawn("arm", "side", Circle(centre=(30, 0), radius=2)),
    )
    door = block("door", "front", ((14, -5, 0.5), (16, 5, 3)))
    project = aircraft(*bodies, door, connections=(rod,))
    found = check(project, motion_of({"leg": still, "arm": still, "door": still}, seconds=0.0))
    assert only_contact(found).parts == ("door", "rod")
    assert only_contact(found).depth == pytest.approx(0.5)
    assert found.without_depth == ("leg", "arm")


def test_pairs_within_views_and_across_them_come_in_one_result():
    project, motion = door_and_leg(21)
    beside = drawn("hook", "side", box(-3, -3, 3, 3), depth=(-1, 1))
    both = aircraft(*project.bodies, beside)
    paths = {body.id: (lambda t, n=n: tuple(motion.poses_at(t)[:, n].T)) for n, body in enumerate(project.bodies)}
    found = check(both, motion_of({**paths, "hook": still}, frames=21))
    assert found.pairs == (("leg", "hook"), ("leg", "door"), ("door", "hook"))
    assert found.touching.shape == found.gaps.shape == (3, 21)
    assert found.touching[0].all()
    assert [contact.other_view for contact in found.contacts] == [None, "front"]
    touching = found.touching[1]
    assert touching.any()
    assert (found.gaps[1][touching] == 0.0).all()


def test_a_check_across_views_can_be_stopped():
    project, motion = door_and_leg(21)
    parts = parts_of(project)
    with pytest.raises(CheckCancelled):
        interfere(parts, checked_pairs(project, parts), motion, cancelled=lambda: True)
