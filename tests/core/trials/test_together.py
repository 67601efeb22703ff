"""Two faults at once: when steps begin and end then, what is refused, and what comes of both alone together."""

from __future__ import annotations

import numpy as np
import pytest

from core.document.checks import problems
from core.document.project import Sequence
from core.document.sequence_edits import AddSequence
from core.errors import CheckCancelled, SenselessRequest
from core.findings.finding import Kind
from core.mechanism.build import build
from core.motion.inputs import inputs_of
from core.motion.schedule import lay_out
from core.study import run
from core.trials.every import count_of_pairs, every_fault, pairs_of
from core.trials.fault import Back, Late, NotEngaging, NotReleasing, Single, Slow, Stuck, Together, parts_of, together
from core.trials.trial import Trial, faulty_sequence, kept_sequence, never_begun, trial_project
from core.trials.trying import singles_of, try_all
from tests.core.trials.gear import TOUCHES, UP, gear, step


def faulty(*faults: Single, steps: tuple[object, ...] = (), waits: bool = False) -> Sequence:
    return faulty_sequence(gear(*steps), Trial("run", Together(faults), waits))


def spans(sequence: Sequence) -> dict[str, tuple[float, float]]:
    return {one.id: (one.begin, one.end) for one in lay_out(sequence).steps}


def test_two_drives_are_at_fault_each_in_its_own_way():
    assert spans(faulty(Late("doors", 0.5), Slow("gear", 0.5))) == {
        "open": (0.5, 1.5), "up": (1.0, 31.0), "shut": (17.0, 18.0),
    }  # fmt: skip
    assert spans(faulty(Late("doors", 0.5), Slow("gear", 0.5), waits=True)) == {
        "open": (0.5, 1.5), "up": (1.5, 31.5), "shut": (32.5, 33.5),
    }  # fmt: skip


def test_a_step_of_two_drives_at_fault_is_parted_in_two_and_what_waits_waits_for_both():
    both = step("both", 2.0, {"doors": 90.0, "gear": 20.0}, engage=("uplock",))
    made = faulty(Late("gear", 0.5), Slow("doors", 0.5), steps=(both, step("after", 1.0)), waits=True)
    assert spans(made) == {"both": (0.0, 4.0), "both-part": (0.5, 2.5), "after": (4.0, 5.0)}
    assert [one.engage for one in made.steps] == [("uplock",), (), ()]
    assert [one.name for one in made.steps][1] == "Both, Gear"
    late = faulty(Late("gear", 0.5), Late("doors", 1.5), steps=(both, step("after", 1.0)))
    assert spans(late) == {"both": (1.5, 3.5), "both-part": (0.5, 2.5), "after": (2.0, 3.0)}


def test_a_latch_lets_go_when_its_step_is_told_to_begin_though_both_its_drives_are_late():
    down = step("down", 2.0, {"gear": 0.0, "doors": 90.0}, release=("uplock",))
    made = faulty(Late("gear", 0.5), Late("doors", 1.0), steps=(down,))
    assert spans(made) == {"down": (1.0, 3.0), "down-part": (0.5, 2.5), "down-rest": (0.0, 0.5)}
    assert [one.release for one in made.steps] == [(), (), ("uplock",)]
    slow = faulty(Late("gear", 0.5), Slow("doors", 0.5), steps=(down,))
    assert [(one.id, one.release) for one in slow.steps] == [("down", ("uplock",)), ("down-part", ())]


def test_one_drive_may_be_late_and_slow():
    assert spans(faulty(Late("gear", 0.5), Slow("gear", 0.5)))["up"] == (1.5, 31.5)


def test_a_late_drive_gets_stuck_where_it_is_by_then():
    made = faulty(Late("gear", 1.0), Stuck("gear", 8.5))
    (move,) = next(one for one in made.steps if one.id == "up-part").moves
    assert move.to == pytest.approx(UP * 6.5 / 15.0)
    assert spans(made)["up-part"] == pytest.approx((2.0, 8.5))


