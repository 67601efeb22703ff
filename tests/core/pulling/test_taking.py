"""Keeping a pulled pose as a step's end, as a new step, as the start, and setting a step's target from within it."""

from __future__ import annotations

import numpy as np
import pytest

from core.document.checks import problems
from core.document.project import Project, Sequence
from core.mechanism.build import build
from core.motion.inputs import inputs_of
from core.motion.schedule import lay_out
from core.pulling.taking import Kept, Pose, offers, step_under, targets_for
from core.study import DRAWN_POSITION
from tests.mechanisms.sketch import FRAME, frame, moving, pivot, project, sequence, step


def aircraft() -> Project:
    return project(
        (frame(), *moving("leg", "door")),
        (pivot("hip", FRAME, "leg", 0), pivot("hinge", FRAME, "door", 50)),
        {"gear": "hip", "doors": "hinge"},
        (step("open", 1.0, {"doors": -80.0}), step("up", 4.0, {"gear": 90.0}, profile="eased")),
    )


def pose(time: float, values: dict[str, float], before: dict[str, float], *, chosen: str | None = None) -> Pose:
    one = aircraft()
    (run,) = one.sequences
    return Pose(
        project=one, sequence=run, schedule=lay_out(run), time=time, values=values, before=before, chosen=chosen
    )


def by_kind(found, kept: Kept):
    return next(one for one in found if one.kept is kept)


@pytest.mark.parametrize(("time", "known"), [(0.0, None), (0.5, "open"), (1.0, "open"), (1.1, "up"), (5.0, "up")])
def test_the_step_under_the_rule(time: float, known: str | None):
    assert step_under(lay_out(aircraft().sequences[0]), time) == known


def test_a_pose_becomes_the_end_of_the_step_under_the_rule():
    found = offers(pose(5.0, {"gear": 77.0004, "doors": -80.0}, {"gear": 90.0, "doors": -80.0}))
    assert found[0].kept is Kept.END
    assert found[0].words == "End of up"
    assert found[0].moment == 5.0
    changed = found[0].edit.apply(aircraft())
    assert [move.to for move in changed.sequences[0].steps[1].moves] == [77.0]
    assert problems(changed) == ()


def test_a_chosen_step_goes_before_the_one_under_the_rule():
    found = offers(pose(5.0, {"gear": 90.0, "doors": -60.0}, {"gear": 90.0, "doors": -80.0}, chosen="open"))
    changed = by_kind(found, Kept.END).edit.apply(aircraft())
    assert [move.to for move in changed.sequences[0].steps[0].moves] == [-60.0]


def test_drives_that_a_step_does_not_move_are_added_only_when_asked():
    seen = pose(5.0, {"gear": 77.0, "doors": -60.0}, {"gear": 90.0, "doors": -80.0})
    plain, every = (by_kind(offers(seen, every=on), Kept.END).edit.apply(aircraft()) for on in (False, True))
    assert {move.drive for move in plain.sequences[0].steps[1].moves} == {"gear"}
    assert {move.drive: move.to for move in every.sequences[0].steps[1].moves} == {"gear": 77.0, "doors": -60.0}


def test_a_step_that_moves_nothing_of_it_is_no_offer_and_says_why():
    found = by_kind(offers(pose(5.0, {"gear": 90.0, "doors": -60.0}, {"gear": 90.0, "doors": -80.0})), Kept.END)
    assert found.edit is None
    assert found.why_not == "the pull moved doors, which “up” does not move"


def test_a_new_step_follows_the_one_under_the_rule_and_moves_what_changed():
    found = by_kind(offers(pose(0.5, {"gear": 20.0, "doors": -40.0}, {"gear": 0.0, "doors": -40.0})), Kept.NEW)
    changed = found.edit.apply(aircraft())
    assert problems(changed) == ()
    steps = changed.sequences[0].steps
    assert [one.name or one.id for one in steps] == ["open", "By hand", "up"]
    assert {move.drive: move.to for move in steps[1].moves} == {"gear": 20.0}
    laid = lay_out(changed.sequences[0])
    assert laid.step(steps[1].id).end == found.moment == 3.0
    assert laid.step("up").begin == 3.0  # what waited for the step before it waits for the new one


def test_a_pose_becomes_the_start():
    found = offers(pose(0.0, {"gear": 12.0, "doors": 0.0}, {"gear": 0.0, "doors": 0.0}))
    assert found[0].kept is Kept.START
    assert found[0].edit.apply(aircraft()).sequences[0].start == {"gear": 12.0}
    assert by_kind(found, Kept.END).edit is None


def test_without_a_sequence_only_a_new_step_can_be_made():
    from msgspec.structs import replace

    bare = replace(aircraft(), sequences=())
    seen = Pose(
        project=bare, sequence=DRAWN_POSITION, schedule=lay_out(DRAWN_POSITION), time=0.0,
        values={"gear": 30.0, "doors": 0.0}, before={"gear": 0.0, "doors": 0.0},
    )  # fmt: skip
    found = offers(seen)
    assert [one.kept for one in found if one.edit is not None] == [Kept.NEW]
    made = found[0].edit.apply(bare)
    assert problems(made) == ()
    assert {move.drive: move.to for move in made.sequences[0].steps[0].moves} == {"gear": 30.0}


def test_a_pull_that_moved_no_drive_is_kept_by_nothing():
    found = offers(pose(2.0, {"gear": 10.0, "doors": -80.0}, {"gear": 10.0, "doors": -80.0}))
    assert [one.edit for one in found] == [None, None, None]
    assert all(one.why_not for one in found)


@pytest.mark.parametrize("time", [1.6, 2.5, 3.0, 4.9, 5.0])
def test_a_target_told_from_within_a_step_brings_the_drive_there(time: float):
    one = aircraft()
    mechanism, schedule = build(one), lay_out(one.sequences[0])
    found = targets_for(mechanism, schedule, "up", time, {"gear": 33.0, "doors": -80.0})
    asked = sequence((step("open", 1.0, {"doors": -80.0}), step("up", 4.0, found, profile="eased")))
    value = inputs_of(mechanism, lay_out(asked)).at(np.array([time]))[0][mechanism.drive_of["gear"]]
    assert value == pytest.approx(33.0, abs=1e-3)


def test_no_target_is_told_from_where_a_move_has_hardly_begun():
    one: Sequence = aircraft().sequences[0]
    assert targets_for(build(aircraft()), lay_out(one), "up", 1.05, {"gear": 33.0}) == {}
