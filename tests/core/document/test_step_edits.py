"""Steps made, removed, ordered, chained, split and joined; what they do not name keeps its time."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from core.document.checks import problems
from core.document.project import Aircraft, Body, Drive, Moment, Move, Pivot, Project, Sequence, Step, Target, View
from core.document.project_file import read_project
from core.document.sequence_checks import step_spans
from core.document.sequence_edits import AddSequence, OrderSequence, RemoveSequence, RenameSequence, copied_sequence
from core.document.step_edits import AddStep, RemoveStep, RemoveSteps, SetMove
from core.document.step_part_edits import JoinSteps, SplitStep
from core.document.step_time_edits import ChainStep, OrderSteps, SetStepSpan, ShiftSteps
from core.document.steps import rest_of
from core.mechanism.build import build
from core.motion.inputs import inputs_of
from core.motion.new_steps import asked_at, reached
from core.motion.schedule import lay_out

SAMPLES = Path(__file__).resolve().parents[3] / "sample_projects"


def project(*steps, targets=(), figures=()):
    return Project(
        aircraft=Aircraft(name="Merrow T.2"),
        views=(View(id="side"),),
        bodies=(Body(id="frame", view="side", fixed=True), Body(id="leg", view="side"), Body(id="door", view="side")),
        connections=(
            Pivot(id="leg-pivot", bodies=("frame", "leg"), at=(0.0, 0.0)),
            Pivot(id="hinge", bodies=("frame", "door"), at=(9.0, 0.0)),
        ),
        drives=(Drive(id="gear", on="leg-pivot"), Drive(id="doors", on="hinge")),
        sequences=(Sequence(id="retract", name="Retract", steps=steps),),
        targets=targets,
        figures=figures,
    )


OPEN = Step(id="open", duration=1.0, moves=(Move(drive="doors", to=90.0),))
UP = Step(id="up", duration=4.0, delay=0.5, moves=(Move(drive="gear", to=100.0),))
SHUT = Step(id="shut", after="up", duration=1.5, moves=(Move(drive="doors", to=0.0),))
THREE = project(OPEN, UP, SHUT)


def spans(one):
    return step_spans(one.sequences[0])


def ids(one):
    return [step.id for step in one.sequences[0].steps]


def test_a_step_is_added_at_a_place_and_at_the_end():
    lock = Step(id="lock", name="Lock", duration=0.2)
    assert ids(AddStep("retract", lock).apply(THREE)) == ["open", "up", "shut", "lock"]
    assert ids(AddStep("retract", lock, 1).apply(THREE)) == ["open", "lock", "up", "shut"]
    assert AddStep("retract", lock).label == "Add step Lock"


def test_the_first_step_makes_the_sequence():
    bare = replace(THREE, sequences=())
    made = AddStep("extend", OPEN, sequence_name="Extend").apply(bare)
    assert made.sequences == (Sequence(id="extend", name="Extend", steps=(OPEN,)),)


def test_what_waited_for_a_removed_step_waits_for_what_that_waited_for():
    left = RemoveStep("retract", "up").apply(THREE)
    assert ids(left) == ["open", "shut"]
    assert spans(left)["shut"][0] == pytest.approx(1.5), "it followed up, which was to come half a second after open"
    assert not problems(left)
    assert RemoveStep("retract", "none").apply(THREE) is THREE


def test_moments_after_a_removed_step_are_those_after_the_one_above():
    target = Target(id="t", body="leg", at=Moment(sequence="retract", after="up"), x=0, y=0, turn=0)
    begun = replace(target, id="u", at=Moment(sequence="retract", after="open"))
    marked = project(OPEN, UP, SHUT, targets=(target, begun))
    assert RemoveStep("retract", "up").apply(marked).targets[0].at.after == "open"
    assert RemoveStep("retract", "open").apply(marked).targets[1].at == Moment(sequence="retract", at="start")


def test_a_move_is_set_added_and_taken_out():
    changed = SetMove("retract", "up", "gear", 95.0).apply(THREE)
    assert changed.sequences[0].steps[1].moves == (Move(drive="gear", to=95.0),)
    added = SetMove("retract", "up", "doors", 80.0, "eased").apply(THREE)
    assert added.sequences[0].steps[1].moves[1] == Move(drive="doors", to=80.0, profile="eased")
    assert SetMove("retract", "up", "gear", None).apply(THREE).sequences[0].steps[1].moves == ()
    assert SetMove("retract", "up", "gear", 100.0).apply(THREE) is THREE
    assert SetMove("retract", "up", "gear", float("inf")).apply(THREE) is THREE


def test_a_step_is_chained():
    along = ChainStep("retract", "shut", together_with="up", delay=2.0).apply(THREE)
    assert spans(along)["shut"] == pytest.approx((3.5, 5.0))
    assert ChainStep("retract", "shut", after="up").apply(THREE) is THREE


@given(st.permutations(range(4)), st.integers(0, 3), st.integers(0, 3))
def test_ordering_steps_changes_no_time(order, moved, place):
    steps = [Step(id=f"s{i}", duration=1.0 + i, delay=0.25 * i) for i in order]
    many = project(*steps)
    ordered = OrderSteps("retract", (f"s{moved}",), place).apply(many)
    assert ids(ordered)[place] == f"s{moved}"
    for step, span in spans(many).items():
        assert spans(ordered)[step] == pytest.approx(span)


@given(st.permutations(range(5)), st.sets(st.integers(0, 4), min_size=1), st.integers(0, 5))
def test_several_steps_are_ordered_together_and_keep_their_times(order, moved, place):
    many = project(*(Step(id=f"s{i}", duration=1.0 + i, delay=0.25 * i) for i in order))
    chosen = tuple(f"s{one}" for one in moved)
    ordered = OrderSteps("retract", chosen, place).apply(many)
    first = min(place, 5 - len(chosen))
    together = [one for one in ids(many) if one in chosen]
    assert ids(ordered)[first : first + len(chosen)] == together
    assert [one for one in ids(ordered) if one not in chosen] == [one for one in ids(many) if one not in chosen]
    for step, span in spans(many).items():
        assert spans(ordered)[step] == pytest.approx(span)
    assert OrderSteps("retract", chosen, place).apply(ordered) is ordered


def test_a_split_step_ends_when_it_did_and_what_followed_follows_the_rest():
    split = SplitStep("retract", "up", 0.25, "up-2", (("gear", 25.0),)).apply(THREE)
    assert ids(split) == ["open", "up", "up-2", "shut"]
    assert spans(split)["up"] == pytest.approx((1.5, 2.5))
    assert spans(split)["up-2"] == pytest.approx((2.5, 5.5))
    assert spans(split)["shut"] == spans(THREE)["shut"]
    assert [step.moves[0].to for step in split.sequences[0].steps[1:3]] == [25.0, 100.0]
    assert SplitStep("retract", "up", 0.0, "up-2", ()).apply(THREE) is THREE


def test_steps_split_and_joined_are_one_again():
    split = SplitStep("retract", "up", 0.25, "up-2", (("gear", 25.0),)).apply(THREE)
    joined = JoinSteps("retract", "up", "up-2").apply(split)
    assert spans(joined) == {step: pytest.approx(span) for step, span in spans(THREE).items()}
    assert joined.sequences[0].steps[1].moves == UP.moves


@pytest.mark.parametrize("sample", sorted(one.parent.name for one in SAMPLES.glob("*/project.json")))
def test_every_step_split_and_joined_is_what_it_was(sample: str):
    made = read_project(SAMPLES / sample)
    for sequence in made.sequences:
        for laid in lay_out(sequence).steps:
            assert rest_of(sequence, _step(sequence, laid.id)) is None, "it was never split"
            share = 0.3
            at = laid.begin + share * (laid.end - laid.begin)
            values = reached(made, sequence, _step(sequence, laid.id), at)
            split = SplitStep(sequence.id, laid.id, share, "the-rest", values).apply(made)
            parts = next(one for one in split.sequences if one.id == sequence.id)
            assert rest_of(parts, _step(parts, "the-rest")) == laid.id
            assert JoinSteps(sequence.id, laid.id, "the-rest").apply(split) == made


def _step(sequence: Sequence, step: str) -> Step:
    return next(one for one in sequence.steps if one.id == step)


@pytest.mark.parametrize(
    "other",
    [{"delay": 0.1}, {"moves": ()}, {"release": ("lock",)}, {"moves": (Move(drive="gear", to=9.0, profile="eased"),)}],
)
def test_what_begins_something_of_its_own_is_nobodys_rest(other: dict):
    later = Step(id="later", after="up", duration=1.0, moves=(Move(drive="gear", to=9.0),))
    assert rest_of(project(UP, later).sequences[0], later) == "up"
    changed = replace(later, **other)
    assert rest_of(project(UP, changed).sequences[0], changed) is None


def test_joining_keeps_latches_and_the_later_target():
    first = Step(id="a", duration=1.0, moves=(Move(drive="gear", to=1.0),), release=("lock",))
    second = Step(
        id="b", duration=2.0, moves=(Move(drive="gear", to=2.0), Move(drive="doors", to=3.0)), engage=("lock",)
    )
    one = JoinSteps("retract", "a", "b").apply(project(first, second)).sequences[0].steps
    assert len(one) == 1
    assert (one[0].engage, one[0].release, one[0].duration) == (("lock",), ("lock",), 3.0)
    assert [move.to for move in one[0].moves] == [2.0, 3.0]


def test_removing_a_sequence_takes_what_is_measured_in_it():
    target = Target(id="t", body="leg", at=Moment(sequence="retract", at="end"), x=0, y=0, turn=0)
    marked = AddSequence(Sequence(id="extend")).apply(project(OPEN, targets=(target,)))
    left = RemoveSequence("retract").apply(marked)
    assert [one.id for one in left.sequences] == ["extend"]
    assert left.targets == ()
    assert not problems(left)
    assert RenameSequence("retract", "Up").apply(THREE).sequences[0].name == "Up"


def test_the_first_step_may_go_down_though_all_others_wait_for_it():
    steps = (OPEN, replace(UP, after="open"), Step(id="lock", duration=0.5), replace(SHUT, after="lock"))
    for moved in range(4):
        for place in range(4):
            many = project(*steps)
            ordered = OrderSteps("retract", (steps[moved].id,), place).apply(many)
            assert not problems(ordered)
            assert ids(ordered)[place] == steps[moved].id
            assert spans(ordered) == {step: pytest.approx(span) for step, span in spans(many).items()}


def test_steps_in_a_ring_have_no_time_and_are_not_waited_for_for_ever():
    ring = project(replace(OPEN, after="shut"), UP, SHUT)
    assert spans(ring) == {}


def test_what_stood_below_a_removed_step_waits_for_what_that_named():
    steps = (
        OPEN,
        Step(id="side", duration=9.0, together_with="open"),
        replace(UP, after="open"),
        Step(id="end", duration=1),
    )
    left = RemoveStep("retract", "up").apply(project(*steps))
    assert spans(left)["end"] == pytest.approx((1.5, 2.5))


WAYS = st.tuples(st.floats(0.0, 3.0), st.sampled_from(["", "after", "together_with"]), st.integers(0, 5))


@given(st.lists(WAYS, min_size=2, max_size=6), st.data())
def test_any_row_may_go_anywhere(made, data):
    steps = []
    for number, (delay, how, other) in enumerate(made):
        named = {how: f"s{other % number}"} if how and number else {}
        steps.append(Step(id=f"s{number}", duration=1.0, delay=delay, **named))
    order = data.draw(st.permutations(steps))
    many = project(*order)
    if problems(many):
        return
    moved, place = data.draw(st.sampled_from(steps)).id, data.draw(st.integers(0, len(steps) - 1))
    ordered = OrderSteps("retract", (moved,), place).apply(many)
    assert ids(ordered)[place] == moved
    assert not problems(ordered)
    assert spans(ordered) == {step: pytest.approx(span, abs=1e-9) for step, span in spans(many).items()}


def test_several_steps_are_shifted_removed_and_begun_elsewhere():
    assert spans(ShiftSteps("retract", ("up", "shut"), 0.25).apply(THREE))["shut"] == pytest.approx((5.75, 7.25))
    assert spans(ShiftSteps("retract", ("up", "shut"), 0.25).apply(THREE))["up"] == pytest.approx((1.75, 5.75))
    assert ShiftSteps("retract", ("none",), 0.25).apply(THREE) is THREE
    assert ids(RemoveSteps("retract", ("open", "shut")).apply(THREE)) == ["up"]
    assert spans(SetStepSpan("retract", "up", 1.0, 3.5).apply(THREE))["up"] == pytest.approx((2.0, 5.5))


def test_a_step_put_between_others_moves_none_of_them():
    lock = Step(id="lock", duration=0.2)
    for place in range(4):
        grown = AddStep("retract", lock, place).apply(THREE)
        assert ids(grown)[place] == "lock"
        assert {step: spans(grown)[step] for step in spans(THREE)} == {
            step: pytest.approx(span) for step, span in spans(THREE).items()
        }


def test_sequences_are_ordered():
    two = AddSequence(Sequence(id="extend")).apply(THREE)
    assert [one.id for one in OrderSequence("extend", 0).apply(two).sequences] == ["extend", "retract"]
    assert OrderSequence("extend", 5).apply(two) is two


def test_an_eased_step_split_and_joined_moves_as_before():
    eased = project(OPEN, replace(UP, moves=(Move(drive="gear", to=100.0, profile="eased"),)))
    times = np.linspace(0.0, 5.5, 45)
    before = _asked(eased, times)
    at = 2.5
    split = SplitStep("retract", "up", 0.25, "rest", (("gear", asked_at(eased, eased.sequences[0], at)["gear"]),))
    assert _asked(split.apply(eased), times) == pytest.approx(before, abs=1e-9)
    again = JoinSteps("retract", "up", "rest").apply(split.apply(eased))
    assert _asked(again, times) == pytest.approx(before, abs=1e-9)
    assert again.sequences[0].steps[1].moves == eased.sequences[0].steps[1].moves


def _asked(one: Project, times):
    return inputs_of(build(one), lay_out(one.sequences[0])).at(times)


def test_a_copied_sequence_has_steps_of_its_own_that_wait_for_each_other():
    copied = copied_sequence(THREE, THREE.sequences[0])
    two = AddSequence(copied, 0).apply(THREE)
    assert not problems(two)
    assert [one.name for one in two.sequences] == ["Retract 2", "Retract"]
    assert [step.after for step in copied.steps] == [None, None, copied.steps[1].id]
    assert list(step_spans(copied).values()) == list(spans(THREE).values())
