"""Paths of points: where they are known in closed form, exact to their tolerance between moments too."""

from __future__ import annotations

import dataclasses
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.project import Move, Project, Sequence, Step
from core.document.project_file import read_project
from core.geometry.planar import point_at
from core.motion.motion import Motion
from core.motion.tracing import MOST_TICKS, TOLERANCE, arrow_of, tick_step, ticks_of, trace_of
from core.study import run
from tests.app.small_aircraft import small_aircraft

SAMPLES = Path(__file__).resolve().parents[3] / "sample_projects"
HUB = complex(*next(one.at for one in small_aircraft().connections if one.id == "leg-pivot"))
ARM = 50.0
POINT = HUB - 1j * ARM


def motion(project: Project, sequence: str = "retract") -> Motion:
    return run(project, sequence=sequence).sequences[0].motion


@cache
def leg() -> Motion:
    return motion(small_aircraft())


def between(trace, times: np.ndarray) -> np.ndarray:
    return np.interp(times, trace.times, trace.places)


@pytest.mark.parametrize("tolerance", [0.1, TOLERANCE, 0.001])
def test_a_point_of_a_lever_goes_along_its_circle(tolerance: float):
    trace = trace_of(leg(), leg().bodies.index("leg"), POINT, tolerance)
    assert trace.proved
    assert trace.tolerance == tolerance
    fine = between(trace, np.linspace(0.0, trace.times[-1], 20_011))
    off = np.abs(np.abs(fine - HUB) - ARM)
    assert off.max() <= tolerance
    assert trace.length == pytest.approx(ARM * np.deg2rad(92.0), rel=1e-3)
    assert trace.places[0] == pytest.approx(POINT)


def test_finer_tolerances_take_more_moments_and_coarse_ones_no_more_than_the_frames_and_steps():
    number = leg().bodies.index("leg")
    fine, coarse = (len(trace_of(leg(), number, POINT, tolerance).times) for tolerance in (0.0002, 1.0))
    assert fine > 2 * coarse
    assert coarse <= len(leg().times) + 2 * len(leg().schedule.steps)


@pytest.mark.parametrize(
    ("project", "body", "proved"), [("merrow-t2", "piston", True), ("skarn-p9", None, True), ("pellow-3", None, False)]
)
def test_the_samples_paths_hold_between_their_moments(project: str, body: str | None, proved: bool):
    """Proved but for the Pellow, whose linkage turns back at a dead centre."""
    read = read_project(SAMPLES / project)
    solved = motion(read, read.sequences[0].id)
    travel = np.ptp(solved.poses, axis=0).max(axis=1)
    number = int(np.argmax(travel)) if body is None else solved.bodies.index(body)
    point = 3.0 - 20.0j
    trace = trace_of(solved, number, point)
    assert trace.proved is proved
    times = np.sort(np.random.default_rng(1).uniform(0.0, trace.times[-1], 2000))
    true = point_at(solved.poses_at(times)[:, number], point)
    assert np.abs(between(trace, times) - true).max() <= TOLERANCE


def test_a_motion_without_equations_is_seen_and_not_proved():
    bare = dataclasses.replace(leg(), course=None)
    trace = trace_of(bare, leg().bodies.index("leg"), POINT)
    assert not trace.proved
    fine = between(trace, np.linspace(0.0, trace.times[-1], 5001))
    assert np.abs(np.abs(fine - HUB) - ARM).max() <= TOLERANCE


def test_what_stands_still_has_no_path():
    trace = trace_of(leg(), leg().bodies.index("airframe"), 5.0 + 5.0j)
    assert trace.stretches == ()
    assert ticks_of(trace, 0.1) == ()
    assert arrow_of(trace) is None


def test_where_a_body_is_held_the_path_is_parted():
    solved = motion(read_project(SAMPLES / "merrow-t2-flawed"))
    held = np.flatnonzero(~solved.assembled.all(axis=0))
    assert len(held), "the flawed aircraft has a rod that jams"
    number = int(held[0])
    trace = trace_of(solved, number, 1.0 + 1.0j)
    known = solved.assembled_at(trace.times)[:, number]
    assert np.array_equal(np.isfinite(trace.places), known)
    assert trace.at(float(trace.times[~known][0])) is None


# ---- ticks -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("seconds", "step"), [(7.5, 0.2), (4.0, 0.1), (0.4, 0.01), (100.0, 5.0), (0.0, 1.0)])
def test_the_step_of_ticks_is_round(seconds: float, step: float):
    assert tick_step(seconds) == pytest.approx(step)
    assert seconds / step <= MOST_TICKS + 1e-9


def swung(*steps: Step) -> Motion:
    project = small_aircraft()
    return motion(replace(project, sequences=(Sequence(id="retract", steps=steps),)))


def test_ticks_of_a_steady_move_are_evenly_spaced_and_across_the_way():
    solved = swung(Step(id="up", duration=2.0, moves=(Move(drive="gear", to=80.0),)))
    trace = trace_of(solved, solved.bodies.index("leg"), POINT)
    ticks = ticks_of(trace, 0.1)
    places = np.array([tick.at for tick in ticks])
    assert len(ticks) == 21
    assert np.ptp(np.abs(np.diff(places))) < 4 * TOLERANCE
    square = (places - HUB) / ARM * np.exp(-1j * np.array([tick.turn for tick in ticks]))
    assert np.abs(square.real).max() < 0.03, "the way goes at a right angle to the arm"


def test_a_pause_has_one_tick_and_a_faster_move_wider_ones():
    slow = Step(id="slow", duration=2.0, moves=(Move(drive="gear", to=20.0),))
    fast = Step(id="fast", delay=1.0, duration=1.0, moves=(Move(drive="gear", to=60.0),))
    solved = swung(slow, fast)
    ticks = ticks_of(trace_of(solved, solved.bodies.index("leg"), POINT), 0.25)
    gaps = np.abs(np.diff([tick.at for tick in ticks]))
    assert [tick.time for tick in ticks] == pytest.approx([*np.arange(0.0, 2.01, 0.25), *np.arange(3.25, 4.01, 0.25)])
    assert gaps[-1] / gaps[0] == pytest.approx(4.0, rel=0.01)


def test_the_arrow_stands_half_way_and_points_on():
    solved = swung(Step(id="up", duration=2.0, moves=(Move(drive="gear", to=90.0),)))
    trace = trace_of(solved, solved.bodies.index("leg"), POINT)
    arrow = arrow_of(trace)
    assert arrow.time == pytest.approx(1.0, abs=0.01)
    assert np.exp(1j * arrow.turn) == pytest.approx(np.exp(0.25j * np.pi), abs=0.03)
