"""A check that takes over from an earlier one what has not changed answers as one that is made anew."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.joint_edits import MoveEnd
from core.document.project import Move, Project
from core.document.project_file import read_project
from core.interference.check import interfere
from core.interference.earlier import Checked
from core.interference.interference import Interference
from core.interference.pairs import checked_pairs
from core.interference.placement import parts_of
from core.motion.motion import Motion
from core.study import run
from tests.core.interference.aircraft import aircraft, block, drawn
from tests.core.interference.scenes import body, box, motion_of, project_of, still
from tests.core.interference.test_linkages import four_bar, solved

SAMPLES = Path(__file__).resolve().parents[3] / "sample_projects"


def swing(turn: float):
    return lambda times: (0.0, 0.0, turn * times)


def moved_through(far: float):
    return lambda times: (far * times, 0.0, 0.0)


def checked(project: Project, motion: Motion, previous: Checked | None = None) -> Checked:
    parts = parts_of(project)
    pairs = checked_pairs(project, parts)
    return Checked(pairs=pairs, found=interfere(parts, pairs, motion, previous=previous))


def same(one: Interference, other: Interference) -> bool:
    return (
        (one.pairs, one.contacts, one.clearances, one.without_depth)
        == (other.pairs, other.contacts, other.clearances, other.without_depth)
        and np.array_equal(one.gaps, other.gaps, equal_nan=True)
        and np.array_equal(one.touching, other.touching)
    )


def taken_over(before: Checked, after: Checked) -> set[tuple[str, str]]:
    """The pairs whose clearances are the very ones of before."""
    was = {id(one) for one in before.found.clearances}
    return {one.parts for one in after.found.clearances if id(one) in was}


POST = body("post", box(20, 5, 22, 15), fixed=True)
ARM = body("arm", box(0, -1, 30, 1))
SLED = body("sled", box(10, -14, 14, -8))


def flat(*bodies, wanted: float = 0.5) -> Project:
    return project_of(*bodies, least_clearance=wanted)


def flat_motion(turn: float = 0.6, far: float = 4.0, frames: int = 41) -> Motion:
    return motion_of({"post": still, "arm": swing(turn), "sled": moved_through(far)}, frames=frames)


AFTER = {
    "nothing": (flat(POST, ARM, SLED), flat_motion(), {("post", "arm"), ("arm", "sled")}),
    "the sled's motion": (flat(POST, ARM, SLED), flat_motion(far=5.0), {("post", "arm")}),
    "the arm's motion": (flat(POST, ARM, SLED), flat_motion(turn=0.5), set()),
    "the post's outline": (
        flat(body("post", box(20, 5, 23, 15), fixed=True), ARM, SLED),
        flat_motion(),
        {("arm", "sled")},
    ),
    "what is wanted": (flat(POST, ARM, SLED, wanted=0.6), flat_motion(), set()),
    "the frames": (flat(POST, ARM, SLED), flat_motion(frames=37), set()),
}


@pytest.mark.parametrize(("project", "motion", "kept"), AFTER.values(), ids=AFTER.keys())
def test_only_what_has_not_changed_is_taken_over(project, motion, kept):
    before = checked(flat(POST, ARM, SLED), flat_motion())
    after = checked(project, motion, before)
    assert same(after.found, checked(project, motion).found)
    assert kept <= taken_over(before, after)
    if not kept:
        assert not taken_over(before, after)
    assert {("post", "arm"), ("arm", "sled")} - kept == {("post", "arm"), ("arm", "sled")} - taken_over(before, after)


def test_a_part_put_before_others_changes_nothing_of_them():
    before = checked(flat(POST, ARM, SLED), flat_motion())
    fin = body("fin", box(24, 4, 26, 6))
    motion = motion_of({"fin": still, "post": still, "arm": swing(0.6), "sled": moved_through(4.0)}, frames=41)
    project = flat(fin, POST, ARM, SLED)
    after = checked(project, motion, before)
    assert same(after.found, checked(project, motion).found)
    assert ("post", "arm") in taken_over(before, after)
    assert ("fin", "arm") in {one.parts for one in after.found.contacts}


def test_a_part_that_is_gone_takes_its_contacts_with_it():
    before = checked(flat(POST, ARM, SLED), flat_motion())
    assert {one.parts for one in before.found.contacts} == {("post", "arm")}
    motion = motion_of({"arm": swing(0.6), "sled": moved_through(4.0)}, frames=41)
    after = checked(flat(ARM, SLED), motion, before)
    assert after.found.contacts == ()
    assert same(after.found, checked(flat(ARM, SLED), motion).found)


LEG = block("leg", "side", ((0, 0, 0), (2, 2, 6)))
DOOR = block("door", "front", ((3, 0, 0), (4, 2, 2)))
COLLAR = block("collar", "plan", ((-4, 0, 0), (-1, 2, 2)))


def space_motion(far: float) -> Motion:
    return motion_of({"leg": moved_through(2.0), "door": still, "collar": moved_through(far)}, frames=21)


@pytest.mark.parametrize(
    ("bodies", "far", "kept"),
    [
        ((LEG, DOOR, COLLAR), 0.5, {("leg", "door"), ("leg", "collar")}),
        ((LEG, DOOR, COLLAR), 0.7, {("leg", "door")}),
        ((LEG, replace(DOOR, depth=(3.2, 4.0)), COLLAR), 0.5, {("leg", "collar")}),
    ],
    ids=["nothing", "a motion", "a depth"],
)
def test_pairs_across_views_are_taken_over_too(bodies, far, kept):
    before = checked(aircraft(LEG, DOOR, COLLAR), space_motion(0.5))
    project, motion = aircraft(*bodies), space_motion(far)
    after = checked(project, motion, before)
    assert same(after.found, checked(project, motion).found)
    among = {("leg", "door"), ("leg", "collar")}
    assert among & taken_over(before, after) == kept


def test_a_depth_given_later_has_a_part_checked_across_views():
    without = drawn("leg", "side", box(0, 0, 2, 6))
    before = checked(aircraft(without, DOOR, COLLAR), space_motion(0.5))
    project = aircraft(LEG, DOOR, COLLAR)
    after = checked(project, space_motion(0.5), before)
    assert same(after.found, checked(project, space_motion(0.5)).found)
    assert after.found.without_depth == ()


def test_moments_put_in_for_another_part_do_not_touch_a_pair() -> None:
    """Of two cranks whose levers pass near their dead centres, one comes nearer to it after an edit."""

    def pair(name: str, aside: float, miss: float) -> Project:
        made = four_bar(begin=91.0, turn=210.0, miss=miss, post=(63.0, 3.0))
        names = {one.id: f"{name}-{one.id}" for one in (*made.bodies, *made.connections, *made.drives)}
        return replace(
            made,
            bodies=tuple(replace(one, id=names[one.id], depth=(aside, aside + 1.0)) for one in made.bodies),
            connections=tuple(
                replace(one, id=names[one.id], bodies=tuple(names[body] for body in one.bodies))
                for one in made.connections
            ),
            drives=tuple(replace(one, id=names[one.id], on=names[one.on]) for one in made.drives),
        )

    def both(miss: float) -> tuple[Project, Motion]:
        one, other = pair("near", 0.0, 0.3), pair("far", 20.0, miss)
        (sequence,) = one.sequences
        moves = tuple(Move(drive=made.drives[0].id, to=210.0) for made in (one, other))
        project = replace(
            one,
            bodies=one.bodies + other.bodies,
            connections=one.connections + other.connections,
            drives=one.drives + other.drives,
            sequences=(replace(sequence, steps=(replace(sequence.steps[0], moves=moves),)),),
            least_clearance=1.0,
        )
        return project, solved(project)

    before = checked(*both(0.3))
    after = checked(*both(0.01), previous=before)
    assert len(after.found.track.times) > len(before.found.track.times)
    assert ("near-post", "near-lever") in taken_over(before, after)
    assert ("far-post", "far-lever") not in taken_over(before, after)
    assert {one.parts for one in after.found.clearances} == {one.parts for one in checked(*both(0.01)).found.clearances}


@pytest.mark.parametrize(
    ("sample", "rod"), [("merrow-t2", "door-rod"), ("merrow-t2", "valve-rod"), ("pellow-3", "rudder-rod")]
)
def test_how_parts_stray_is_taken_over_only_where_nothing_changed(sample, rod):
    """A track made with the one before an edit bounds every part as one made without it does."""
    before = read_project(SAMPLES / sample)
    x, y = next(one for one in before.connections if one.id == rod).ends[1]
    after = MoveEnd(rod, 1, (x + 0.05, y)).apply(before)
    sequence = before.sequences[0].id
    old, new = run(before, sequence=sequence), run(after, sequence=sequence)
    again = run(after, sequence=sequence, previous=old)
    fresh, reused = new.sequences[0].interference.track, again.sequences[0].interference.track
    place = np.searchsorted(reused.times, fresh.times)
    assert np.array_equal(reused.times[place], fresh.times), "no moment is lost, whatever others there are"
    if np.array_equal(reused.times, fresh.times):
        assert np.array_equal(reused.proved, fresh.proved)
        assert np.allclose(reused.stray, fresh.stray, atol=1e-6), (
            "to a nanometre: how large a ball is searched may differ"
        )
    assert np.array_equal(reused.sure, fresh.sure)
    told = [[(one.parts, round(one.least, 5), one.proved) for one in study.sequences[0].interference.clearances]
            for study in (new, again)]  # fmt: skip
    assert told[0] == told[1]


def test_moments_of_jams_that_were_dragged_past_do_not_pile_up():
    project = read_project(SAMPLES / "skarn-p9")
    first = project.sequences[0].id

    def dragged(far: float) -> Project:
        return replace(
            project,
            connections=tuple(
                replace(one, at=(one.at[0] - far, one.at[1])) if one.id == "leg-pivot" else one
                for one in project.connections
            ),
        )

    study, moments = run(project), []
    for far in np.linspace(12.0, 16.0, 9).tolist():
        study = run(dragged(far), previous=study, looked_at=first)
        looked = study.sequence(first)
        assert looked is not None
        assert looked.interference.track is not None
        moments.append(len(looked.interference.track.times))
    anew = run(dragged(16.0), sequence=first).sequences[0].interference.track
    assert anew is not None
    assert max(moments) < 2 * len(anew.times)
