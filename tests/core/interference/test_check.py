"""Whole checks of motions made by hand, against closed forms and rules."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from core.document.project import Circle, Jack, PairRule, Pivot, Polygon, Rod
from core.errors import CheckCancelled, SenselessRequest
from core.interference.check import NEAR, gap_curve, interfere
from core.interference.interference import Overlap
from core.interference.overlap import KeptOverlaps, overlaps_at
from core.interference.pairs import checked_pairs
from core.interference.placement import parts_of
from tests.core.interference.scenes import body, box, check, clearance_of, motion_of, only_contact, project_of, still

WALL = body("wall", box(0, -50, 10, 50), fixed=True)
WHEEL = body("wheel", Circle(centre=(-20, 0), radius=5))


def moving(speed_x: float = 0.0, speed_y: float = 0.0, turn: float = 0.0):
    return lambda times: (speed_x * times, speed_y * times, turn * times)


def swinging(pivot, turn: float, seconds: float = 1.0):
    """Steadily about a point, by `turn` radians in all."""

    def path(times):
        angle = turn * times / seconds
        x = pivot[0] - np.cos(angle) * pivot[0] + np.sin(angle) * pivot[1]
        y = pivot[1] - np.sin(angle) * pivot[0] - np.cos(angle) * pivot[1]
        return x, y, angle

    return path


@pytest.mark.parametrize("frames", [2, 7, 101, 600])
def test_a_wheel_meets_a_wall_when_its_rim_does(frames):
    """Rim to wall 15 mm at 24 mm/s; all of it in the wall after 25 mm."""
    found = check(project_of(WALL, WHEEL), motion_of({"wall": still, "wheel": moving(24.0)}, frames=frames))
    contact = only_contact(found)
    assert contact.begin == pytest.approx(15.0 / 24.0, abs=1e-4)
    assert contact.end == 1.0
    assert contact.worst == pytest.approx(1.0, abs=1e-3)
    into = 9.0  # mm at the end: a segment of the disc
    segment = 25.0 * math.acos((5.0 - into) / 5.0) - (5.0 - into) * math.sqrt(10.0 * into - into**2)
    assert contact.area == pytest.approx(segment, rel=1e-3)
    assert contact.depth == pytest.approx(into, abs=1e-6)
    assert clearance_of(found, "wall", "wheel").least == 0.0
    assert clearance_of(found, "wall", "wheel").proved


@pytest.mark.parametrize("frames", [5, 101])
def test_a_swung_door_meets_a_post_at_the_angle_between_them(frames):
    """A door's upper face, through its hinge, meets a post's corner at atan2 of the corner."""
    door = body("door", box(0, -1, 30, 0))
    post = body("post", box(-30, 20, 20, 22), fixed=True)  # its lower right corner at (20, 20)
    motion = motion_of({"door": swinging((0, 0), math.radians(60)), "post": still}, frames=frames)
    contact = only_contact(check(project_of(door, post), motion))
    assert contact.begin == pytest.approx(45.0 / 60.0, abs=1e-4)


def test_contact_that_opens_again_has_an_end():
    """Out along x as 20 sin(pi t): the rim, 15 mm away, is in the wall while sin(pi t) > 0.75."""
    path = lambda times: (20.0 * np.sin(np.pi * times), 0.0, 0.0)  # noqa: E731
    contact = only_contact(check(project_of(WALL, WHEEL), motion_of({"wall": still, "wheel": path})))
    begin = math.asin(0.75) / math.pi
    assert (contact.begin, contact.end) == pytest.approx((begin, 1.0 - begin), abs=1e-4)
    assert contact.worst == pytest.approx(0.5, abs=1e-3)
    assert contact.depth == pytest.approx(5.0, abs=1e-4)
    assert contact.at[0] == pytest.approx(2.5, abs=2.5)


def test_a_pair_that_overlaps_from_the_start_begins_at_the_start():
    stuck = body("wheel", Circle(centre=(-4, 0), radius=5))
    contact = only_contact(check(project_of(WALL, stuck), motion_of({"wall": still, "wheel": moving(-10.0)})))
    assert contact.begin == 0.0
    assert contact.end == pytest.approx(0.1, abs=1e-4)


def test_a_pair_that_never_moves_is_in_contact_all_along():
    stuck = body("wheel", Circle(centre=(-4, 0), radius=5))
    found = check(project_of(WALL, stuck), motion_of({"wall": still, "wheel": still}))
    assert (only_contact(found).begin, only_contact(found).end) == (0.0, 1.0)
    assert found.touching.all()


def test_a_sequence_that_takes_no_time_is_one_frame():
    stuck = body("wheel", Circle(centre=(-4, 0), radius=5))
    near = body("door", Circle(centre=(-5.75, 20), radius=5))
    found = check(project_of(WALL, stuck, near), motion_of({"wall": still, "wheel": still, "door": still}, seconds=0.0))
    assert only_contact(found).parts == ("wall", "wheel")
    assert (only_contact(found).begin, only_contact(found).end) == (0.0, 0.0)
    assert found.touching.tolist() == [[True], [False], [False]]
    assert clearance_of(found, "wall", "door").least == pytest.approx(0.75, abs=1e-3)
    assert clearance_of(found, "wall", "door").proved


def test_least_clearance_is_found_between_frames():
    """Nearest, 0.4 mm, at t = 0.3713, which is no frame of seven."""
    path = lambda times: (14.6 - 30.0 * (times - 0.3713) ** 2, 5.0 * times, 0.0)  # noqa: E731
    found = check(project_of(WALL, WHEEL, least_clearance=0.5), motion_of({"wall": still, "wheel": path}, frames=7))
    clearance = clearance_of(found, "wall", "wheel")
    assert clearance.least == pytest.approx(0.4, abs=1e-4)
    assert clearance.time == pytest.approx(0.3713, abs=1e-3)
    assert clearance.points[0] == pytest.approx((0.0, 5.0 * 0.3713), abs=0.25)  # the rim is flat over half of that
    assert clearance.points[1][0] == pytest.approx(-0.4, abs=1e-3)
    assert clearance.wanted == 0.5
    assert clearance.proved
    assert found.contacts == ()


@pytest.mark.parametrize("width", [0.05, 0.5])
@pytest.mark.parametrize("frames", [2, 7, 13])
def test_a_thin_blade_is_not_lost_between_frames(frames, width):
    """A blade swings past a thin post: they meet for a few thousandths of the sequence."""
    blade = body("blade", box(0, -width / 2, 40, width / 2))
    post = body("post", box(37, -width / 2, 37 + width, width / 2), fixed=True)
    swing = lambda times: (0.0, 0.0, math.radians(170.0) * times - math.radians(70.3))  # noqa: E731
    motion = motion_of({"blade": swing, "post": still}, frames=frames)
    contact = only_contact(check(project_of(blade, post), motion))
    middle = 70.3 / 170.0
    assert contact.begin < middle < contact.end
    assert contact.end - contact.begin == pytest.approx(2.0 * math.degrees(width / 37.0) / 170.0, rel=0.1)
    assert contact.worst == pytest.approx(middle, abs=1e-4)


def test_a_clash_inside_one_step_between_two_frames_is_found():
    """There and back between two frames: only the steps' own beginnings and ends give it away."""

    def dash(times):
        phase = np.clip((times - 0.41) / 0.04, 0.0, 1.0)
        return 22.0 * (1.0 - np.abs(2.0 * phase - 1.0)), 0.0, 0.0

    motion = motion_of({"wall": still, "wheel": dash}, frames=3, landmarks=(0.41, 0.43, 0.45))
    contact = only_contact(check(project_of(WALL, WHEEL), motion))
    assert contact.begin == pytest.approx(0.41 + 0.02 * 15.0 / 22.0, abs=1e-4)
    assert contact.end == pytest.approx(0.45 - 0.02 * 15.0 / 22.0, abs=1e-4)
    assert contact.depth == pytest.approx(7.0, abs=1e-3)


