"""What is looked at in every built model: gaps, locks, targets, over-centre offsets and where parts come to stand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from core.document.project import Body, Latch, Project
from core.findings.targets import corners_of, measure_targets, misses_at
from core.geometry.planar import Bools, Complexes, Floats, point_at
from core.motion.motion import Motion
from core.study import SequenceStudy, Study
from core.tolerance.built import Built, edges_of
from core.tolerance.dimensions import Dimension
from core.tolerance.gaps import built_gaps, gap_times
from core.tolerance.over_centre import Brace, braces_of, offsets
from core.tolerance.solve import BuiltMotion


class What(StrEnum):
    GAP = "clearance"
    LATCH = "latch"
    TARGET = "target"
    OVER_CENTRE = "over-centre"
    PLACE = "place"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measured:
    """One thing that was measured in S models, mm."""

    what: What
    of: tuple[str, ...]
    """Bodies or connections; of a target its own id first."""
    time: float
    drawn: float
    off: Floats
    """(S, 1) or (S, 2): by how much it differs from the drawing, as a number or as a shift."""
    values: Floats
    """(S,)"""
    least: float | None = None
    """It has to be more than this."""
    most: float | None = None
    """It may be no more than this."""

    @property
    def works(self) -> Bools:
        """(S,)"""
        over = self.values > self.least if self.least is not None else np.ones(len(self.values), dtype=bool)
        return np.asarray(over & (self.values <= self.most)) if self.most is not None else over


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """A sequence that was studied, to be looked at in built models."""

    study: Study
    sequence: SequenceStudy

    @property
    def project(self) -> Project:
        return self.study.project

    @property
    def motion(self) -> Motion:
        return self.sequence.motion


def times_of(subject: Subject, frames: int) -> Floats:
    """(T,) the moments that are solved: evenly spread ones, and all at which something is measured."""
    motion, end = subject.motion, float(subject.motion.times[-1])
    targets = [one.time for one in measure_targets(subject.project, subject.sequence.sequence, motion)]
    return np.unique(np.concatenate([np.linspace(0.0, end, frames), targets, gap_times(subject.sequence)]))


def measures_of(
    subject: Subject, models: Built, found: BuiltMotion, dimensions: tuple[Dimension, ...], deviations: Floats
) -> tuple[Measured, ...]:
    """All of a sequence, in models that deviate by (S, N)."""
    return (
        *_latches(subject, found),
        *_over_centre(subject, models, found),
        *_targets(subject, found),
        *_gaps(subject, models, found, dimensions, deviations),
        *_places(subject, found),
    )


def _latches(subject: Subject, found: BuiltMotion) -> Iterator[Measured]:
    reach = {one.id: one.reach for one in subject.project.connections if isinstance(one, Latch)}
    as_drawn = {one.id: number for number, one in enumerate(subject.project.connections)}
    for latch, (time, off) in found.misses.items():
        drawn = _latch_off(subject, as_drawn[latch], time)
        yield Measured(
            what=What.LATCH, of=(latch,), time=time, drawn=abs(drawn), off=_planar(off - drawn),
            values=np.abs(off), most=reach[latch],
        )  # fmt: skip


def _latch_off(subject: Subject, number: int, time: float) -> complex:
    link = subject.study.mechanism.links[number]
    poses = subject.motion.poses_at(np.array([time]))[0]
    ends = [point_at(poses[body], point) for body, point in ((link.first, link.p), (link.second, link.q))]
    return complex(ends[1] - ends[0])


def _over_centre(subject: Subject, models: Built, found: BuiltMotion) -> Iterator[Measured]:
    for brace in braces_of(subject.study.mechanism, subject.motion):
        yield _offset(subject, brace, models, found)


def _offset(subject: Subject, brace: Brace, models: Built, found: BuiltMotion) -> Measured:
    frame = int(np.searchsorted(found.times, brace.time))
    values = brace.side * offsets(models.mechanism, brace.middle, brace.ends, found.poses[frame])
    return Measured(
        what=What.OVER_CENTRE, of=(subject.study.mechanism.links[brace.middle].id,), time=brace.time,
        drawn=brace.offset, off=(values - brace.offset)[:, None], values=values, least=0.0,
    )  # fmt: skip


def _targets(subject: Subject, found: BuiltMotion) -> Iterator[Measured]:
    bodies = {body.id: (number, body) for number, body in enumerate(subject.project.bodies)}
    for one in measure_targets(subject.project, subject.sequence.sequence, subject.motion):
        number, body = bodies[one.target.body]
        corners = corners_of(body)
        frame = int(np.searchsorted(found.times, one.time))
        misses = misses_at(found.poses[frame, :, number], one.target, corners)
        as_drawn = misses_at(subject.motion.poses_at(np.array([one.time]))[0, number], one.target, corners)
        far = int(np.argmax(np.abs(misses).mean(axis=0)))  # the corner that is off most in models, if not as drawn
        yield Measured(
            what=What.TARGET, of=(one.target.id, body.id), time=one.time, drawn=one.miss,
            off=_planar(misses[:, far] - as_drawn[far]), values=np.abs(misses).max(axis=1),
            most=one.target.within,
        )  # fmt: skip


def _gaps(
    subject: Subject, models: Built, found: BuiltMotion, dimensions: tuple[Dimension, ...], deviations: Floats
) -> Iterator[Measured]:
    for gap in built_gaps(subject.study, subject.sequence, models, found):
        values = gap.values.copy()
        for part, seen in zip(gap.parts, gap.seen, strict=True):
            values -= seen * edges_of(dimensions, deviations, part)
        yield Measured(
            what=What.GAP, of=gap.parts, time=gap.time, drawn=gap.drawn, off=(values - gap.drawn)[:, None],
            values=values, least=0.0,
        )  # fmt: skip


def _places(subject: Subject, found: BuiltMotion) -> Iterator[Measured]:
    """Where wheels, legs, doors and locks come to stand at the end: of a wheel its middle, else its farthest corner."""
    frame = len(found.times) - 1
    for number, body in enumerate(subject.project.bodies):
        if body.fixed or not body.shapes or body.role not in ("wheel", "leg", "door", "lock"):
            continue
        point = _telling_point(subject, number, body)
        as_drawn = point_at(subject.motion.poses[-1, number], point)
        off = point_at(found.poses[frame, :, number], point) - as_drawn
        yield Measured(
            what=What.PLACE, of=(body.id,), time=float(found.times[frame]), drawn=0.0, off=_planar(off),
            values=np.abs(off),
        )  # fmt: skip


def _telling_point(subject: Subject, number: int, body: Body) -> complex:
    ends = [
        point
        for link in subject.study.mechanism.links
        for at, point in ((link.first, link.p), (link.second, link.q))
        if at == number
    ]
    middle = complex(np.mean(ends)) if ends else 0j
    corners = corners_of(body)
    return middle if body.role == "wheel" else complex(corners[np.argmax(np.abs(corners - middle))])


def _planar(off: Complexes) -> Floats:
    return np.stack([off.real, off.imag], axis=1)
