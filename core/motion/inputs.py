"""What every drive is asked for at any time, and which latches hold when.

A step moves a drive from the value it has when the step begins. `steady` is a constant rate. `eased` follows the least
polynomial that begins and ends without speed and without acceleration, 10 t^3 - 15 t^4 + 6 t^5 of the step's time: it
is at rest at both ends, half way at half time, and 1.875 times as fast as a steady move there.

Before nought stands the *lead-in*: from the drawn position at -1 to the sequence's start at 0 every drive goes at a
constant rate, so that the solver walks to a start away from the drawn position as it walks through the sequence.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from core.document.project import Profile
from core.geometry.planar import Floats, within
from core.mechanism.mechanism import Mechanism
from core.motion.schedule import Schedule

LEAD_IN = -1.0
"""When the lead-in begins, seconds."""


@dataclass(frozen=True, slots=True)
class Span:
    """One move of one drive."""

    begin: float
    end: float
    value: float
    to: float
    profile: Profile
    part: tuple[float, float] = (0.0, 1.0)
    """What of the profile's course is run, as shares of its time."""


@dataclass(frozen=True, slots=True)
class Inputs:
    """Of D drives."""

    drawn: tuple[float, ...]
    start: tuple[float, ...]
    spans: tuple[tuple[Span, ...], ...]
    """Of each drive, in the order they begin."""

    @property
    def led_in(self) -> bool:
        """Whether the sequence starts away from the drawn position."""
        return self.drawn != self.start

    def bends(self) -> list[float]:
        """When moves begin and end."""
        return [0.0, *(time for spans in self.spans for span in spans for time in (span.begin, span.end))]

    def rests(self, drive: int, begin: float, end: float) -> bool:
        """Whether a drive keeps its value from one time to another."""
        if begin < 0.0 and self.drawn[drive] != self.start[drive]:
            return False
        return not any((span.begin < end and span.end > begin) or span.begin == begin for span in self.spans[drive])

    def at(self, times: Floats, wanted: Iterable[int] | None = None) -> Floats:
        """(T, D) values at times (T,), which may lie in the lead-in. Where only some drives are `wanted`, by number,
        the others may be anything."""
        values = np.empty((len(times), len(self.start)))
        values[:] = self.start
        for number in range(len(self.start)) if wanted is None else wanted:
            track = self._before(number, times)
            for span in self.spans[number]:
                after = times >= span.begin
                track = np.where(after, span.value + (span.to - span.value) * _progress(span, times), track)
            values[:, number] = track
        return values

    def _before(self, drive: int, times: Floats) -> Floats:
        """(T,) or one for all times: what a drive has until its first move."""
        drawn, start = self.drawn[drive], self.start[drive]
        if drawn == start:
            return np.asarray(start)
        return np.asarray(drawn + (start - drawn) * within((times - LEAD_IN) / -LEAD_IN, 0.0, 1.0))


def _progress(span: Span, times: Floats) -> Floats:
    """How much of a move is done, 0 to 1; a move that takes no time is done at once."""
    if span.end <= span.begin:
        return np.ones_like(times)
    share = within((times - span.begin) / (span.end - span.begin), 0.0, 1.0)
    if span.profile == "steady":
        return share
    return part_done(share, span.part)


def eased(share: Floats) -> Floats:
    """How much of an eased move is done at shares of its time."""
    return np.asarray(share * share * share * (10.0 + share * (6.0 * share - 15.0)))


def part_done(share: Floats, part: tuple[float, float]) -> Floats:
    """How much of a part of an eased move is done at shares of that part's time."""
    first, last = part
    if (first, last) == (0.0, 1.0):
        return eased(share)
    if first + last > 1.0:  # its latter half is its former one backwards, where no digits are lost
        return 1.0 - part_done(1.0 - share, (1.0 - last, 1.0 - first))
    return np.asarray((eased(first + (last - first) * share) - eased(np.array(first))) / part_way(part))


def part_way(part: tuple[float, float]) -> float:
    """How much of an eased move a part of it makes up."""
    first, last = part if sum(part) <= 1.0 else (1.0 - part[1], 1.0 - part[0])
    begun, ended = eased(np.array([first, last]))
    return float(ended - begun)


def inputs_of(mechanism: Mechanism, schedule: Schedule) -> Inputs:
    """A drive that no step moves holds its start, or what it has in the drawn position."""
    start = tuple(
        float(schedule.start.get(drive, drawn)) for drive, drawn in zip(mechanism.drives, mechanism.drawn, strict=True)
    )
    spans = tuple(_spans(schedule, drive, value) for drive, value in zip(mechanism.drives, start, strict=True))
    return Inputs(mechanism.drawn, start, spans)


def _spans(schedule: Schedule, drive: str, value: float) -> tuple[Span, ...]:
    spans: list[Span] = []
    for step in sorted(schedule.steps, key=lambda step: (step.begin, step.end)):
        for move in step.moves:
            if move.drive == drive:
                begins_at = _value_at(spans, step.begin, value)
                spans.append(Span(step.begin, step.end, begins_at, move.to, move.profile, move.part))
    return tuple(spans)


def _value_at(spans: list[Span], time: float, start: float) -> float:
    for span in reversed(spans):
        if time >= span.begin:
            return value_in(span, time)
    return start


def value_in(span: Span, time: float) -> float:
    """What a move asks of its drive at a time; before it what it begins from, after it what it ends at."""
    return span.value + (span.to - span.value) * float(_progress(span, np.array([time]))[0])


@dataclass(frozen=True, slots=True)
class LatchEvent:
    """At one time, latches that take hold (True) or let go, in order, by the numbers of their connections."""

    time: float
    changes: tuple[tuple[int, bool], ...]


def latch_events(mechanism: Mechanism, schedule: Schedule) -> tuple[LatchEvent, ...]:
    """In order of time. A latch that is first heard of when it is released held from the start.

    At one moment what ends comes before what begins: a latch that one step engages and the next releases lets go.
    """
    changes: list[tuple[float, int, int, bool]] = []
    for step in schedule.steps:
        takes_time = step.end > step.begin
        changes += [(step.end, 0 if takes_time else 2, mechanism.link_of[latch], True) for latch in step.engage]
        changes += [(step.begin, 1, mechanism.link_of[latch], False) for latch in step.release]
    changes.sort()
    first: dict[int, bool] = {}
    for *_, latch, engages in changes:
        first.setdefault(latch, engages)
    changes = [(0.0, -1, latch, True) for latch, engages in first.items() if not engages] + changes
    return tuple(
        LatchEvent(time, tuple(change[2:] for change in changes if change[0] == time))
        for time in sorted({change[0] for change in changes})
    )
