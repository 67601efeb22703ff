"""Random sequences of steps against the words of the file format, by recursion, and drives by their steps."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.document.project import Moment, Move, Sequence, Step
from core.motion.schedule import Schedule, frame_times, lay_out, moment_seconds
from tests.mechanisms.example import solve
from tests.mechanisms.sketch import FRAME, frame, moving, pivot, project

seconds = st.floats(0.0, 5.0, allow_subnormal=False)


@st.composite
def sequences(draw: st.DrawFn) -> Sequence:
    """Steps that follow one above, one named or one below, or go along with one, never in a ring."""
    count = draw(st.integers(1, 7))
    order = draw(st.permutations(range(count)))
    place = {number: at for at, number in enumerate(order)}
    steps = []
    for number in range(count):
        sooner = [f"s{other}" for other in range(count) if place[other] < place[number]]
        # Without a partner a step follows the one above it, which must come sooner as well.
        kinds = ["after", "with"] if sooner else []
        if number == 0 or place[number - 1] < place[number]:
            kinds.append("above")
        kind = draw(st.sampled_from(kinds or ["none"]))
        if kind == "none":
            return draw(sequences())
        partner = draw(st.sampled_from(sooner)) if kind != "above" else None
        steps.append(
            Step(
                id=f"s{number}",
                duration=draw(seconds),
                delay=draw(seconds),
                after=partner if kind == "after" else None,
                together_with=partner if kind == "with" else None,
            )
        )
    return Sequence(id="run", steps=tuple(steps))


def begin_of(sequence: Sequence, number: int) -> float:
    """By the words: after the end of what it follows, or along with the begin of its partner, plus the delay."""
    numbers = {step.id: at for at, step in enumerate(sequence.steps)}
    step = sequence.steps[number]
    if step.together_with:
        return begin_of(sequence, numbers[step.together_with]) + step.delay
    if step.after:
        follows = numbers[step.after]
    elif number:
        follows = number - 1
    else:
        return step.delay
    return begin_of(sequence, follows) + sequence.steps[follows].duration + step.delay


@given(sequences())
def test_steps_begin_and_end_as_the_format_says(sequence: Sequence) -> None:
    schedule = lay_out(sequence)
    for number, (step, laid) in enumerate(zip(sequence.steps, schedule.steps, strict=True)):
        begin = begin_of(sequence, number)
        assert (laid.begin, laid.end) == (pytest.approx(begin), pytest.approx(begin + step.duration))
    assert schedule.seconds == pytest.approx(max(step.end for step in schedule.steps))
    times = frame_times(schedule, 11)
    assert times[-1] == schedule.seconds
    assert (np.diff(times) > 0).all()


def asked(schedule: Schedule, start: float, moves: dict[str, tuple[float, str]], time: float) -> float:
    """A drive's value by its steps, one after another; steady is a straight line, eased is known at its ends only."""
    value = start
    for step in schedule.steps:
        to, profile = moves[step.id]
        if time >= step.end:
            value = to
        elif time >= step.begin:
            share = (time - step.begin) / (step.end - step.begin)
            return value + (to - value) * share if profile == "steady" else np.nan
    return value


@given(st.lists(st.tuples(st.floats(-300, 300), st.sampled_from(["steady", "eased"]), st.floats(0.1, 3.0))), seconds)
def test_a_drive_is_where_its_steps_have_brought_it(moves: list[tuple[float, str, float]], delay: float) -> None:
    steps = tuple(
        Step(id=f"s{at}", duration=duration, delay=delay, moves=(Move(drive="turn", to=to, profile=profile),))
        for at, (to, profile, duration) in enumerate(moves)
    )
    start = 12.5
    made = project(
        (frame(), *moving("leg")), (pivot("leg-pivot", FRAME, "leg", 0),), {"turn": "leg-pivot"}, steps, {"turn": start}
    )
    motion = solve(made, 61)
    by_step = {f"s{at}": (to, profile) for at, (to, profile, _) in enumerate(moves)}
    known = np.array([asked(motion.schedule, start, by_step, time) for time in motion.times])
    sure = ~np.isnan(known)
    assert motion.drives[sure, 0] == pytest.approx(known[sure], abs=1e-6)
    assert np.rad2deg(motion.poses[:, motion.bodies.index("leg"), 2]) == pytest.approx(motion.drives[:, 0], abs=1e-9)
    lowest, highest = min([start, *(to for to, _, _ in moves)]), max([start, *(to for to, _, _ in moves)])
    assert motion.drives.min() >= lowest - 1e-9
    assert motion.drives.max() <= highest + 1e-9


def test_moments_have_names() -> None:
    schedule = lay_out(
        Sequence(id="run", steps=(Step(id="one", duration=1.5), Step(id="two", duration=2.0, delay=0.25)))
    )
    moments = [Moment(at="start"), Moment(after="one"), Moment(at=0.75), Moment(after="two"), Moment(at="end")]
    assert [moment_seconds(schedule, moment) for moment in moments] == [0.0, 1.5, 0.75, 3.75, 3.75]
