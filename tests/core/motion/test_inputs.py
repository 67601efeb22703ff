"""What drives are asked for, and when latches hold."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.project import Move, Project
from core.mechanism.build import build
from core.motion.inputs import Inputs, inputs_of, latch_events
from core.motion.schedule import lay_out
from tests.mechanisms.sketch import FRAME, frame, jack, latch, moving, pivot, project, sequence, step


def made(*steps, start: dict[str, float] | None = None) -> Project:
    bodies = (frame(), *moving("leg", "door"))
    connections = (
        pivot("leg-pivot", FRAME, "leg", 0),
        pivot("hinge", FRAME, "door", 50),
        jack("ram", FRAME, "door", 80 + 30j, 60, 35.0, 10.0),
        latch("hook", "leg", "door", 1, 2),
    )
    return project(bodies, connections, {"gear": "leg-pivot", "doors": "ram"}, steps, start)


def inputs(*steps, start: dict[str, float] | None = None) -> Inputs:
    project_made = made(*steps, start=start)
    return inputs_of(build(project_made), lay_out(project_made.sequences[0]))


def test_a_drive_that_nothing_moves_holds_what_it_has() -> None:
    drawn = abs(20 + 30j) - 35.0
    asked = inputs(step("up", 2.0, {"gear": 90.0}))
    assert asked.at(np.array([0.0, 1.0, 2.0, 5.0])) == pytest.approx(
        np.array([[0.0, drawn], [45.0, drawn], [90.0, drawn], [90.0, drawn]])
    )
    assert not asked.led_in


def test_a_move_goes_from_where_the_drive_is() -> None:
    asked = inputs(step("up", 2.0, {"gear": 90.0}), step("on", 1.0, {"gear": 60.0}), start={"gear": -10.0})
    assert asked.at(np.array([0.0, 1.0, 2.5, 3.0]))[:, 0] == pytest.approx([-10.0, 40.0, 75.0, 60.0])
    assert asked.led_in
    assert asked.at(np.array([-1.0, -0.5, -1e-9]))[:, 0] == pytest.approx([0.0, -5.0, -10.0], abs=1e-6)


def test_an_eased_move_starts_and_ends_at_rest() -> None:
    asked = inputs(step("up", 2.0, {"gear": 80.0}, profile="eased"))
    times = np.linspace(0.0, 2.0, 4001)
    track = asked.at(times)[:, 0]
    speed = np.gradient(track, times)
    acceleration = np.gradient(speed, times)
    assert (np.diff(track) >= 0.0).all()
    assert track[[0, 2000, 4000]] == pytest.approx([0.0, 40.0, 80.0])
    assert abs(speed[0]) < 1e-3
    assert abs(speed[-1]) < 1e-3
    assert abs(acceleration[2]) < 2.0 < abs(acceleration).max()
    assert speed.max() == pytest.approx(1.875 * 40.0, rel=1e-3)


@pytest.mark.parametrize("share", [1e-3, 0.3, 0.5, 0.8, 0.999])
def test_a_move_broken_off_goes_as_the_whole_one_did_and_comes_back_as_it_went(share: float) -> None:
    whole = inputs(step("up", 2.0, {"gear": 80.0}, profile="eased"))
    (reached,) = whole.at(np.array([2.0 * share]))[:, 0]
    there = Move(drive="gear", to=float(reached), profile="eased", part=(0.0, share))
    back = Move(drive="gear", to=0.0, profile="eased", part=(1.0 - share, 1.0))
    asked = inputs(
        replace(step("up", 2.0 * share), moves=(there,)), replace(step("down", 2.0 * share), moves=(back,))
    )  # fmt: skip
    times = np.linspace(0.0, 2.0 * share, 101)
    assert asked.at(times)[:, 0] == pytest.approx(whole.at(times)[:, 0], rel=1e-12, abs=1e-12)
    assert asked.at(4.0 * share - times)[:, 0] == pytest.approx(whole.at(times)[:, 0], rel=1e-9, abs=1e-12)


def test_a_step_that_takes_no_time_is_done_at_once() -> None:
    asked = inputs(step("wait", 1.0), step("snap", 0.0, {"gear": 30.0}), step("on", 1.0, {"gear": 40.0}))
    assert asked.at(np.array([0.0, 0.999, 1.0, 1.5]))[:, 0] == pytest.approx([0.0, 0.0, 30.0, 35.0])


def test_a_drive_rests_where_no_move_is() -> None:
    asked = inputs(step("wait", 1.0), step("up", 1.0, {"gear": 30.0}), step("after", 1.0))
    assert asked.rests(0, 0.0, 1.0)
    assert not asked.rests(0, 0.5, 1.5)
    assert asked.rests(0, 2.0, 3.0)
    assert asked.rests(1, 0.0, 3.0)


def events(*steps) -> list[tuple[float, tuple[tuple[int, bool], ...]]]:
    project_made = made(*steps)
    return [
        (event.time, event.changes) for event in latch_events(build(project_made), lay_out(project_made.sequences[0]))
    ]


HOOK = 3


def test_a_latch_engages_at_the_end_and_releases_at_the_begin() -> None:
    steps = (step("up", 2.0, engage=("hook",)), step("wait", 1.0), step("down", 2.0, release=("hook",)))
    assert events(*steps) == [(2.0, ((HOOK, True),)), (3.0, ((HOOK, False),))]


def test_what_ends_comes_before_what_begins() -> None:
    steps = (step("up", 2.0, engage=("hook",)), step("down", 2.0, release=("hook",)))
    assert events(*steps) == [(2.0, ((HOOK, True), (HOOK, False)))]


def test_a_latch_that_is_only_released_held_from_the_start() -> None:
    assert events(step("wait", 1.0), step("down", 2.0, release=("hook",))) == [
        (0.0, ((HOOK, True),)),
        (1.0, ((HOOK, False),)),
    ]


def test_sequences_without_steps_have_no_events() -> None:
    project_made = replace(made(), sequences=(sequence(()),))
    schedule = lay_out(project_made.sequences[0])
    assert latch_events(build(project_made), schedule) == ()
