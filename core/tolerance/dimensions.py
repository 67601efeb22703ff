"""The dimensions by which a built model may differ from its drawing: where holes come to be, how long rods are, how far
pins lie to one side of their holes and gears of their play, how exactly drives come to a value, where edges run."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from core.document.project import Connection, Gearing, Jack, Latch, Pivot, Project, Rod, Slide, Slot
from core.geometry.planar import Floats
from core.tolerance.workshop import backlash_of, exactness_of, play_of, tolerance_of, turns

SIGMAS = 3.0
"""A tolerance is taken as so many standard deviations: common practice of tolerance stacks."""


class Sort(StrEnum):
    HOLE = "hole"
    """Where a hole, or a pin, of a body comes to be: two numbers, x and y as drawn."""
    PLAY = "play"
    """Where in its hole a pin lies: two numbers; half the play to one side, which side is not known."""
    LENGTH = "length"
    BACKLASH = "backlash"
    """On which flank a gearing lies: half its backlash to one side, which is not known."""
    RESOLUTION = "resolution"
    """Where within its least step a drive comes to rest: anywhere."""
    HYSTERESIS = "hysteresis"
    """From which side a drive comes to its value: half to one side, which is not known."""
    EDGE = "edge"
    """How far a body's edges run outside of where they are drawn."""


OF_DRIVES = (Sort.RESOLUTION, Sort.HYSTERESIS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Dimension:
    sort: Sort
    of: str
    """The connection; of an edge the body, of a resolution or a hysteresis the drive."""
    end: int = 0
    """Which end of the connection, 0 or 1."""
    body: str = ""
    """The one with the hole."""
    within: float
    """Plus or minus, mm or degrees; of play, backlash, resolution and hysteresis half of it."""
    degrees: bool = False
    """Whether it is an angle."""
    first: int = 0
    """Its first column among the deviations."""

    @property
    def columns(self) -> slice:
        return slice(self.first, self.first + (2 if self.sort in (Sort.HOLE, Sort.PLAY) else 1))

    @property
    def sigma(self) -> float:
        """The standard deviation of each of its columns: of play that of a point anywhere on a circle's rim, of what
        lies to one side or the other all of it, of what lies anywhere between that of a uniform distribution."""
        match self.sort:
            case Sort.PLAY:
                return self.within / math.sqrt(2.0)
            case Sort.BACKLASH | Sort.HYSTERESIS:
                return self.within
            case Sort.RESOLUTION:
                return self.within / math.sqrt(3.0)
            case Sort.HOLE | Sort.LENGTH | Sort.EDGE:
                return self.within / SIGMAS


def dimensions_of(project: Project) -> tuple[Dimension, ...]:
    """All that may come out differently, in the order of the file; what has no tolerance is left out."""
    found: list[Dimension] = []
    column = 0
    for one in (*_of_connections(project), *_of_drives(project), *_of_edges(project)):
        if one.within > 0.0:
            found.append(replace(one, first=column))
            column = found[-1].columns.stop
    return tuple(found)


def _of_connections(project: Project) -> Iterator[Dimension]:
    bodies = {body.id: body for body in project.bodies}
    for one in project.connections:
        if isinstance(one, Gearing):
            half = backlash_of(project, one) / 2.0
            yield Dimension(sort=Sort.BACKLASH, of=one.id, within=half, degrees=True)
            continue
        for end, body in enumerate(one.bodies):
            within = tolerance_of(project, bodies[body].made)
            yield Dimension(sort=Sort.HOLE, of=one.id, end=end, body=body, within=within)
        for end in _pinned_ends(one):
            half = play_of(project, getattr(one, "play", None)) / 2.0
            yield Dimension(sort=Sort.PLAY, of=one.id, end=end, within=half)
        if isinstance(one, Rod | Jack):
            yield Dimension(sort=Sort.LENGTH, of=one.id, within=tolerance_of(project, one.made))


def _pinned_ends(one: Connection) -> tuple[int, ...]:
    """The ends at which a pin turns in a hole; a slide's play is that of its guide."""
    match one:
        case Rod() | Jack():
            return (0, 1)
        case Pivot() | Slot() | Slide():
            return (0,)
        case Latch() | Gearing():
            return ()


def _of_drives(project: Project) -> Iterator[Dimension]:
    for drive in project.drives:
        for sort, whole in zip(OF_DRIVES, exactness_of(project, drive), strict=True):
            yield Dimension(sort=sort, of=drive.id, within=whole / 2.0, degrees=turns(project, drive))


def _of_edges(project: Project) -> Iterator[Dimension]:
    for body in project.bodies:
        if body.shapes:
            yield Dimension(sort=Sort.EDGE, of=body.id, body=body.id, within=tolerance_of(project, body.made))


def count_of(dimensions: tuple[Dimension, ...]) -> int:
    """How many columns the deviations have."""
    return dimensions[-1].columns.stop if dimensions else 0


def drawn_at_random(dimensions: tuple[Dimension, ...], samples: int, seed: int) -> Floats:
    """(S, N) deviations of as many models as are asked for, mm or degrees.

    What is made scatters normally; a pin lies against its hole, a gear against its mate and a drive to one side of its
    hysteresis, on a side that is as likely as any other and stays the same throughout: loads press it there, and whence
    they come is not known here. Within its resolution a drive stands anywhere.
    """
    source = np.random.default_rng(seed)
    out = np.zeros((samples, count_of(dimensions)))
    for one in dimensions:
        out[:, one.columns] = _scattered(one, samples, source)
    return out


def _scattered(one: Dimension, samples: int, source: np.random.Generator) -> Floats:
    match one.sort:
        case Sort.PLAY:
            angle = source.uniform(0.0, 2.0 * np.pi, samples)
            return np.asarray(one.within * np.stack([np.cos(angle), np.sin(angle)], axis=1))
        case Sort.BACKLASH | Sort.HYSTERESIS:
            return np.asarray(one.within * source.choice((-1.0, 1.0), (samples, 1)))
        case Sort.RESOLUTION:
            return source.uniform(-one.within, one.within, (samples, 1))
        case Sort.HOLE | Sort.LENGTH | Sort.EDGE:
            return source.normal(0.0, one.sigma, (samples, one.columns.stop - one.first))


def one_at_a_time(dimensions: tuple[Dimension, ...]) -> Floats:
    """(2 N, N) deviations: each column alone by what is allowed it, upwards and then downwards."""
    sizes = np.zeros(count_of(dimensions))
    for one in dimensions:
        sizes[one.columns] = one.within
    return np.concatenate([np.diag(sizes), -np.diag(sizes)])