def test_two_touches_are_two_contacts():
    path = lambda times: (16.0 * np.sin(3.0 * np.pi * times), 0.0, 0.0)  # noqa: E731
    found = check(project_of(WALL, WHEEL), motion_of({"wall": still, "wheel": path}, frames=7))
    assert [contact.parts for contact in found.contacts] == [("wall", "wheel")] * 2
    begin = math.asin(15.0 / 16.0) / (3.0 * math.pi)
    assert found.contacts[0].begin == pytest.approx(begin, abs=1e-4)
    assert found.contacts[1].end == pytest.approx(1.0 - begin, abs=1e-4)


def test_faces_that_slide_along_each_other_do_not_clash_and_are_not_proved():
    block = body("block", box(-8, -10, 0, 10))
    found = check(project_of(WALL, block), motion_of({"wall": still, "block": moving(0.0, 20.0)}))
    assert found.contacts == ()
    clearance = clearance_of(found, "wall", "block")
    assert clearance.least == pytest.approx(0.0, abs=1e-9)
    assert not clearance.proved


def test_faces_that_slide_along_each_other_while_both_turn_do_not_clash():
    """Flush contact in any position: rounding alone makes the outlines intersect in most."""
    one, other = body("one", box(0, 0, 30, 5)), body("other", box(0, 5, 30, 9))
    path = swinging((-40, 3), 2.0)

    def slid(times):
        x, y, angle = path(times)
        return x + 7.0 * times * np.cos(angle), y + 7.0 * times * np.sin(angle), angle

    assert check(project_of(one, other), motion_of({"one": path, "other": slid})).contacts == ()


