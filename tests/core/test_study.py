"""A study walks the row once and keeps what an edit leaves alone."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest
from msgspec.structs import replace

from core.document.look_edits import OrderBodies, SetHidden, SetLocked, SetTint
from core.document.project import (
    Aircraft,
    Body,
    Drive,
    Move,
    PairRule,
    Pivot,
    Polygon,
    Project,
    Rod,
    Sequence,
    Step,
    View,
)
from core.document.step_edits import SetMove
from core.document.step_time_edits import SetStepDuration
from core.errors import CheckCancelled, SenselessRequest
from core.report import to_json, to_text
from core.study import Study, run


def arm_and_post() -> Project:
    """An arm of 40 mm turns about the origin and sweeps through a post standing at 45 degrees."""
    arm = Polygon(points=((-1.0, -1.0), (40.0, -1.0), (40.0, 1.0), (-1.0, 1.0)))
    post = Polygon(points=((20.0, 20.0), (22.0, 20.0), (22.0, 22.0), (20.0, 22.0)))
    far = Polygon(points=((0.0, -30.0), (5.0, -30.0), (5.0, -25.0), (0.0, -25.0)))
    return Project(
        aircraft=Aircraft(name="Merrow T.2", scale=12),
        least_clearance=0.5,
        views=(View(id="side", plane="side"),),
        bodies=(
            Body(id="frame", name="Frame", view="side", fixed=True, shapes=(post, far)),
            Body(id="arm", name="Arm", view="side", shapes=(arm,)),
        ),
        connections=(Pivot(id="hinge", name="Hinge", bodies=("frame", "arm"), at=(0.0, 0.0)),),
        drives=(Drive(id="turn", name="Arm angle", on="hinge"),),
        sequences=(
            Sequence(id="up", name="Up", steps=(Step(id="lift", duration=2.0, moves=(Move(drive="turn", to=90.0),)),)),
            Sequence(
                id="down", name="Down", steps=(Step(id="drop", duration=1.0, moves=(Move(drive="turn", to=-30.0),)),)
            ),
        ),
        pairs=(PairRule(bodies=("arm", "frame"), rule="check"),),
    )


@pytest.fixture(scope="module")
def study():
    return run(arm_and_post(), frames=41)


def test_finds_the_clash_and_nothing_else(study):
    up, down = study.sequences
    assert [str(finding.kind) for finding in up.findings] == ["clash"]
    assert down.findings == ()


def test_contact_begins_where_the_edge_meets_the_corner(study):
    # The arm's leading edge, 1 mm above its centre line, meets the post's lower right corner (22, 20):
    # atan2(20, 22) - asin(1 / |(22, 20)|), at 45 degrees a second. It leaves by symmetry.
    import math

    meets = math.degrees(math.atan2(20, 22) - math.asin(1 / math.hypot(22, 20))) / 45.0
    (clash,) = study.sequences[0].findings
    assert clash.begin == pytest.approx(meets, abs=0.002)
    assert clash.end == pytest.approx(2.0 - meets, abs=0.002)


def test_an_edit_of_one_sequence_leaves_the_other_solved(study):
    edited = SetStepDuration("up", "lift", 3.0).apply(study.project)
    again = run(edited, frames=41, previous=study)
    assert again.mechanism is study.mechanism
    assert again.sequences[1].motion is study.sequences[1].motion
    assert again.sequences[1].interference is study.sequences[1].interference
    assert again.sequences[0].motion is not study.sequences[0].motion
    assert again.sequences[0].schedule.seconds == 3.0


def test_a_new_name_solves_nothing_and_is_told(study):
    bodies = (replace(study.project.bodies[0], name="Fuselage"), study.project.bodies[1])
    again = run(replace(study.project, bodies=bodies), frames=41, previous=study)
    assert again.sequences[0].motion is study.sequences[0].motion
    assert again.sequences[0].interference is study.sequences[0].interference
    assert "Fuselage" in again.sequences[0].findings[0].sentence


@pytest.mark.parametrize("edit", [
    SetHidden(("arm", "hinge"), True, ""), SetLocked(("arm",), True, ""), SetTint(("arm",), "sky", ""),
])  # fmt: skip
def test_how_things_are_shown_solves_and_checks_nothing_anew(study, edit):
    again = run(edit.apply(study.project), frames=41, previous=study)
    assert again.sequences[0].motion is study.sequences[0].motion
    assert again.sequences[0].interference is study.sequences[0].interference
    assert again.sequences[0].findings == study.sequences[0].findings


def test_another_order_of_bodies_changes_no_answer(study):
    again = run(OrderBodies(("arm", "frame")).apply(study.project), frames=41, previous=study)
    (before,), (after,) = study.sequences[0].findings, again.sequences[0].findings
    assert set(after.bodies) == set(before.bodies)
    assert (after.begin, after.end, after.amount) == pytest.approx((before.begin, before.end, before.amount))


def test_a_changed_outline_is_checked_again(study):
    frame = study.project.bodies[0]
    bodies = (replace(frame, shapes=frame.shapes[1:]), study.project.bodies[1])
    again = run(replace(study.project, bodies=bodies), frames=41, previous=study)
    assert again.sequences[0].findings == ()


def test_a_previous_study_changes_no_answer(study):
    edited = SetMove("up", "lift", "turn", 60.0).apply(study.project)
    fresh, kept = run(edited, frames=41), run(edited, frames=41, previous=study)
    assert to_json(fresh) == to_json(kept)


def test_one_sequence_of_several(study):
    only = run(study.project, sequence="down", frames=11)
    assert [one.sequence.id for one in only.sequences] == ["down"]


def test_a_sequence_that_does_not_exist_names_those_that_do(study):
    with pytest.raises(SenselessRequest, match="up, down"):
        run(study.project, sequence="sideways")


def test_a_project_without_sequences_is_checked_as_drawn():
    project = replace(arm_and_post(), sequences=())
    (drawn,) = run(project).sequences
    assert (drawn.sequence.id, len(drawn.motion.times)) == ("drawn", 1)


def test_a_study_can_be_stopped(study):
    with pytest.raises(CheckCancelled):
        run(study.project, cancelled=lambda: True)


def test_json_is_the_contract(study):
    told = msgspec.json.decode(msgspec.json.encode(to_json(study)))
    assert list(told) == ["project", "sequences", "figures"]
    up = told["sequences"][0]
    assert (up["id"], up["seconds"], up["frames"]) == ("up", 2.0, 41)
    assert up["clearances"][0]["bodies"] in (["frame", "arm"], ["arm", "frame"])
    assert up["clearances"][0]["least"] == 0.0


def test_text_names_sequences_and_findings(study):
    told = to_text(study)
    assert "Merrow T.2, scale 1:12" in told
    assert "Nothing found." in told
    assert "clash: " in told
    assert "overlap" in told


def test_progress_ends_whole():
    seen = []
    run(arm_and_post(), frames=5, progress=lambda what, share: seen.append((what, share)))
    assert seen[0] == ("Up", 0.0)
    assert seen[-1] == ("done", 1.0)


def test_unused_rod_is_no_part_of_the_check():
    project = arm_and_post()
    rod = Rod(id="rod", bodies=("frame", "arm"), ends=((0.0, 0.0), (30.0, 0.0)))
    thin = replace(project, connections=(*project.connections, rod))
    assert ("frame", "rod") not in run(thin, frames=3).pairs.ids


def two_arms(rod_end: float = 25.0) -> Project:
    """Two arms on hinges of their own, each with a link on a rod to a post, and a stop that the second arm meets."""

    def bar(x: float, y: float, length: float) -> Polygon:
        return Polygon(points=((x - 1.0, y - 1.0), (x + length, y - 1.0), (x + length, y + 1.0), (x - 1.0, y + 1.0)))

    stop = Polygon(points=((220.0, 20.0), (222.0, 20.0), (222.0, 22.0), (220.0, 22.0)))
    post = Polygon(points=((20.0, 24.0), (22.0, 24.0), (22.0, 26.0), (20.0, 26.0)))
    return Project(
        aircraft=Aircraft(name="Pellow 3", scale=12),
        least_clearance=0.5,
        views=(View(id="side", plane="side"),),
        bodies=(
            Body(id="frame", view="side", fixed=True, shapes=(stop, post)),
            Body(id="one", view="side", shapes=(bar(0.0, 0.0, 30.0),)),
            Body(id="lever", view="side", shapes=(bar(0.0, 40.0, 30.0),)),
            Body(id="other", view="side", shapes=(bar(200.0, 0.0, 40.0),)),
        ),
        connections=(
            Pivot(id="hinge-one", bodies=("frame", "one"), at=(0.0, 0.0)),
            Pivot(id="hinge-lever", bodies=("frame", "lever"), at=(0.0, 40.0)),
            Pivot(id="hinge-other", bodies=("frame", "other"), at=(200.0, 0.0)),
            Rod(id="rod", bodies=("one", "lever"), ends=((25.0, 0.0), (rod_end, 40.0)), width=2.0),
        ),
        drives=(Drive(id="turn-one", on="hinge-one"), Drive(id="turn-other", on="hinge-other")),
        sequences=(
            Sequence(
                id="up",
                steps=(
                    Step(
                        id="lift",
                        duration=2.0,
                        moves=(Move(drive="turn-one", to=-25.0), Move(drive="turn-other", to=80.0)),
                    ),
                ),
            ),
        ),
        pairs=tuple(PairRule(bodies=(name, "frame"), rule="check") for name in ("one", "lever", "other")),
    )


SHORTER = Body(id="other", view="side", shapes=(Polygon(points=((200, -2), (235, -2), (235, 2), (200, 2))),))

EDITS = {
    "a rod's end": two_arms(rod_end=22.0),
    "a target": SetMove("up", "lift", "turn-one", -20.0).apply(two_arms()),
    "an outline": replace(two_arms(), bodies=(*two_arms().bodies[:3], SHORTER)),
    "a rule": replace(two_arms(), pairs=(PairRule(bodies=("one", "frame"), rule="ignore"), *two_arms().pairs[1:])),
    "a wanted clearance": replace(
        two_arms(), pairs=(*two_arms().pairs[:2], PairRule(bodies=("other", "frame"), rule="check", clearance=2.0))
    ),
    "a longer step": SetStepDuration("up", "lift", 3.0).apply(two_arms()),
}


@pytest.mark.parametrize("edited", EDITS.values(), ids=EDITS.keys())
def test_after_an_edit_the_answers_are_those_of_a_fresh_study(edited):
    before = run(two_arms(), frames=41)
    fresh, kept = run(edited, frames=41), run(edited, frames=41, previous=before)
    assert to_json(fresh) == to_json(kept)
    one, other = fresh.sequences[0].interference, kept.sequences[0].interference
    assert (one.contacts, one.clearances, one.pairs) == (other.contacts, other.clearances, other.pairs)
    assert np.array_equal(one.gaps, other.gaps, equal_nan=True)
    assert np.array_equal(one.touching, other.touching)


@pytest.mark.parametrize("edit", ["a rod's end", "a target", "a rule"])
def test_what_an_edit_does_not_touch_is_not_checked_again(edit):
    before = run(two_arms(), frames=41)
    kept = run(EDITS[edit], frames=41, previous=before).sequences[0].interference
    (was,) = (one for one in before.sequences[0].interference.contacts if one.parts == ("frame", "other"))
    assert any(one is was for one in kept.contacts)


@pytest.mark.parametrize("edit", ["an outline", "a longer step"])
def test_what_an_edit_touches_is_checked_again(edit):
    before = run(two_arms(), frames=41)
    kept = run(EDITS[edit], frames=41, previous=before).sequences[0].interference
    was = before.sequences[0].interference.contacts
    again = [one for one in kept.contacts if one.parts == ("frame", "other")]
    assert again
    assert not any(one is old for one in again for old in was)


def hinge_moved(project: Project, by: float) -> Project:
    (hinge,) = project.connections
    return replace(project, connections=(replace(hinge, at=(by, 0.0)),))


def assert_same(one: Study, other: Study) -> None:
    for a, b in zip(one.sequences, other.sequences, strict=True):
        np.testing.assert_array_equal(a.motion.poses, b.motion.poses)
        np.testing.assert_array_equal(a.interference.gaps, b.interference.gaps)
        assert (a.findings, a.accepted, a.sequence) == (b.findings, b.accepted, b.sequence)
    assert (one.behind, one.figures) == (other.behind, other.figures)


def test_what_is_not_looked_at_stands_as_it_was_and_is_said_to_be_behind(study):
    project = hinge_moved(arm_and_post(), 1.0)
    found = run(project, frames=41, looked_at="up", previous=study)
    assert found.behind == {"down"}
    assert found.sequence("down") is study.sequence("down")
    assert found.sequence("up").findings == run(project, frames=41).sequence("up").findings


def test_what_was_behind_is_never_taken_for_new(study):
    """Not even where nothing has changed since, nor where what is looked at changes under way."""
    first, second = hinge_moved(arm_and_post(), 1.0), hinge_moved(arm_and_post(), 2.0)
    up = run(first, frames=41, looked_at="up", previous=study)
    assert_same(run(first, frames=41, previous=up), run(first, frames=41))
    down = run(first, frames=41, looked_at="down", previous=up)
    assert down.behind == frozenset(), "what was looked at before is of the same state"
    later = run(second, frames=41, looked_at="down", previous=up)
    assert later.behind == {"up"}
    assert_same(run(second, frames=41, previous=later), run(second, frames=41))
    assert run(second, frames=41, looked_at="down", previous=later).behind == {"up"}


def test_nothing_is_behind_where_nothing_has_to_be_found_anew(study):
    project = SetStepDuration("up", "lift", 1.5).apply(arm_and_post())
    assert run(project, frames=41, looked_at="up", previous=study).behind == frozenset()
    fewer = replace(arm_and_post(), bodies=arm_and_post().bodies[:1], connections=(), drives=(), sequences=(), pairs=())
    assert run(fewer, frames=41, looked_at="up", previous=study).behind == frozenset(), "it would tell of what is gone"
