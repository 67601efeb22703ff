"""Which one number, changed to what, would let a sequence go through where it jams or goes beyond a limit.

Each cure is tried, and not only foretold: the whole sequence is solved again with it, and must bring no trouble of
these kinds in place of the one it cures.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from core.geometry.planar import Floats, point_at
from core.mechanism.mechanism import Kind, Link, Mechanism
from core.motion.chains import course_of
from core.motion.motion import Motion
from core.motion.schedule import Schedule, asking
from core.motion.solve import solve_motion
from core.motion.travels import OVER, excess
from core.motion.trouble import Jam, LatchMiss, TravelPassed, Trouble

MOST_TRIED = 4
"""Rods and jacks of one jam."""
MOST_SOLVED = 40
"""Times that a sequence is solved for one trouble."""
EASE = 1e-3
"""Millimetres more than what is short: to touch a dead centre is not to pass it. A length is told as finely."""
FACTORS = (1.0, 2.0, 4.0)
"""Of what is short: lengths that do not lie along the gap have to change by more."""
FITS = 1e-3
"""Millimetres that a length in a loop may be off."""
HALVINGS, FINE = 12, 0.01
"""How closely a change that had to be sought is told, mm; also in what steps limits and asked values are."""
LOOKS, LOOKED = 33, 4
"""Moments among which a limit's passing is looked for, and how often over."""