def test_a_wheel_that_turns_in_its_own_fitting_hole_does_not_clash():
    ring = ((-8.0, 0.0, 1.0), (8.0, 0.0, 1.0))
    hub = body("hub", Polygon(points=((-20, -20), (20, -20), (20, 20), (-20, 20)), holes=(ring,)), fixed=True)
    pin = body("pin", Circle(centre=(0, 0), radius=8.0))
    assert check(project_of(hub, pin), motion_of({"hub": still, "pin": moving(turn=5.0)})).contacts == ()


HUB_HOLES = tuple(((x - 1.0, y, 1.0), (x + 1.0, y, 1.0)) for x, y in ((-20.0, 3.0), (-20.0, -3.0)))
SPINNING = Polygon(points=((-26.0, 0.0, 1.0), (-14.0, 0.0, 1.0)), holes=HUB_HOLES)


def spinning(speed: float):
    """About (-20, 0) while that goes along x."""

    def path(times):
        angle = 90.0 * times
        return -20.0 + 20.0 * np.cos(angle) + speed * times, 20.0 * np.sin(angle), angle

    return path


def test_a_spinning_wheel_comes_no_nearer_than_a_still_one():
    """Proved, though a point of its rim goes half a metre round."""
    project = project_of(WALL, body("wheel", SPINNING), least_clearance=0.5)
    found = check(project, motion_of({"wall": still, "wheel": spinning(13.6)}, frames=101))
    clearance = clearance_of(found, "wall", "wheel")
    assert clearance.least == pytest.approx(0.4, abs=0.005)
    assert clearance.proved
    clash = only_contact(check(project, motion_of({"wall": still, "wheel": spinning(20.0)}, frames=101)))
    assert clash.begin == pytest.approx(14.0 / 20.0, abs=2e-4)
    assert clash.depth == pytest.approx(6.0, abs=0.005)


def test_the_area_of_a_clash_leaves_out_the_holes_of_a_wheel_as_they_stand():
    """Pushed 13 mm into a thick wall the wheel is all in it: a disc of 6 mm less two holes of 1 mm."""
    thick = body("wall", box(0, -50, 20, 50), fixed=True)
    project = project_of(thick, body("wheel", SPINNING))
    clash = only_contact(check(project, motion_of({"wall": still, "wheel": spinning(27.0)}, frames=101)))
    assert clash.area == pytest.approx(math.pi * (36.0 - 2.0), rel=2e-3)


def test_a_peg_in_a_hole_of_a_wheel_is_not_in_the_wheel():
    peg = body("peg", Circle(centre=(-20.0, 3.0), radius=0.6))
    project = project_of(body("wheel", SPINNING), peg)
    found = check(project, motion_of({"wheel": spinning(0.0), "peg": spinning(0.0)}))
    assert found.contacts == ()
    assert clearance_of(found, "wheel", "peg").least == pytest.approx(0.4, abs=0.005)
    fixed = check(project, motion_of({"wheel": spinning(0.0), "peg": still}))
    assert len(fixed.contacts) > 1


