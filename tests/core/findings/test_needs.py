"""What steps need when they begin: found where it does not hold, by how much, and when it would."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from core.document.checks import problems
from core.document.finding_edits import Accept
from core.document.joint_edits import RenameDrive
from core.document.project import Latch, Move, Need, Project, Step
from core.document.project_file import decode, encode
from core.document.sequence_edits import AddSequence
from core.document.step_edits import RemoveStep, ReplaceStep
from core.document.step_part_edits import JoinSteps, SplitStep
from core.findings.acceptance import acceptance_of
from core.findings.finding import Kind
from core.motion.reverse import reversed_sequence
from core.report import to_json, to_text
from core.sketch.body_edits import RemoveThings
from core.study import run
from tests.app.small_aircraft import clean_aircraft

FILE = Path("project.json")
LOCK = Latch(id="uplock", name="Uplock", bodies=("airframe", "leg"), ends=((0.0, 9.0), (0.0, 9.0)), reach=200.0)


def aircraft(*steps: Step) -> Project:
    """The doors go from 0 to 92 degrees in 1.5 s, at a constant rate; the uplock always reaches."""
    project = clean_aircraft()
    made = replace(project.sequences[0], steps=steps)
    return replace(project, connections=(*project.connections, LOCK), sequences=(made,))


OPEN = Step(id="doors-open", name="Doors open", duration=1.5, moves=(Move(drive="doors", to=92.0),))


def leg_up(*needs: Need, delay: float, **values) -> Step:
    moves = (Move(drive="gear", to=92.0),)
    return Step(
        id="leg-up", name="Leg up", together_with="doors-open", delay=delay, duration=3.0, moves=moves, needs=needs,
        **values,
    )  # fmt: skip


def early(project: Project):
    assert not problems(project)
    return [one for one in run(project).sequences[0].findings if one.kind is Kind.EARLY]


DOORS = Need(drive="doors", at_least=85.0)


def test_a_step_that_begins_before_a_drive_is_there_is_found_with_its_numbers():
    (found,) = early(aircraft(OPEN, leg_up(DOORS, delay=1.0)))
    assert (found.step, found.drive, found.unit) == ("leg-up", "doors", "deg")
    assert found.time == pytest.approx(1.0)
    assert found.value == pytest.approx(92.0 * 1.0 / 1.5)
    assert found.amount == pytest.approx(85.0 - 92.0 / 1.5)
    assert found.holds_at == pytest.approx(1.5 * 85.0 / 92.0, abs=1e-4)
    assert found.view == "side"
    assert found.sentence == (
        "Leg up begins too soon: it needs Main door at 85° at least, which stands at 61.33° at 1.00 s, 23.67° off, "
        "and is so from 1.39 s on."
    )


def test_a_step_that_begins_when_the_drive_has_come_to_its_bound_is_in_order():
    assert early(aircraft(OPEN, leg_up(Need(drive="doors", at_least=92.0), delay=1.5))) == []
    assert early(aircraft(OPEN, leg_up(DOORS, delay=1.39))) == []
    assert len(early(aircraft(OPEN, leg_up(DOORS, delay=1.38)))) == 1


def test_what_never_comes_to_hold_is_said_so():
    (found,) = early(aircraft(OPEN, leg_up(Need(drive="doors", at_least=95.0), delay=1.6)))
    assert found.holds_at is None
    assert found.amount == pytest.approx(3.0)
    assert found.sentence.endswith("never is.")


def test_an_upper_bound_and_both():
    low = Need(drive="gear", at_most=5.0)
    shut = Step(id="shut", duration=1.0, moves=(Move(drive="doors", to=0.0),), needs=(low,))
    (found,) = early(aircraft(OPEN, leg_up(delay=1.6), shut))
    assert found.amount == pytest.approx(87.0)
    assert "at 5° at most" in found.sentence
    between = Need(drive="gear", at_least=90.0, at_most=100.0)
    assert early(aircraft(OPEN, leg_up(delay=1.6), replace(shut, needs=(between,)))) == []
    assert len(early(aircraft(OPEN, leg_up(delay=1.6), replace(shut, needs=(between,), delay=-1.0)))) == 1


def test_a_step_that_moves_its_own_drive_in_no_time_needs_where_that_stood():
    jump = Step(id="jump", duration=0.0, moves=(Move(drive="doors", to=0.0),), needs=(DOORS,))
    assert early(aircraft(OPEN, jump)) == []
    (found,) = early(aircraft(replace(jump, moves=(Move(drive="doors", to=90.0),))))
    assert found.value == 0.0


def test_a_latch_engaged_or_released():
    locks = leg_up(delay=1.5, engage=("uplock",))
    after = Step(id="shut", name="Doors close", duration=1.0, moves=(Move(drive="doors", to=0.0),))
    engaged, released = Need(latch="uplock"), Need(latch="uplock", engaged=False)
    assert early(aircraft(OPEN, locks, replace(after, needs=(engaged,)))) == []
    (found,) = early(aircraft(OPEN, locks, replace(after, needs=(engaged,), delay=-0.5)))
    assert (found.connections, found.unit) == (("uplock",), "s")
    assert found.amount == pytest.approx(0.5)
    assert found.sentence == (
        "Doors close begins too soon: it needs Uplock engaged, which does not hold at 4.00 s, and is so from 4.50 s on."
    )
    (found,) = early(aircraft(OPEN, locks, replace(after, needs=(released,))))
    assert found.holds_at is None
    assert "still holds" in found.sentence


def test_what_a_step_releases_itself_holds_until_it_begins():
    locked = leg_up(Need(latch="uplock"), delay=0.0, release=("uplock",))
    assert early(aircraft(OPEN, locked)) == []
    assert len(early(aircraft(OPEN, replace(locked, needs=(Need(latch="uplock", engaged=False),))))) == 1
    freed = replace(OPEN, release=("uplock",))
    assert early(aircraft(freed, leg_up(Need(latch="uplock", engaged=False), delay=0.0))) == []


def test_a_latch_that_cannot_take_hold_is_not_engaged():
    on = Step(id="on", duration=1, needs=(Need(latch="uplock"),))
    project = aircraft(OPEN, leg_up(delay=1.5, engage=("uplock",)), on)
    short = replace(LOCK, ends=((0.0, 9.0), (0.0, -30.0)), reach=0.5)
    missing = replace(project, connections=(*project.connections[:-1], short))
    assert early(project) == []
    assert [one.step for one in early(missing)] == ["on"]


def test_it_is_told_in_json_and_in_words():
    project = aircraft(OPEN, leg_up(DOORS, delay=1.0))
    study = run(project)
    (told,) = [one for one in to_json(study)["sequences"][0]["findings"] if one["kind"] == "early"]
    assert told == {
        "kind": "early", "step": "leg-up", "needs": {"drive": "doors", "at_least": 85},
        "value": pytest.approx(61.0 + 1 / 3), "short_by": pytest.approx(23.0 + 2 / 3),
        "time": 1.0, "holds_at": pytest.approx(1.385870, abs=1e-4),
    }  # fmt: skip
    assert "early: Leg up begins too soon" in to_text(study)


def test_one_step_is_accepted_and_not_the_other():
    shut = Step(id="shut", together_with="doors-open", delay=0.5, duration=0.1, needs=(DOORS,))
    project = aircraft(OPEN, leg_up(DOORS, delay=1.0), shut)
    first, second = early(project)
    answered = Accept(acceptance_of(first, "it is slow")).apply(project)
    assert early(answered) == [second]
    assert decode(encode(answered), FILE) == answered
    gone = RemoveStep("retract", first.step).apply(answered)
    assert gone.accepted == ()
    assert not problems(gone)


def test_needs_stay_through_what_is_done_elsewhere_and_go_with_what_they_name():
    both = (DOORS, Need(latch="uplock", engaged=False))
    project = aircraft(OPEN, leg_up(*both, delay=1.0))
    named = RenameDrive("doors", "Bay door").apply(project)
    assert named.sequences[0].steps[1].needs == both
    assert "needs Bay door at 85°" in early(named)[0].sentence
    assert RemoveThings(("doors",)).apply(project).sequences[0].steps[1].needs == both[1:]
    assert RemoveThings(("uplock",)).apply(project).sequences[0].steps[1].needs == both[:1]
    for left in (RemoveThings(("doors",)).apply(project), RemoveThings(("uplock", "leg")).apply(project)):
        assert not problems(left)
        assert decode(encode(left), FILE) == left


def test_parts_of_a_step_need_what_the_whole_did():
    project = aircraft(OPEN, leg_up(DOORS, delay=1.0))
    split = SplitStep("retract", "leg-up", 0.5, "rest", (("gear", 46.0),)).apply(project)
    assert [step.needs for step in split.sequences[0].steps] == [(), (DOORS,), ()]
    assert JoinSteps("retract", "leg-up", "rest").apply(split).sequences[0].steps[1].needs == (DOORS,)
    joined = JoinSteps("retract", "doors-open", "leg-up").apply(project)
    assert joined.sequences[0].steps[0].needs == (), "the first of the two opens the doors itself"


def test_on_the_way_back_a_step_needs_what_it_did_but_for_its_own():
    own = Need(drive="gear", at_most=1.0)
    project = aircraft(OPEN, leg_up(DOORS, own, delay=1.5))
    back = reversed_sequence(project, project.sequences[0])
    assert [step.needs for step in back.steps] == [(DOORS,), ()]
    grown = AddSequence(back).apply(project)
    assert [one.kind for one in run(grown).sequence(back.id).findings if one.kind is Kind.EARLY] == []


def test_another_need_is_an_edit_like_any_other():
    project = aircraft(OPEN, leg_up(delay=1.0))
    step = project.sequences[0].steps[1]
    changed = ReplaceStep("retract", replace(step, needs=(DOORS,)), "Change what the step needs").apply(project)
    assert decode(encode(changed), FILE) == changed
    assert b'"needs": [{"drive": "doors", "at_least": 85}]' in encode(changed)
