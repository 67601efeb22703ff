"""Where a linkage comes to stand in line, so that its drive has no hold on it for a moment."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from core.geometry.planar import Floats
from core.motion.assembly import Knot, Stage
from core.motion.following import SIGN_SEEN
from core.motion.freedoms import carried_through
from core.motion.knot_room import Near, nearest_of
from core.motion.phase import TOUCH
from core.motion.placing import Placing
from core.motion.settle import near_enough
from core.motion.span import Course, Stretch
from core.motion.trouble import DeadCentre


def dead_centres_of(course: Course) -> tuple[DeadCentre, ...]:
    """One for each time that a linkage comes near a dead centre, at its nearest; a jam there is told as a jam."""
    found: list[DeadCentre] = []
    for stretch in course.stretches:
        if stretch.phase.begin >= 0.0:
            for one in _of_stretch(course, stretch):
                if not any(_same(one, other, course.end) for other in found):
                    found.append(one)
    return tuple(found)


def _same(one: DeadCentre, other: DeadCentre, seconds: float) -> bool:
    return one.connections == other.connections and abs(one.time - other.time) <= 1e-6 * max(seconds, 1e-9)


def _of_stretch(course: Course, stretch: Stretch) -> Iterator[DeadCentre]:
    phase, settled = stretch.phase, stretch.settled
    for number, stage in enumerate(phase.plan.stages):
        knot = isinstance(stage.step, Knot)
        for near in _of_knot(course, stretch, number) if knot else _of_step(stretch, number):
            if carried_through(course, stage, near.time):
                continue
            passed = any(which == number and abs(when - near.time) <= 1e-6 for which, when in settled.passed)
            first = stretch is course.stretches[0] and near.time <= phase.begin + 1e-9
            at_start = first and not knot and _drawn_dead(stage, phase.start)
            yield DeadCentre(
                drive=_drive(course, stage, near.time),
                connections=tuple(course.mechanism.links[link].id for link in stage.step.links),
                time=near.time,
                distance=max(near.margin, 0.0),
                branches=passed or at_start or near.branches,
            )


def _drawn_dead(stage: Stage, start: Floats) -> bool:
    """Whether a step's bodies stand in line at the start, so that they show no branch."""
    assert not isinstance(stage.step, Knot)
    return abs(stage.step.lean(Placing.at_poses(start))) <= SIGN_SEEN


def _of_step(stretch: Stretch, number: int) -> list[Near]:
    """The nearest moment of each span in which the margin is small; none of a span that jams."""
    outcome, grid = stretch.settled.result.outcomes[number], stretch.phase.grid
    margin = outcome.margin
    if not np.isfinite(margin).any():
        return []
    size = np.broadcast_to(outcome.size, margin.shape)
    small = np.flatnonzero((margin < near_enough(size)) & outcome.asked)
    least = [one for one in stretch.settled.least if one.which == number]
    found = []
    for run in np.split(small, np.flatnonzero(np.diff(small) > 1) + 1) if len(small) else []:
        low, high = grid[max(run[0] - 1, 0)], grid[min(run[-1] + 1, len(grid) - 1)]
        inside = [one for one in least if low <= one.time <= high]
        best = run[np.argmin(margin[run])]
        nearest = min([Near(float(grid[best]), float(margin[best])), *(Near(one.time, one.margin) for one in inside)],
                      key=lambda one: one.margin)  # fmt: skip
        still = (
            np.ptp(margin[run]) <= TOUCH * float(size[best])
            and not inside
            and nearest.margin > TOUCH * float(size[best])
        )
        if not still and nearest.margin >= -TOUCH * float(size[best]):
            found.append(nearest)
    seen = [one for one in least if one.margin < near_enough(one.size) and one.margin >= -TOUCH * one.size]
    found += [Near(one.time, one.margin) for one in seen if not _within(one.time, small, grid)]
    return found


def _within(time: float, frames: np.ndarray, grid: Floats) -> bool:
    """Whether a span of small margins on the grid has the moment in it already."""
    if not len(frames):
        return False
    gap = np.diff(grid).max() if len(grid) > 1 else 0.0
    return bool(np.abs(grid[frames] - time).min() <= gap)


def _of_knot(course: Course, stretch: Stretch, number: int) -> list[Near]:
    """The moments at which what is left is as little as is told of a step, and those at which it goes through."""
    close = float(near_enough(course.mechanism.size))
    return [one for one in nearest_of(stretch.phase, number) if one.branches or one.margin < close]


def _drive(course: Course, stage: Stage, time: float) -> str | None:
    """Of the drives that a stage hangs on, the one that moves most at the time, or moved last."""
    drives = sorted(stage.upstream)
    if not drives:
        return None
    for reach in (1e-3, 0.05, 1.0):
        about = np.clip(time + reach * course.end * np.array([-1.0, 0.0, 1.0]), 0.0, course.end)
        values = course.inputs.at(about)[:, drives]
        moved = np.abs(np.diff(values, axis=0)).max(axis=0)
        if moved.max() > 1e-9:
            return course.mechanism.drives[drives[int(np.argmax(moved))]]
    return None
