"""Whether what a step needs holds when it begins, by how much it does not, and from when on it does."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from core.document.project import Drive, Need, Project, Sequence
from core.geometry.planar import Bools, Floats
from core.motion.holding import held_at
from core.motion.motion import Motion
from core.motion.schedule import ScheduledStep
from core.motion.trouble import LatchMiss
from core.motion.values import value_of

JUST = 1e-6
"""Degrees or millimetres by which a drive may miss a bound that it comes to rest at."""
PARTS = 64
"""Into how many a span is parted, twice, in which a need comes to hold."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unmet:
    """A step that begins before what it needs holds."""

    step: str
    name: str
    need: Need
    time: float
    value: float | None
    """Where the drive stands, in its terms; None of a latch."""
    short_by: float
    """How far the drive is from its bound, in its terms; of a latch, how many seconds too soon."""
    holds_at: float | None
    """The first later moment at which it holds, seconds; None where it never does."""


def unmet_needs(project: Project, sequence: Sequence, motion: Motion) -> Iterator[Unmet]:
    """Every need of every step that does not hold at the step's begin, in the file's order."""
    drives = {one.id: one for one in project.drives}
    for step in sequence.steps:
        laid = motion.schedule.step(step.id)
        for need in step.needs:
            if need.latch is not None:
                yield from _latch(motion, laid, need, need.latch)
            elif need.drive in drives:
                yield from _drive(motion, laid, need, drives[need.drive])


# ---- a drive ---------------------------------------------------------------------------------------------------------


def _drive(motion: Motion, step: ScheduledStep, need: Need, drive: Drive) -> Iterator[Unmet]:
    values = _values(motion, drive)
    begin = _before(motion, step, drive)
    value = float(values(np.array([step.begin]))[0]) if begin is None else begin
    short = max(_short(need, np.array([value]))[0], 0.0)
    if short > JUST:
        yield Unmet(
            step=step.id, name=step.name, need=need, time=step.begin, value=value, short_by=float(short),
            holds_at=_first(motion, step.begin, lambda times: _short(need, values(times)) <= JUST),
        )  # fmt: skip


def _short(need: Need, values: Floats) -> Floats:
    """(T,) how far values are from the bounds; below nought within them."""
    low = -np.inf if need.at_least is None else need.at_least
    high = np.inf if need.at_most is None else need.at_most
    return np.maximum(low - values, values - high)


def _values(motion: Motion, drive: Drive) -> Callable[[Floats], Floats]:
    """(T,) times to where the driven connection really stands, jams and all."""
    if motion.course is None:
        asked = motion.drives[:, motion.drive_ids.index(drive.id)]
        return lambda times: np.interp(times, motion.times, asked)
    mechanism = motion.course.mechanism
    link = mechanism.links[mechanism.link_of[drive.on]]

    def values(times: Floats) -> Floats:
        poses = motion.poses_at(times)
        return value_of(link, poses[:, link.first], poses[:, link.second])

    return values


def _before(motion: Motion, step: ScheduledStep, drive: Drive) -> float | None:
    """What a drive stood at that the step itself moves in no time at all; None where it does not."""
    if step.end > step.begin or motion.course is None or all(move.drive != drive.id for move in step.moves):
        return None
    spans = motion.course.inputs.spans[motion.course.mechanism.drive_of[drive.id]]
    return next(span.value for span in spans if (span.begin, span.end) == (step.begin, step.end))


def _first(motion: Motion, after: float, holds: Callable[[Floats], Bools]) -> float | None:
    """The first moment after another at which something holds, to a thousandth of a frame."""
    ends = [end for step in motion.schedule.steps for end in (step.begin, step.end)]
    times = np.unique([after, *(time for time in (*motion.times.tolist(), *ends) if time > after)])
    for _ in range(3):
        found = np.flatnonzero(holds(times))
        if not len(found):
            return None
        if found[0] == 0:
            return float(times[0])
        low, high = times[found[0] - 1], times[found[0]]
        times = np.linspace(low, high, PARTS + 1)
    return float(high)


# ---- a latch ---------------------------------------------------------------------------------------------------------


def _latch(motion: Motion, step: ScheduledStep, need: Need, latch: str) -> Iterator[Unmet]:
    missed = [one.time for one in motion.troubles if isinstance(one, LatchMiss) and one.connection == latch]

    def holds(time: float, before: str | None = None) -> bool:
        held = latch in held_at(motion.schedule, time, before=before)
        since = max((one.end for one in motion.schedule.steps if latch in one.engage and one.end <= time), default=None)
        return (held and since not in missed) == need.engaged

    if holds(step.begin, step.id):
        return
    later = sorted({time for one in motion.schedule.steps for time in (one.begin, one.end) if time > step.begin})
    at = next((time for time in later if holds(time)), None)
    until = motion.schedule.seconds if at is None else at
    yield Unmet(
        step=step.id, name=step.name, need=need, time=step.begin, value=None, short_by=until - step.begin, holds_at=at,
    )  # fmt: skip
