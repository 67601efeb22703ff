"""Pinned moments and paths of points: edits, what they survive, and the file."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from core.document.checks import problems
from core.document.path_edits import AddPath, ReplacePath
from core.document.pin_edits import SAME_MOMENT, MovePin, PinMoment, Unpin, pin_near
from core.document.project import PointPath, Project
from core.document.project_file import decode, encode
from core.document.sequence_edits import RemoveSequence, copied_sequence
from core.motion.reverse import reversed_sequence
from core.sketch.body_edits import MoveBodies, RemoveThings
from core.sketch.combining_edits import JoinBodies
from core.sketch.moving import Likeness
from core.sketch.pasting import put_in, taken_out
from core.study import run
from tests.app.small_aircraft import small_aircraft

AXLE = PointPath(id="axle-path", name="Path of the axle", body="leg", point=(0.0, -60.0))


def pinned(project: Project) -> tuple[float, ...]:
    return next(one.pinned for one in project.sequences if one.id == "retract")


def pins(*seconds: float) -> Project:
    project = small_aircraft()
    for one in seconds:
        project = PinMoment("retract", one).apply(project)
    return project


def with_path() -> Project:
    return AddPath(AXLE).apply(small_aircraft())


# ---- pins ------------------------------------------------------------------------------------------------------------


def test_pins_stand_in_time_and_each_once():
    project = pins(3.0, 1.0, 3.0 + 0.5 * SAME_MOMENT)
    assert pinned(project) == (1.0, 3.0)
    assert PinMoment("retract", 1.0).apply(project) is project
    assert PinMoment("nowhere", 1.0).apply(project) is project
    assert PinMoment("retract", math.nan).apply(project) is project
    assert problems(project) == ()


def test_a_pin_is_moved_and_two_brought_together_become_one():
    assert pinned(MovePin("retract", 1.0, 2.0).apply(pins(1.0, 3.0))) == (2.0, 3.0)
    assert pinned(MovePin("retract", 1.0, 3.0).apply(pins(1.0, 3.0))) == (3.0,)
    assert pinned(MovePin("retract", 1.0, -4.0).apply(pins(1.0))) == (0.0,), "none is before the sequence begins"
    project = pins(1.0)
    for edit in (MovePin("retract", 2.0, 3.0), MovePin("retract", 1.0, math.inf), MovePin("retract", 1.0, 1.0)):
        assert edit.apply(project) is project


def test_one_pin_or_all_are_taken_away():
    project = pins(1.0, 3.0)
    assert pinned(Unpin("retract", 3.0).apply(project)) == (1.0,)
    assert pinned(Unpin("retract").apply(project)) == ()
    assert Unpin("retract", 2.0).apply(project) is project


def test_the_nearest_pin_is_found_within_reach():
    (sequence, *_) = pins(1.0, 3.0).sequences
    assert pin_near(sequence, 2.9, 0.2) == 3.0
    assert pin_near(sequence, 2.0, 0.2) is None


def test_a_copy_of_a_sequence_has_its_pins_and_one_run_backwards_has_them_from_the_end():
    project = pins(1.0, 7.0)
    (sequence, *_) = project.sequences
    assert copied_sequence(project, sequence).pinned == (1.0, 7.0)
    assert reversed_sequence(project, sequence).pinned == pytest.approx((0.2, 6.2)), "of 7.2 s"
    assert RemoveSequence("retract").apply(project).sequences == project.sequences[1:]


def test_a_pin_moves_nothing_so_that_nothing_is_solved_again():
    before = run(small_aircraft())
    after = run(pins(2.0), previous=before)
    assert after.sequence("retract").motion is before.sequence("retract").motion
    assert after.sequence("retract").interference is before.sequence("retract").interference
    assert after.sequence("retract").sequence.pinned == (2.0,)


# ---- paths -----------------------------------------------------------------------------------------------------------


def test_a_path_goes_with_its_body_and_its_point_with_the_body_s_shapes():
    project = with_path()
    moved = MoveBodies(("leg",), Likeness.turning(90.0)).apply(project)
    assert moved.paths[0].point == (60.0, 0.0)
    assert MoveBodies(("door",), Likeness.turning(90.0)).apply(project).paths is project.paths
    assert RemoveThings(("leg",)).apply(project).paths == ()
    assert RemoveThings((AXLE.id,)).apply(project) == small_aircraft()
    assert RemoveThings(("door",)).apply(project).paths is project.paths


def test_a_path_of_a_body_that_is_taken_in_goes_over():
    project = with_path()
    loose = replace(next(one for one in project.bodies if one.id == "leg"), id="tyre", name="Tyre")
    path = replace(AXLE, id="tyre-path", body="tyre")
    project = replace(project, bodies=(*project.bodies, loose), paths=(AXLE, path))
    joined = JoinBodies("leg", ("tyre",)).apply(project)
    assert joined is not project
    assert [one.body for one in joined.paths] == ["leg", "leg"]
    assert problems(joined) == ()


def test_a_path_is_copied_with_its_body():
    project = with_path()
    parts = taken_out(project, {"leg"})
    assert parts.paths == (AXLE,)
    after = put_in(project, parts, None).apply(project)
    old, new = after.paths
    assert (old, new.name) == (AXLE, "Path of the axle 2")
    assert new.body == after.bodies[-1].id != "leg"
    assert new.point != AXLE.point, "it lies where the copy does"
    assert problems(after) == ()


def test_a_path_is_renamed_and_its_point_moved():
    project = with_path()
    assert ReplacePath(replace(AXLE, point=(1.0, 2.0))).apply(project).paths[0].point == (1.0, 2.0)
    assert ReplacePath(AXLE).apply(project) is project
    assert ReplacePath(replace(AXLE, point=(math.nan, 2.0))).apply(project) is project
    assert ReplacePath(replace(AXLE, id="gone")).apply(project) is project


# ---- the file --------------------------------------------------------------------------------------------------------


def test_both_are_kept_in_the_file_and_left_out_where_there_are_none(tmp_path):
    project = AddPath(AXLE).apply(pins(1.5))
    assert decode(encode(project), tmp_path) == project
    assert b'"pinned": [1.5]' in encode(project)
    assert b"pinned" not in encode(small_aircraft())
    assert b"paths" not in encode(small_aircraft())


@pytest.mark.parametrize(
    ("change", "place", "wrong"),
    [
        (lambda one: replace(one, paths=(replace(AXLE, body="nobody"),)), "paths[0].body", "no body"),
        (lambda one: replace(one, paths=(replace(AXLE, body="leg-pivot"),)), "paths[0].body", "is a pivot"),
        (lambda one: replace(one, paths=(replace(AXLE, id="leg"),)), "paths[0].id", "already"),
        (lambda one: replace(one, paths=(replace(AXLE, point=(2e6, 0.0)),)), "paths[0].point[0]", "too large"),
        (lambda one: replace(one, sequences=(replace(one.sequences[0], pinned=(1.0, -1.0)), *one.sequences[1:])),
         "sequences[0].pinned[1]", "cannot be"),
    ],
)  # fmt: skip
def test_what_makes_no_sense_is_found_where_it_stands(change, place: str, wrong: str):
    (found,) = problems(change(small_aircraft()))
    assert place in found.place
    assert wrong in found.wrong


def test_a_pin_after_the_end_makes_sense_since_steps_may_be_shortened():
    assert problems(pins(500.0)) == ()