def test_a_slow_drive_may_get_stuck_after_it_should_have_arrived():
    with pytest.raises(SenselessRequest, match="cannot get stuck at 20 s"):
        faulty_sequence(gear(), Trial("run", Stuck("gear", 20.0)))
    made = faulty(Slow("gear", 0.5), Stuck("gear", 20.0))
    (move,) = next(one for one in made.steps if one.id == "up").moves
    assert move.to == pytest.approx(UP * 19.0 / 30.0)


def test_a_drive_that_is_stuck_stays_so_on_the_way_back():
    project, times = gear(), np.linspace(0.1, 7.9, 40)
    made = faulty_sequence(project, Trial("run", Together((Back(4.0), Stuck("doors", 0.5)))))
    doors = inputs_of(build(project), lay_out(made)).at(times)[:, 1]
    assert doors[times > 0.5] == pytest.approx(45.0, abs=1e-6)
    legs = inputs_of(build(project), lay_out(made)).at(times)[:, 0]
    assert legs == pytest.approx(legs[::-1], abs=1e-6)


def test_a_latch_that_fails_fails_on_the_way_back_too():
    down = step("down", 2.0, {"gear": 0.0}, release=("uplock",))
    made = faulty(Back(1.0), NotEngaging("uplock"), steps=(down,))
    assert [(one.engage, one.release) for one in made.steps] == [((), ("uplock",)), ((), ())]


def test_which_comes_first_makes_no_difference():
    faults = (Late("doors", 0.5), NotEngaging("uplock"), Back(17.0), Slow("gear", 0.5))
    assert faulty(*faults) == faulty(*reversed(faults))


@pytest.mark.parametrize(
    ("faults", "line"),
    [
        ((Late("doors", 1.0), Late("doors", 2.0)), "cannot be tried together: one of them is enough"),
        ((NotEngaging("uplock"), NotEngaging("uplock")), "Uplock not engaging and Uplock not engaging cannot be"),
        ((Back(1.0), Back(2.0)), "Stopped at 1.00 s and run back and Stopped at 2.00 s and run back cannot"),
        ((Stuck("doors"), Late("doors", 1.0)), "Doors late by 1.00 s makes no difference beside Doors not moving"),
        ((Late("doors", 1.0), Late("door", 1.0)), "Run moves no drive 'door'; it moves doors, gear"),
        ((Late("gear", 1.0), Stuck("doors", -1.0)), "Doors cannot get stuck at -1 s"),
        ((Back(0.5), NotEngaging("uplock")), "makes no difference beside"),
    ],
)
def test_what_makes_no_sense_together_is_refused_in_a_line(faults: tuple[Single, ...], line: str):
    project, trial = gear(), Trial("run", Together(faults))
    with pytest.raises(SenselessRequest) as refused:
        trial_project(project, trial)
    assert line in str(refused.value)
    assert "\n" not in str(refused.value)
    assert trial.apply(project) is project


def test_one_fault_is_no_several():
    assert together([Late("doors", 1.0)]) == Late("doors", 1.0)
    assert parts_of(Late("doors", 1.0)) == (Late("doors", 1.0),)
    assert singles_of(Trial("run", Together((Stuck("gear"), Stuck("doors"))), waits=True)) == (
        Trial("run", Stuck("gear"), waits=True), Trial("run", Stuck("doors"), waits=True),
    )  # fmt: skip


@pytest.mark.parametrize("waits", [False, True])
def test_every_pair_can_be_kept_as_a_sequence_that_makes_sense_and_runs_the_same(waits: bool):
    release = step("down", 2.0, {"gear": 0.0, "doors": 90.0}, release=("uplock",))
    project = gear(*gear().sequences[0].steps, release)
    pairs = pairs_of(project, "run", waits=waits)
    assert 60 < len(pairs) <= count_of_pairs(project, "run")
    for trial in pairs:
        kept = kept_sequence(project, trial)
        assert problems(AddSequence(kept).apply(project)) == ()
        was, now = lay_out(trial_project(project, trial).sequences[0]), lay_out(kept)
        assert [(one.begin, one.end, one.moves) for one in now.steps] == [
            (one.begin, one.end, one.moves) for one in was.steps
        ]


