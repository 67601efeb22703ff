"""One drive late, slow or stuck: when steps begin and end then, and what that brings, worked out by hand."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.project import Move, Project, Sequence
from core.findings.finding import Kind
from core.motion.schedule import Schedule, lay_out
from core.study import run
from core.trials.fault import DriveFault, Fault, Late, Slow, Stuck
from core.trials.trial import Trial, faulty_sequence, never_begun
from core.trials.trying import Outcome
from tests.core.trials.gear import TOUCHES, UP, gear, step
from tests.core.trials.tried import try_out

RATE = 10.0
"""Degrees a second of the leg."""
FOUND = 1e-3
"""Seconds to which contacts are found here: a fifteenth of the thousandth of the sequence that is promised."""


def faulty(fault: DriveFault, *steps: object, waits: bool = False) -> Sequence:
    return faulty_sequence(gear(*steps), Trial("run", fault, waits))


def spans(sequence: Sequence) -> dict[str, tuple[float, float]]:
    return {one.id: (one.begin, one.end) for one in lay_out(sequence).steps}


def tried(project: Project, fault: Fault, *, waits: bool = False) -> Outcome:
    return try_out(run(project), Trial("run", fault, waits))[0]


# ---- what touches ----------------------------------------------------------------------------------------------------


def test_nothing_touches_in_the_sound_sequence():
    assert run(gear()).sequences[0].findings == ()


def test_the_leg_meets_a_door_that_stays_shut_at_the_angle_worked_out_by_hand():
    outcome = tried(gear(), Stuck("doors"))
    (clash,) = [one for one in outcome.compared.new if one.kind is Kind.CLASH]
    assert set(clash.bodies) == {"leg", "door"}
    assert clash.begin == pytest.approx(1.0 + TOUCHES / RATE, abs=outcome.seconds / 1000)
    assert outcome.compared.gone == ()


def test_where_the_leg_waits_for_the_door_it_meets_nothing():
    outcome = tried(gear(), Stuck("doors"), waits=True)
    assert outcome.compared.harmful == ()
    assert outcome.never == ("up", "shut")
    assert outcome.seconds == 1.0


@pytest.mark.parametrize("late", [0.25, 0.7, 3.0])
def test_a_late_legs_contact_comes_later_by_just_so_much_where_nothing_else_moves(late: float):
    project = gear(step("up", 15.0, {"gear": UP}))
    sound = run(project)
    (meets,) = sound.sequences[0].interference.contacts
    outcome, study = try_out(sound, Trial("run", Late("gear", late)))
    (met,) = study.sequences[0].interference.contacts
    assert outcome.compared.harmful == ()
    assert met.begin - meets.begin == pytest.approx(late, abs=FOUND)
    assert met.end - meets.end == pytest.approx(late, abs=FOUND)
    assert met.area == pytest.approx(meets.area, rel=1e-3)


def test_at_half_speed_the_contact_comes_after_twice_the_time():
    project = gear(step("up", 15.0, {"gear": UP}))
    sound = run(project)
    (meets,) = sound.sequences[0].interference.contacts
    outcome, study = try_out(sound, Trial("run", Slow("gear", 0.5)))
    (met,) = study.sequences[0].interference.contacts
    assert outcome.seconds == 30.0
    assert met.begin == pytest.approx(2.0 * meets.begin, abs=FOUND)


def test_a_slow_leg_is_met_by_the_door_that_does_not_wait():
    """The leg is at 75 degrees when the door begins to shut, and goes on into it."""
    project = gear(
        step("open", 1.0, {"doors": 90.0}), step("up", 15.0, {"gear": UP}), step("shut", 0.05, {"doors": 0.0})
    )
    assert {one.kind for one in tried(project, Slow("gear", 0.5)).compared.new} == {Kind.CLASH}
    assert tried(project, Slow("gear", 0.5), waits=True).compared.harmful == ()


def test_what_takes_hold_too_soon_is_told():
    outcome = tried(gear(), Stuck("gear", 8.5))
    (missed,) = [one for one in outcome.compared.new if one.kind is Kind.LATCH]
    assert missed.amount == pytest.approx(2.0 * 40.0 * np.sin(np.radians((UP - 75.0) / 2.0)), abs=1e-6)


# ---- when ------------------------------------------------------------------------------------------------------------


def test_a_late_drive_shifts_its_own_steps_alone_where_nothing_waits():
    assert spans(faulty(Late("doors", 0.5))) == {
        "open": (0.5, 1.5), "up": (1.0, 16.0), "shut": (17.0, 18.0),
    }  # fmt: skip


def test_what_waits_is_put_off_by_all_that_went_before():
    assert spans(faulty(Late("doors", 0.5), waits=True)) == {
        "open": (0.5, 1.5), "up": (1.5, 16.5), "shut": (17.5, 18.5),
    }  # fmt: skip


def test_half_speed_doubles_the_time_of_a_move():
    assert spans(faulty(Slow("gear", 0.5))) == {"open": (0.0, 1.0), "up": (1.0, 31.0), "shut": (16.5, 17.5)}
    assert spans(faulty(Slow("gear", 0.5), waits=True))["shut"] == (31.5, 32.5)


def test_a_slow_drive_that_is_called_back_turns_where_it_is_and_needs_less_time():
    """Half open after 1 s, at 45 degrees, it is back after 0.5 s more of its full speed, or 1 s of half of it."""
    steps = (step("open", 1.0, {"doors": 90.0}), step("shut", 1.0, {"doors": 0.0}))
    made = faulty(Slow("doors", 0.5), *steps)
    assert spans(made) == {"open": (0.0, 1.0), "shut": (1.0, 2.0)}
    assert made.steps[0].moves == (Move(drive="doors", to=45.0),)


def test_a_stuck_drive_goes_as_far_as_the_moment_and_no_farther():
    made = faulty(Stuck("gear", 8.5), step("up", 10.0, {"gear": 100.0}, profile="eased"), step("wait", 1.0))
    held = lay_out(made)
    moves = {one.id: one.moves for one in made.steps}
    assert moves["up"] == ()
    assert held.step("up").end == 10.0
    assert held.step("up-part").end == pytest.approx(8.5)
    (move,) = moves["up-part"]
    share = 0.85
    assert move.to == pytest.approx(100.0 * share**3 * (10 - 15 * share + 6 * share**2))
    assert move.part == pytest.approx((0.0, share))


def test_a_drive_that_never_moves_leaves_its_steps_empty():
    made = faulty(Stuck("doors"))
    assert [one.moves for one in made.steps] == [(), (Move(drive="gear", to=UP),), ()]
    assert spans(made) == spans(gear().sequences[0])


def test_a_step_of_two_drives_is_parted_and_ends_with_the_later():
    both = step("both", 2.0, {"doors": 90.0, "gear": 20.0}, release=("uplock",), engage=())
    made = faulty(Late("gear", 0.5), replace(both, engage=("uplock",), release=()), step("after", 1.0))
    assert spans(made) == {"both": (0.5, 2.5), "both-rest": (0.0, 2.0), "after": (2.0, 3.0)}
    assert made.steps[0].engage == ("uplock",)
    waiting = faulty(Late("gear", 0.5), both, step("after", 1.0), waits=True)
    assert spans(waiting)["after"] == (2.5, 3.5)
    assert [one.release for one in waiting.steps] == [(), ("uplock",), ()]


def test_a_latch_lets_go_when_its_step_is_told_to_begin_though_the_drive_is_late():
    made = faulty(Late("gear", 0.5), step("down", 2.0, {"gear": 0.0}, release=("uplock",)))
    assert [(one.id, one.release) for one in made.steps] == [("down", ()), ("down-rest", ("uplock",))]
    assert spans(made) == {"down": (0.5, 2.5), "down-rest": (0.0, 0.5)}


def test_what_goes_along_with_a_step_goes_along_with_its_begin():
    steps = (step("up", 2.0, {"gear": 20.0}), step("open", 1.0, {"doors": 90.0}, together_with="up", delay=0.25))
    assert spans(faulty(Stuck("gear", 1.0), *steps, waits=True))["open"] == (0.25, 1.25)
    assert spans(faulty(Slow("gear", 0.5), *steps, waits=True))["open"] == (0.25, 1.25)


def test_a_step_that_never_ends_engages_nothing():
    made = faulty(Stuck("gear", 8.5), waits=True)
    assert all(not one.engage for one in made.steps)
    assert never_begun(gear(), Trial("run", Stuck("gear", 8.5), waits=True)) == ("shut",)


def test_steps_in_any_order_of_the_list_are_found_in_the_order_of_time():
    steps = (
        step("shut", 1.0, {"doors": 0.0}, after="up"), step("up", 5.0, {"gear": 50.0}, after="open"),
        step("open", 1.0, {"doors": 90.0}, together_with="first"), step("first", 0.0),
    )  # fmt: skip
    project = gear(replace(steps[3]), *steps[:3])
    made = faulty_sequence(project, Trial("run", Slow("doors", 0.5), waits=True))
    assert spans(made) == {"first": (0.0, 0.0), "open": (0.0, 2.0), "up": (2.0, 7.0), "shut": (7.0, 9.0)}


def test_what_has_not_taken_hold_when_it_should_let_go_did_not_hold_from_the_start():
    up, unlock = gear().sequences[0].steps[1], step("unlock", 0.0, release=("uplock",))
    project = gear(up, unlock)
    assert [one.kind for one in run(project).sequences[0].findings if one.kind is Kind.LATCH] == []
    made = faulty_sequence(project, Trial("run", Slow("gear", 0.5)))
    assert [(one.engage, one.release) for one in made.steps] == [(("uplock",), ()), ((), ())]
    assert [one for one in tried(project, Slow("gear", 0.5)).compared.new if one.kind is Kind.LATCH] == []


def test_other_drives_go_as_they_did():
    sound, schedule = run(gear()), lay_out(faulty(Slow("doors", 0.5)))
    _, study = try_out(sound, Trial("run", Slow("doors", 0.5)))
    assert isinstance(schedule, Schedule)
    times = np.linspace(0.0, 17.5, 71)
    legs = [one.sequences[0].motion.poses_at(times)[:, 1] for one in (sound, study)]
    assert np.abs(legs[0] - legs[1]).max() < 1e-9