def test_gaps_are_measured_at_every_frame_that_is_near():
    found = check(project_of(WALL, WHEEL), motion_of({"wall": still, "wheel": moving(24.0)}, frames=241))
    apart = 15.0 - 24.0 * np.linspace(0.0, 1.0, 241)
    distance = np.maximum(apart, 0.0)
    gaps = found.gaps[0]
    assert not np.isnan(gaps[distance <= NEAR]).any()
    measured = ~np.isnan(gaps)
    assert gaps[measured] == pytest.approx(distance[measured], abs=1e-9)
    assert found.touching[0].tolist() == (apart < -1e-6).tolist()


def test_the_curve_of_one_pair_is_whole_however_far_it_is():
    project = project_of(WALL, WHEEL)
    parts = parts_of(project)
    pairs = checked_pairs(project, parts)
    curve = gap_curve(parts, pairs, motion_of({"wall": still, "wheel": moving(24.0)}, frames=25), ("wall", "wheel"))
    assert curve == pytest.approx(np.maximum(15.0 - np.arange(25.0), 0.0), abs=1e-9)
    with pytest.raises(SenselessRequest, match="door"):
        gap_curve(parts, pairs, motion_of({"wall": still, "wheel": still}), ("wall", "door"))


def test_pairs_out_of_sight_are_not_measured():
    far = body("wheel", Circle(centre=(-200, 0), radius=5))
    found = check(project_of(WALL, far), motion_of({"wall": still, "wheel": moving(24.0)}))
    assert found.pairs == (("wall", "wheel"),)
    assert np.isnan(found.gaps).all()
    assert found.clearances == ()


def test_a_clearance_is_not_proved_while_a_part_is_held():
    held = motion_of({"wall": still, "wheel": moving(10.0)}, held=lambda times: times > 0.8)
    assert not clearance_of(check(project_of(WALL, WHEEL), held), "wall", "wheel").proved
    free = motion_of({"wall": still, "wheel": moving(10.0)})
    assert clearance_of(check(project_of(WALL, WHEEL), free), "wall", "wheel").proved


def test_a_part_that_jumps_is_not_proved():
    jump = lambda times: (np.where(times > 0.5123, 10.0, 2.0), 0.0, 0.0)  # noqa: E731
    clearance = clearance_of(check(project_of(WALL, WHEEL), motion_of({"wall": still, "wheel": jump})), "wall", "wheel")
    assert clearance.least == pytest.approx(5.0, abs=1e-6)
    assert not clearance.proved


def test_poses_that_are_no_numbers_are_passed_over():
    def lost(times):
        return np.where(times > 0.5, np.nan, 24.0 * times), 0.0, 0.0

    found = check(project_of(WALL, WHEEL), motion_of({"wall": still, "wheel": lost}))
    assert found.contacts == ()
    assert not found.touching.any()
    assert all(not clearance.proved for clearance in found.clearances)


def test_parts_of_one_jack_speak_with_one_voice():
    """The barrel reaches into the wall first and the piston rod's eye later; the contact is one."""
    frame = body("frame", box(-60, -2, -50, 2), fixed=True)
    lug = body("lug", box(-22, -2, -20, 2))
    jack = Jack(id="jack", bodies=("frame", "lug"), ends=((-50, 0), (-21, 0)), closed=25, stroke=40, barrel=6, rod=3)
    wall = body("wall", box(0, -50, 10, 50))
    project = project_of(
        frame, lug, wall, connections=(jack,), pairs=(PairRule(bodies=("lug", "wall"), rule="ignore", why="not asked"),)
    )
    motion = motion_of({"frame": still, "lug": still, "wall": moving(-40.0)})
    found = check(project, motion)
    of_jack = [contact for contact in found.contacts if contact.parts == ("wall", "jack")]
    assert len(of_jack) == 1
    assert of_jack[0].begin == pytest.approx(19.5 / 40.0, abs=1e-4)  # the eye, 1.5 mm about its pin


def test_a_rod_clashes_as_the_bar_it_is():
    """A rod between a fixed lug and a moving one; its round end leads by half its width."""
    lug, slider = body("lug", box(-61, -1, -59, 1), fixed=True), body("slider", box(-21, -1, -20.9, 1))
    rod = Rod(id="rod", bodies=("lug", "slider"), ends=((-60, 0), (-21, 0)), width=4.0)
    wall = body("wall", box(0, -50, 10, 50))
    ignore = PairRule(bodies=("slider", "wall"), rule="ignore", why="not asked")
    project = project_of(lug, slider, wall, connections=(rod,), pairs=(ignore,))
    motion = motion_of({"lug": still, "slider": still, "wall": moving(-40.0)})
    contact = next(contact for contact in check(project, motion).contacts if "rod" in contact.parts)
    assert contact.begin == pytest.approx(19.0 / 40.0, abs=1e-4)