def test_pairs_are_of_those_that_are_named():
    named = (Late("doors", 0.5), Late("gear", 0.5), NotEngaging("uplock"))
    assert [one.fault for one in pairs_of(gear(), "run", faults=named)] == [
        Together((named[0], named[1])), Together((named[0], named[2])), Together((named[1], named[2])),
    ]  # fmt: skip
    count = sum(1 for _ in every_fault(gear(), "run"))
    assert count_of_pairs(gear(), "run") == count * (count - 1) // 2


def test_what_two_faults_bring_and_neither_alone_is_told_and_comes_first():
    """The door is far enough open when the leg comes by where it is late, and where it is slow, but not where both."""
    steps = (step("open", 1.0, {"doors": 90.0}), step("up", 3.0, {"gear": UP}, together_with="open", delay=0.2))
    sound = run(gear(*steps))
    late, slow = Late("doors", 0.4), Slow("doors", 0.55)
    trials = (Trial("run", late), Trial("run", Together((late, slow))), Trial("run", slow))
    listed = try_all(sound, trials)
    assert listed[0].trial == trials[1]
    outcomes = {one.trial.fault: one for one in listed}
    assert outcomes[late].compared.harmful == outcomes[slow].compared.harmful == ()
    both = outcomes[Together((late, slow))]
    assert [one.kind for one in both.together] == [Kind.CLASH]
    assert both.worst == both.together[0]


def test_what_one_brings_alone_is_not_of_both_together():
    sound = run(gear())
    (outcome,) = try_all(sound, (Trial("run", Together((Stuck("doors"), NotEngaging("uplock")))),))
    assert [one.kind for one in outcome.compared.new] == [Kind.CLASH]
    assert outcome.compared.new[0].begin == pytest.approx(1.0 + TOUCHES / 10.0, abs=0.02)
    assert outcome.together == ()


def test_waiting_for_ever_is_told_of_several_as_of_one():
    trial = Trial("run", Together((Stuck("doors"), Late("gear", 1.0))), waits=True)
    assert never_begun(gear(), Trial("run", Stuck("doors"), waits=True)) == ("up", "shut")
    with pytest.raises(SenselessRequest, match=r"Gear late by 1\.00 s makes no difference"):
        trial_project(gear(), trial)
    both = Trial("run", Together((Stuck("gear", 8.5), Late("doors", 0.5))), waits=True)
    assert never_begun(gear(), both) == ("shut",)


def test_trying_pairs_tells_how_much_is_done_and_can_be_stopped():
    sound, told = run(gear()), list[float]()
    pairs = pairs_of(gear(), "run", faults=(Late("doors", 0.5), Late("gear", 0.5), NotEngaging("uplock")))
    try_all(sound, pairs, progress=lambda _words, share: told.append(share))
    assert told == pytest.approx([0.0, 1 / 6, 2 / 6, 3 / 6, 4 / 6, 5 / 6, 1.0])
    with pytest.raises(CheckCancelled):
        try_all(sound, pairs, cancelled=lambda: len(told) > 0)


def test_a_latch_that_holds_throughout_beside_a_late_drive_begins_held():
    down = step("down", 2.0, {"gear": 0.0}, release=("uplock",))
    made = faulty(NotReleasing("uplock"), Late("gear", 0.5), steps=(down,))
    assert [(one.id, one.engage) for one in made.steps] == [("uplock-holds", ("uplock",)), ("down", ())]
    assert spans(made)["down"] == (0.5, 2.5)
