"""From a mechanism and a schedule to the motion: all frames at once, phase by phase between latch events."""

from __future__ import annotations

import numpy as np

from core.geometry.planar import Floats, point_at
from core.mechanism.constraints import Grip
from core.mechanism.mechanism import Mechanism
from core.motion.assembly import Knot, make_plan
from core.motion.following import stage_key
from core.motion.inputs import LEAD_IN, Inputs, LatchEvent, inputs_of, latch_events
from core.motion.motion import Motion
from core.motion.phase import Phase
from core.motion.placing import Placing
from core.motion.schedule import Schedule
from core.motion.settle import Settled, held_in_vain, settle
from core.motion.span import Course, Stretch
from core.motion.trouble import LatchMiss
from core.motion.troubles import troubles_of
from core.motion.values import ValuesBefore, values_of

FEWEST = 240
"""Moments through which a sequence is followed at least."""
LEAD_IN_MOMENTS = 65


def solve_motion(mechanism: Mechanism, schedule: Schedule, times: Floats, previous: Motion | None = None) -> Motion:
    """The motion at (F,) increasing times of a schedule. What fails is in its troubles; nothing is raised.

    What goes just as it went in a `previous` motion, before an edit, is taken from there. A latch that misses by more
    than its reach does not take hold. What jams stands where it last held together.
    """
    times = np.asarray(times, dtype=float)
    inputs = inputs_of(mechanism, schedule)
    course = _course(mechanism, schedule, inputs, times, previous)
    poses, assembled = course.at_frames(times)
    return Motion(
        schedule=schedule,
        bodies=mechanism.bodies,
        connections=tuple(link.id for link in mechanism.links),
        drive_ids=mechanism.drives,
        times=times,
        poses=poses,
        drives=inputs.at(times),
        values=values_of(mechanism, poses, _values_before(mechanism, previous)),
        assembled=assembled,
        troubles=troubles_of(course),
        poses_at=course.poses_at,
        assembled_at=course.assembled_at,
        course=course,
    )


def _values_before(mechanism: Mechanism, previous: Motion | None) -> ValuesBefore | None:
    if previous is None or previous.course is None or previous.bodies != mechanism.bodies:
        return None
    return ValuesBefore(previous.course.mechanism.links, previous.poses, previous.values)


def _course(mechanism: Mechanism, schedule: Schedule, inputs: Inputs, times: Floats, previous: Motion | None) -> Course:
    end = max([schedule.seconds, *times[-1:]])
    walker = _Walker(mechanism, schedule, inputs, times, end)
    if previous is not None and previous.course is not None:
        walker.before = tuple(stretch.settled for stretch in previous.course.stretches)
    if inputs.led_in:
        walker.go_to(0.0, np.linspace(LEAD_IN, 0.0, LEAD_IN_MOMENTS))
    for event in latch_events(mechanism, schedule):
        walker.go_to(event.time)
        walker.change(event)
    walker.go_to(end, last=True)
    return Course(mechanism, inputs, tuple(walker.stretches), tuple(walker.misses), end)


class _Walker:
    """Goes from latch event to latch event, each phase from where the one before ended."""

    def __init__(self, mechanism: Mechanism, schedule: Schedule, inputs: Inputs, times: Floats, end: float) -> None:
        self._mechanism, self._inputs, self._times, self._end = mechanism, inputs, times, end
        self._landmarks = np.array([0.0, end, *(time for step in schedule.steps for time in (step.begin, step.end))])
        self._now = LEAD_IN if inputs.led_in else 0.0
        self._poses = np.zeros((len(mechanism.bodies), 3))
        self._grips: dict[int, Grip] = {}
        self._signs: dict[object, float] = {}
        self.stretches: list[Stretch] = []
        self.before: tuple[Settled, ...] = ()
        """The phases as they were followed before an edit."""
        self.misses: list[LatchMiss] = []

    def go_to(self, time: float, grid: Floats | None = None, *, last: bool = False) -> None:
        time = min(time, self._end)
        if time < self._now or (time == self._now and not (last and not self._covered(time))):
            return
        moments = self._grid(time) if grid is None else grid
        settled = self._settle(moments, time)
        stretch = Stretch.of(settled)
        self.stretches.append(stretch)
        self._signs |= _signs(settled)
        self._now, self._poses = time, stretch.poses_at_end()
        if time <= 0.0:  # what cannot get to the start of its sequence stays as drawn
            self._poses[~stretch.good[-1]] = 0.0

    def _settle(self, moments: Floats, end: float) -> Settled:
        """Follow the next phase. What jams only because something loose was held is followed again with it dragged."""
        start, slack = Placing.at_poses(self._poses, self._inputs.at(np.array([self._now]))), frozenset[int]()
        while True:
            phase = Phase(
                mechanism=self._mechanism, inputs=self._inputs, begin=self._now, end=end, start=self._poses,
                plan=make_plan(self._mechanism, start, self._grips, slack), grid=moments,
            )  # fmt: skip
            settled = settle(phase, self._signs, self._as_before())
            wider = slack | held_in_vain(settled)
            if wider == slack:
                return settled
            slack = wider

    def _as_before(self) -> Settled | None:
        number = len(self.stretches)
        return self.before[number] if number < len(self.before) else None

    def _covered(self, time: float) -> bool:
        return any(stretch.phase.begin <= time <= stretch.phase.end for stretch in self.stretches) and time > 0.0

    def _grid(self, time: float) -> Floats:
        span = time - self._now
        count = int(np.ceil(FEWEST * span / max(self._end, 1e-300))) + 1 if span > 0.0 else 1
        moments = np.concatenate([self._times, self._landmarks])
        inside = moments[(moments >= self._now) & (moments <= time)]
        known = np.unique(np.concatenate([inside, [self._now, time]]))
        gaps = np.diff(known)
        if not len(gaps):
            return known
        pieces = np.ceil(gaps / (span / max(count - 1, 1)) - 1e-6).astype(int)
        wide = np.flatnonzero(pieces > 1)
        fill = [known[at] + gaps[at] * np.arange(1, pieces[at]) / pieces[at] for at in wide]
        return np.unique(np.concatenate([known, *fill]))

    def change(self, event: LatchEvent) -> None:
        for latch, engages in event.changes:
            if not engages:
                self._grips.pop(latch, None)
            elif latch not in self._grips:
                self._engage(latch, event.time)
        self._grips = dict(self._grips)

    def _engage(self, latch: int, time: float) -> None:
        link = self._mechanism.links[latch]
        first, second = self._poses[link.first], self._poses[link.second]
        miss = abs(complex(point_at(first, link.p) - point_at(second, link.q)))
        if miss > link.reach + 1e-9:
            self.misses.append(LatchMiss(connection=link.id, miss=miss, time=time))
            return
        place = np.exp(-1j * first[2]) * complex(second[0] - first[0], second[1] - first[1])
        self._grips[latch] = (complex(place), float(second[2] - first[2]))


def _signs(settled: Settled) -> dict[object, float]:
    """On which branch each step ends."""
    return {
        stage_key(stage): branch.sign * (-1.0) ** len(branch.flips)
        for stage, branch in zip(settled.phase.plan.stages, settled.phase.branches, strict=True)
        if not isinstance(stage.step, Knot)
    }