def test_beyond_the_hinge_is_checked_and_at_the_hinge_is_not():
    """A door on a hinge laps its frame within 4 mm of the pin; its far end meets a stop on the frame at 50 degrees."""
    ear = box(-3, -3, 3, 3)
    stop = (30 * math.cos(math.radians(50)), 30 * math.sin(math.radians(50)))
    peg = Polygon(points=((stop[0], stop[1]), (stop[0] - 4, stop[1] + 1), (stop[0] - 3, stop[1] + 4)))
    frame = body("frame", ear, peg, fixed=True)
    door = body("door", Polygon(points=((-2, -2), (40, -2), (40, 0), (0, 0), (-2, 2))))
    hinge = Pivot(id="hinge", bodies=("frame", "door"), at=(0, 0))
    motion = motion_of({"frame": still, "door": swinging((0, 0), math.radians(60))})
    assert check(project_of(frame, door, connections=(hinge,)), motion).pairs == ()
    near = PairRule(bodies=("frame", "door"), rule="check")
    everything = check(project_of(frame, door, connections=(hinge,), pairs=(near,)), motion)
    assert only_contact(everything).begin == 0.0
    beyond = PairRule(bodies=("frame", "door"), rule="check", beyond=6.0)
    contact = only_contact(check(project_of(frame, door, connections=(hinge,), pairs=(beyond,)), motion))
    assert contact.begin == pytest.approx(50.0 / 60.0, abs=1e-3)


def test_overlaps_at_a_moment_agree_with_the_contacts():
    project = project_of(WALL, WHEEL)
    parts = parts_of(project)
    pairs = checked_pairs(project, parts)
    motion = motion_of({"wall": still, "wheel": moving(24.0)})
    assert overlaps_at(parts, pairs, motion.poses[30]) == ()
    (overlap,) = overlaps_at(parts, pairs, motion.poses[100])
    contact = only_contact(check(project, motion))
    assert overlap.parts == ("wall", "wheel")
    assert overlap.area.area == pytest.approx(contact.area)
    assert overlap.depth == pytest.approx(contact.depth)
    assert overlap.at == pytest.approx(contact.at, abs=1e-6)


def test_overlaps_of_one_moment_are_known_in_the_next_and_then_forgotten():
    project = project_of(WALL, body("wheel", Circle(centre=(-4, 0), radius=5)), body("door", box(-3, -3, 3, 3)))
    parts = parts_of(project)
    pairs, kept = checked_pairs(project, parts), KeptOverlaps()
    here, there = np.zeros((3, 3)), np.zeros((3, 3))
    there[1, 0] = 0.5  # the wheel's, and what the door and the wall have in common stays

    def at(poses: np.ndarray) -> dict[tuple[str, str], Overlap]:
        found = overlaps_at(parts, pairs, poses, kept)
        assert found == overlaps_at(parts, pairs, poses)
        return {one.parts: one for one in found}

    first, again, moved, back = at(here), at(here.copy()), at(there), at(here)
    assert len(first) == 3
    assert all(again[pair] is first[pair] for pair in first)
    assert all((moved[pair] is first[pair]) is ("wheel" not in pair) for pair in first)
    assert all((back[pair] is first[pair]) is ("wheel" not in pair) for pair in first)


def test_a_small_clash_is_not_lost_beside_a_long_fit():
    """A tooth a tenth of a millimetre deep, on a face that lies along the other for 200 mm and overlaps it by 0.002."""
    one = body("one", box(0, -10, 200, 0))
    face = ((0.0, -0.002), (90.0, -0.002), (90.5, 0.05), (91.0, -0.1), (91.5, 0.05), (92.0, -0.002), (200.0, -0.002))
    other = body("other", Polygon(points=(*face, (200.0, 10.0), (0.0, 10.0))))
    project = project_of(one, other)
    motion = motion_of({"one": still, "other": still}, seconds=0.0)
    assert only_contact(check(project, motion)).depth == pytest.approx(0.1, abs=1e-6)
    parts = parts_of(project)
    (overlap,) = overlaps_at(parts, checked_pairs(project, parts), motion.poses[0])
    assert overlap.depth == pytest.approx(0.1, abs=1e-6)
    assert 90.5 < overlap.at[0] < 91.5 or overlap.area.geom_type == "MultiPolygon"