class Part(StrEnum):
    """The number that a cure changes."""

    LENGTH = "length"
    """Of a rod; of a jack when closed."""
    STROKE = "stroke"
    LOW = "low"
    """The lower limit of a pivot or slide; of a slot the beginning of its line."""
    HIGH = "high"
    """The upper limit; of a slot the length of its line."""
    ASKED = "asked"
    """What a step asks its drive for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cure:
    """With this number `to` in place of what it is, `by` more, the sequence goes through."""

    connection: str
    """Of an asked value that which the drive is on."""
    part: Part = Part.LENGTH
    by: float
    to: float
    unit: str = "mm"
    """`deg` of pivots."""
    drive: str | None = None
    step: str | None = None


def cures_of(motion: Motion, trouble: Jam | TravelPassed) -> tuple[Cure, ...]:
    """What was found to help, one of each kind: changes of the iron first, then of what a step asks for."""
    trials = _Trials(motion, trouble)
    ways = _of_jam(trials, trouble) if isinstance(trouble, Jam) else _of_travel(trials, trouble)
    found: dict[Part, Cure] = {}
    for cure in ways:
        found.setdefault(cure.part, cure)
    return tuple(found.values())


def cure_of(motion: Motion, jam: Jam) -> Cure | None:
    """The first of a jam's rods and jacks with which, changed in length, the whole sequence goes through.

    None where none does, or where turns and not lengths disagree.
    """
    return next(_of_lengths(_Trials(motion, jam), jam), None)


class _Trials:
    """Solves the sequence again with something changed, and says whether that helped."""

    def __init__(self, motion: Motion, trouble: Trouble) -> None:
        self.motion, self._trouble = motion, trouble
        self.course = course_of(motion)
        self.mechanism = self.course.mechanism
        self._left = MOST_SOLVED
        self._known = [frozenset(_key(one)) for one in motion.troubles if one is not trouble and _counts(one)]

    def helps(self, mechanism: Mechanism | None = None, schedule: Schedule | None = None) -> bool:
        if self._left == 0:
            return False
        self._left -= 1
        again = solve_motion(mechanism or self.mechanism, schedule or self.motion.schedule, self.motion.times)
        return not any(self._is_new(one) for one in again.troubles if _counts(one))

    def _is_new(self, one: Trouble) -> bool:
        """Whether it is the same trouble as before, or one that was not there."""
        key = _key(one)
        return bool(key & _key(self._trouble)) or not any(key & known for known in self._known)


def _counts(one: Trouble) -> bool:
    return isinstance(one, Jam | TravelPassed | LatchMiss)


def _key(one: Trouble) -> frozenset[tuple[type, str]]:
    names = (*one.connections, *one.bodies) if isinstance(one, Jam) else (getattr(one, "connection", ""),)
    return frozenset((type(one), name) for name in names)


# ---- of a jam --------------------------------------------------------------------------------------------------------


def _of_jam(trials: _Trials, jam: Jam) -> Iterator[Cure]:
    yield from _first(_of_lengths(trials, jam))
    yield from _first(_of_asked(trials, jam.time))


def _first(cures: Iterator[Cure]) -> list[Cure]:
    found = next(cures, None)
    return [] if found is None else [found]


def _of_lengths(trials: _Trials, jam: Jam) -> Iterator[Cure]:
    if jam.unit != "mm" or jam.short_by <= 0.0:
        return
    links = [trials.mechanism.links[trials.mechanism.link_of[one]] for one in jam.connections]
    least = math.ceil((jam.short_by + 0.5 * EASE) / EASE) * EASE
    tried = [link for link in links if link.kind in (Kind.ROD, Kind.JACK)][:MOST_TRIED]
    for link in tried if _closes_a_loop(trials, jam) else ():
        by = _fitting(trials, link)
        if by is not None and _helps_by(trials, link, by):
            yield Cure(connection=link.id, by=by, to=link.length + by)
    for factor in FACTORS:
        for link in tried:
            for way in (1.0, -1.0):
                if not _helps_by(trials, link, way * factor * least):
                    continue
                by = way * factor * least
                if factor > 1.0:
                    by = way * _closer(trials, link, way, 0.5 * factor * least, factor * least)
                yield Cure(connection=link.id, by=by, to=link.length + by)


def _closes_a_loop(trials: _Trials, jam: Jam) -> bool:
    checks = {number for stretch in trials.course.stretches for number in stretch.phase.plan.checks}
    return any(trials.mechanism.link_of[one] in checks for one in jam.connections)


def _fitting(trials: _Trials, link: Link) -> float | None:
    """How much longer a rod or resting jack has to be to fit all the way, if one length does: it is taken out, as a
    latch that never holds is, and measured."""
    if link.drive >= 0:
        return None
    motion, open_ = trials.motion, replace(link, kind=Kind.LATCH)
    again = solve_motion(_with(trials.mechanism, link, open_), motion.schedule, motion.times)
    if any(isinstance(one, Jam) for one in again.troubles):
        return None
    first, second = again.poses[:, link.first], again.poses[:, link.second]
    gap = np.abs(point_at(second, link.q) - point_at(first, link.p))
    by = float(gap.mean()) - link.length
    return by if np.ptp(gap) <= FITS and abs(by) > FITS else None


def _closer(trials: _Trials, link: Link, way: float, low: float, high: float) -> float:
    """The least change that helps, between one that does not and one that does, in steps that can be told."""
    for _ in range(HALVINGS):
        middle = math.ceil(0.5 * (low + high) / FINE) * FINE
        if high - low <= FINE or middle >= high:
            break
        if _helps_by(trials, link, way * middle):
            high = middle
        else:
            low = middle
    return high


def _helps_by(trials: _Trials, link: Link, by: float) -> bool:
    return link.length + by > 0.0 and trials.helps(_longer(trials.mechanism, link, by))


def _longer(mechanism: Mechanism, link: Link, by: float) -> Mechanism:
    """With another length of a rod, or of a jack when closed, which then is less far out as drawn."""
    drawn = list(mechanism.drawn)
    if link.drive >= 0:
        drawn[link.drive] -= by
    return replace(_with(mechanism, link, replace(link, length=link.length + by)), drawn=tuple(drawn))


def _with(mechanism: Mechanism, link: Link, changed: Link) -> Mechanism:
    number = mechanism.link_of[link.id]
    return replace(mechanism, links=(*mechanism.links[:number], changed, *mechanism.links[number + 1 :]))


# ---- of a travel -----------------------------------------------------------------------------------------------------


def _of_travel(trials: _Trials, passed: TravelPassed) -> Iterator[Cure]:
    mechanism = trials.mechanism
    link = mechanism.links[mechanism.link_of[passed.connection]]
    low, high = passed.limits
    above = passed.value > high
    yield from _first(_of_limits(trials, link, passed, above=above))
    if link.kind is Kind.JACK and link.drive < 0:
        over = passed.value - high if above else passed.value - low
        by = math.copysign(math.ceil(abs(over) / FINE - 1e-9) * FINE, over)
        if _helps_by(trials, link, by):
            yield Cure(connection=link.id, by=by, to=link.length + by)
    if (when := _passing(trials, link, passed.time)) is not None:
        yield from _first(_of_asked(trials, when))


def _of_limits(trials: _Trials, link: Link, passed: TravelPassed, *, above: bool) -> Iterator[Cure]:
    """The limit itself, where it may be farther out; a jack cannot be closed shorter than it is."""
    low, high = passed.limits
    if link.kind is Kind.JACK and not above:
        return
    to = math.ceil(passed.value / FINE - 1e-9) * FINE if above else math.floor(passed.value / FINE + 1e-9) * FINE
    if trials.helps(_with(trials.mechanism, link, replace(link, limits=(low, to) if above else (to, high)))):
        stroke = link.kind is Kind.JACK
        part = Part.STROKE if stroke else Part.HIGH if above else Part.LOW
        by = to - (high if above else low)
        yield Cure(connection=link.id, part=part, by=by, to=to, unit=unit_of(link))


def unit_of(link: Link) -> str:
    return "deg" if link.kind is Kind.PIVOT else "mm"


def _passing(trials: _Trials, link: Link, worst: float) -> float | None:
    """When a connection is last within its limits before it goes beyond them for the first time."""
    motion = trials.motion
    times = np.union1d(motion.times, [worst])
    for _ in range(LOOKED):
        beyond = np.flatnonzero(_excess(motion, link, times) > OVER)
        if not len(beyond) or beyond[0] == 0:
            return None
        times = np.linspace(times[beyond[0] - 1], times[beyond[0]], LOOKS)
    return float(times[0])


def _excess(motion: Motion, link: Link, times: Floats) -> Floats:
    meets = motion.assembled_at(times)[:, [link.first, link.second]].all(axis=1)
    return np.where(meets, excess(link, motion.poses_at(times)), -np.inf)


# ---- of what is asked ------------------------------------------------------------------------------------------------


def _of_asked(trials: _Trials, when: float) -> Iterator[Cure]:
    """A step that goes no farther than where its drives are when all is still well."""
    motion, mechanism = trials.motion, trials.mechanism
    for step in motion.schedule.steps:
        if not step.begin < when <= step.end:
            continue
        for move in step.moves:
            number = mechanism.drive_of[move.drive]
            began, here = trials.course.inputs.at(np.array([step.begin, when]))[:, number]
            for to in _told(float(began), float(here)):
                if (move.to - to) * (move.to - began) > 0.0 and trials.helps(
                    schedule=asking(motion.schedule, step.id, move.drive, to)
                ):
                    link = mechanism.links[mechanism.driven[number]]
                    yield Cure(
                        connection=link.id, part=Part.ASKED, by=to - move.to, to=to, unit=unit_of(link),
                        drive=move.drive, step=step.id,
                    )  # fmt: skip


def _told(began: float, here: float) -> list[float]:
    """Values that can be told, not past where the drive is: the nearest where that is as good as there, and before."""
    way = 1.0 if here >= began else -1.0
    nearest, before = round(here / FINE) * FINE, way * math.floor(way * here / FINE) * FINE
    return [one for one in dict.fromkeys([nearest, before]) if (one - began) * way > 0.0 and way * (one - here) < 1e-4]
