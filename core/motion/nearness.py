"""How near the linkage comes to each of its dead centres, also where that is far enough to be no finding."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.motion.assembly import Knot
from core.motion.chains import course_of, phases_of
from core.motion.knot_room import least_of
from core.motion.motion import Motion
from core.motion.span import Stretch


@dataclass(frozen=True, slots=True, kw_only=True)
class Nearness:
    """The least that is left of the lengths that meet, over the whole sequence: at nought they stand in line."""

    drives: tuple[str, ...]
    """Those that move what stands in line."""
    connections: tuple[str, ...]
    distance: float
    """Millimetres; negative where they do not meet at all."""
    time: float


def nearness_of(motion: Motion) -> tuple[Nearness, ...]:
    """Of every group of bodies that has a dead centre, the nearest first."""
    course, found = course_of(motion), dict[tuple[int, ...], tuple[float, float, frozenset[int]]]()
    for stretch in phases_of(course):
        for number, stage in enumerate(stretch.phase.plan.stages):
            near = _least(stretch, number)
            if near is not None:
                before = found.get(stage.step.links)
                if before is None or near[0] < before[0]:
                    found[stage.step.links] = (*near, stage.upstream)
    return tuple(
        Nearness(
            drives=tuple(course.mechanism.drives[drive] for drive in sorted(drives)),
            connections=tuple(course.mechanism.links[link].id for link in links),
            distance=distance,
            time=time,
        )
        for links, (distance, time, drives) in sorted(found.items(), key=lambda entry: entry[1][:2])
    )


def _least(stretch: Stretch, number: int) -> tuple[float, float] | None:
    if isinstance(stretch.phase.plan.stages[number].step, Knot):
        near = least_of(stretch.phase, number)
        return None if near is None else (near.margin, near.time)
    outcome, grid = stretch.settled.result.outcomes[number], stretch.phase.grid
    margin = np.where(outcome.asked & (outcome.margin > -np.inf), outcome.margin, np.inf)
    if not np.isfinite(margin).any() or not np.any(np.asarray(outcome.size) > 0.0):
        return None
    frame = int(np.argmin(margin))
    if margin[frame] < 0.0 and outcome.root is None:
        return None
    seen = [(one.margin, one.time) for one in stretch.settled.least if one.which == number]
    return min([(float(margin[frame]), float(grid[frame])), *seen])