def test_an_overlap_is_drawn_without_the_lines_where_faces_only_touch():
    step = Polygon(points=((0, 0), (10, 0), (10, 10), (5, 10), (5, 8), (0, 8)))
    project = project_of(body("one", step), body("other", box(0, 8, 7, 12)))
    parts = parts_of(project)
    motion = motion_of({"one": still, "other": still}, seconds=0.0)
    (overlap,) = overlaps_at(parts, checked_pairs(project, parts), motion.poses[0])
    assert overlap.area.geom_type == "Polygon"
    assert overlap.area.area == pytest.approx(4.0)


def test_a_check_stops_when_it_is_told_to():
    project = project_of(WALL, WHEEL)
    parts = parts_of(project)
    with pytest.raises(CheckCancelled):
        interfere(
            parts,
            checked_pairs(project, parts),
            motion_of({"wall": still, "wheel": moving(24.0)}),
            cancelled=lambda: True,
        )


def test_nothing_to_check_is_nothing_found():
    found = check(project_of(WALL), motion_of({"wall": still}))
    assert found.pairs == ()
    assert found.contacts == found.clearances == ()
    assert found.touching.shape == (0, 101)


def test_a_lost_body_does_not_hide_the_overlaps_of_others():
    project = project_of(WALL, body("wheel", Circle(centre=(-4, 0), radius=5)), body("door", box(-3, -3, 3, 3)))
    parts = parts_of(project)
    poses = np.zeros((3, 3))
    poses[2] = np.nan
    assert [overlap.parts for overlap in overlaps_at(parts, checked_pairs(project, parts), poses)] == [
        ("wall", "wheel")
    ]


def test_a_project_without_bodies_has_no_parts_and_no_overlaps():
    project = project_of()
    parts = parts_of(project)
    pairs = checked_pairs(project, parts)
    assert (len(parts), len(pairs)) == (0, 0)
    assert overlaps_at(parts, pairs, np.zeros((0, 3))) == ()
    assert check(project, motion_of({})).pairs == ()


def test_gaps_are_exact_at_every_frame_of_a_very_long_motion():
    # Against GEOS at each frame; by far not all frames are moments of the track.
    def swing(times):
        return 0.0, 0.0, 0.3 * np.sin(9.0 * times)

    def slide(times):
        return 6.0 * times, 0.0, 0.0

    arm, post, sled = box(0, -1, 30, 1), box(20, 7.05, 22, 15), box(28, 8.5, 30, 12)
    project = project_of(body("arm", arm), body("post", post, fixed=True), body("sled", sled), least_clearance=1.0)
    motion = motion_of({"arm": swing, "post": still, "sled": slide}, frames=4001)
    found = check(project, motion)
    assert len(found.track.left) > 3000
    posed = {
        name: [
            shapely.transform(polygon, lambda at, pose=pose: _turned(at, *pose))
            for pose in motion.poses[:, motion.bodies.index(name)]
        ]
        for name, polygon in (("arm", _outline(arm)), ("post", _outline(post)), ("sled", _outline(sled)))
    }
    near = 0
    for (one, other), gaps, touching in zip(found.pairs, found.gaps, found.touching, strict=True):
        exact = shapely.distance(posed[one], posed[other])
        close = (exact < 1.5) & ~touching
        near += int(close.sum())
        np.testing.assert_allclose(gaps[close], exact[close], atol=1e-9)
        assert np.all(exact[touching] == 0.0)
        assert np.all(np.isnan(gaps[exact > 1.6]))
    assert near > 400


def _outline(shape):
    return shapely.Polygon(shape.points)


def _turned(at, x, y, turn):
    cosine, sine = np.cos(turn), np.sin(turn)
    return np.stack([cosine * at[:, 0] - sine * at[:, 1] + x, sine * at[:, 0] + cosine * at[:, 1] + y], axis=-1)
