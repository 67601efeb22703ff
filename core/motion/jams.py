"""Where connections cannot hold together: of a step by its margin, of a knot and of a loop by what is left open."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from core.geometry.planar import Floats
from core.mechanism.constraints import rows_of
from core.mechanism.mechanism import Mechanism
from core.motion.assembly import Knot
from core.motion.newton import shortfall, take
from core.motion.phase import Outcome, Phase
from core.motion.span import Course, Stretch
from core.motion.trouble import Jam

LOOKS = 5
"""At how many of its moments the gap of a jammed knot is measured."""


def jams_of(course: Course) -> tuple[Jam, ...]:
    """One for every span of every stage or loop that fails; what fails on from phase to phase is one."""
    found: list[Jam] = []
    for stretch in course.stretches:
        if stretch.phase.end >= 0.0 and (stretch.phase.begin >= 0.0):
            for jam in _jams(course.mechanism, stretch):
                _add(found, jam)
    return tuple(found)


def _add(found: list[Jam], jam: Jam) -> None:
    for at, other in enumerate(found):
        same = set(other.connections) & set(jam.connections) and set(other.bodies) & set(jam.bodies)
        if same and jam.begin <= other.end + 1e-9 and other.begin <= jam.end + 1e-9 and jam.unit == other.unit:
            found[at] = replace(
                other,
                connections=tuple(dict.fromkeys((*other.connections, *jam.connections))),
                bodies=tuple(dict.fromkeys((*other.bodies, *jam.bodies))),
                begin=min(other.begin, jam.begin),
                end=max(other.end, jam.end),
                time=min(other.time, jam.time),
                short_by=max(other.short_by, jam.short_by),
            )
            return
    found.append(jam)


@dataclass(frozen=True, slots=True)
class _Run:
    """Frames of the grid through which an outcome fails."""

    first: int
    last: int


def _runs(outcome: Outcome) -> Iterator[_Run]:
    fails = np.flatnonzero(outcome.asked & ~outcome.good)
    if len(fails):
        for run in np.split(fails, np.flatnonzero(np.diff(fails) > 1) + 1):
            yield _Run(int(run[0]), int(run[-1]))


def _jams(mechanism: Mechanism, stretch: Stretch) -> Iterator[Jam]:
    phase, result = stretch.phase, stretch.settled.result
    grid = phase.grid
    for number, outcome in enumerate(result.outcomes):
        for run in _runs(outcome):
            begin, end = grid[max(run.first - 1, 0)], grid[min(run.last + 1, len(grid) - 1)]
            short, unit = _short(mechanism, stretch, number, run)
            links, bodies = _who(phase, number)
            yield Jam(
                connections=tuple(mechanism.links[link].id for link in links),
                bodies=tuple(mechanism.bodies[body] for body in sorted(bodies) if not mechanism.fixed[body]),
                begin=float(begin), end=float(end), time=float(begin), short_by=short, unit=unit,
            )  # fmt: skip


def _who(phase: Phase, number: int) -> tuple[Sequence[int], Sequence[int]]:
    """The connections and bodies that cannot meet: those of a stage, or those round a loop."""
    stages = phase.plan.stages
    if number < len(stages):
        stage = stages[number]
        return stage.step.links, stage.placed
    check = number - len(stages)
    loop = phase.loops[check]
    around = [link for stage in stages if loop & set(stage.placed) for link in stage.step.links]
    return list(dict.fromkeys([phase.plan.checks[check], *around])), sorted(loop)


def _short(mechanism: Mechanism, stretch: Stretch, number: int, run: _Run) -> tuple[float, str]:
    """By how much it fails at the worst, and in which unit."""
    phase, result = stretch.phase, stretch.settled.result
    outcome = result.outcomes[number]
    frames = np.arange(run.first, run.last + 1)
    stages = phase.plan.stages
    if number < len(stages):
        if isinstance(stages[number].step, Knot):
            return _knot_short(phase, number, frames), "mm"
        inside = [
            one.margin
            for one in stretch.settled.least
            if one.which == number and phase.grid[run.first] <= one.time <= phase.grid[run.last]
        ]
        return float(-min([*outcome.margin[frames], *inside])), "mm"
    worst = frames[np.argmin(outcome.margin[frames])]
    rows = rows_of(mechanism, phase.plan.checks[number - len(stages)], result.placing, phase.plan.grips)
    gaps = [abs(float(np.broadcast_to(row.residual, phase.grid.shape)[worst])) for row in rows]
    turns = max((gap for gap, row in zip(gaps, rows, strict=True) if row.turns), default=0.0)
    shifts = max((gap for gap, row in zip(gaps, rows, strict=True) if not row.turns), default=0.0)
    if turns > shifts:
        return float(np.rad2deg(turns / mechanism.size)), "deg"
    return float(np.hypot.reduce([gap for gap, row in zip(gaps, rows, strict=True) if not row.turns])), "mm"


def _knot_short(phase: Phase, number: int, frames: np.ndarray) -> float:
    branch = phase.branches[number]
    assert branch.tangle is not None
    assert branch.walked is not None
    looks: Sequence[int] = [int(frame) for frame in frames[np.linspace(0, len(frames) - 1, LOOKS).astype(int)]]
    world = phase.at(phase.grid[list(dict.fromkeys(looks))], upto=number).placing
    shorts: Floats = np.array([
        shortfall(branch.tangle, take(world, np.array([at])), branch.walked.unknowns[frame])
        for at, frame in enumerate(dict.fromkeys(looks))
    ])  # fmt: skip
    return float(shorts.max())
