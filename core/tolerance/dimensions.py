"""The dimensions by which a built model may differ from its drawing: where holes come to be, how long rods are, how far
pins lie to one side of their holes, where edges run."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from core.document.project import Body, Connection, Gearing, Jack, Latch, Pivot, Project, Rod, Slide, Slot
from core.tolerance.workshop import play_of, tolerance_of

Floats = NDArray[np.float64]

SIGMAS = 3.0
"""A tolerance is taken as so many standard deviations: common practice of tolerance stacks."""


class Sort(StrEnum):
    HOLE = "hole"
    """Where a hole, or a pin, of a body comes to be: two numbers, x and y as drawn."""
    PLAY = "play"
    """Where in its hole a pin lies: two numbers; half the play to one side, which side is not known."""
    LENGTH = "length"
    EDGE = "edge"
    """How far a body's edges run outside of where they are drawn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Dimension:
    sort: Sort
    of: str
    """The connection, or of an edge the body."""
    end: int = 0
    """Which end of the connection, 0 or 1."""
    body: str = ""
    """The one with the hole."""
    within: float
    """Plus or minus, mm; of play, half of it."""
    first: int
    """Its first column among the deviations."""

    @property
    def columns(self) -> slice:
        return slice(self.first, self.first + (2 if self.sort in (Sort.HOLE, Sort.PLAY) else 1))

    @property
    def sigma(self) -> float:
        """The standard deviation of each of its columns; of play that of a point anywhere on a circle's rim."""
        return self.within / math.sqrt(2.0) if self.sort is Sort.PLAY else self.within / SIGMAS


def dimensions_of(project: Project) -> tuple[Dimension, ...]:
    """All that may come out differently, in the order of the file; what has no tolerance is left out."""
    bodies = {body.id: body for body in project.bodies}
    found: list[Dimension] = []
    column = 0
    for sort, of, end, body, within in (*_of_connections(project, bodies), *_of_edges(project)):
        if within > 0.0:
            found.append(Dimension(sort=sort, of=of, end=end, body=body, within=within, first=column))
            column = found[-1].columns.stop
    return tuple(found)


Row = tuple[Sort, str, int, str, float]


def _of_connections(project: Project, bodies: dict[str, Body]) -> Iterator[Row]:
    for one in project.connections:
        if isinstance(one, Gearing):
            continue
        for end, body in enumerate(one.bodies):
            yield Sort.HOLE, one.id, end, body, tolerance_of(project, bodies[body].made)
        for end in _pinned_ends(one):
            yield Sort.PLAY, one.id, end, "", play_of(project, getattr(one, "play", None)) / 2.0
        if isinstance(one, Rod | Jack):
            yield Sort.LENGTH, one.id, 0, "", tolerance_of(project, one.made)


def _pinned_ends(one: Connection) -> tuple[int, ...]:
    """The ends at which a pin turns in a hole; a slide's play is that of its guide."""
    match one:
        case Rod() | Jack():
            return (0, 1)
        case Pivot() | Slot() | Slide():
            return (0,)
        case Latch() | Gearing():
            return ()


def _of_edges(project: Project) -> Iterator[Row]:
    for body in project.bodies:
        if body.shapes:
            yield Sort.EDGE, body.id, 0, body.id, tolerance_of(project, body.made)


def count_of(dimensions: tuple[Dimension, ...]) -> int:
    """How many columns the deviations have."""
    return dimensions[-1].columns.stop if dimensions else 0


def drawn_at_random(dimensions: tuple[Dimension, ...], samples: int, seed: int) -> Floats:
    """(S, N) deviations of as many models as are asked for, mm.

    What is made scatters normally; a pin lies against its hole, on a side that is as likely as any other and stays the
    same throughout: loads press it there, and whence they come is not known here.
    """
    source = np.random.default_rng(seed)
    out = np.zeros((samples, count_of(dimensions)))
    for one in dimensions:
        if one.sort is Sort.PLAY:
            angle = source.uniform(0.0, 2.0 * np.pi, samples)
            out[:, one.columns] = one.within * np.stack([np.cos(angle), np.sin(angle)], axis=1)
        else:
            out[:, one.columns] = source.normal(0.0, one.sigma, (samples, one.columns.stop - one.first))
    return out


def one_at_a_time(dimensions: tuple[Dimension, ...]) -> Floats:
    """(2 N, N) deviations: each column alone by what is allowed it, upwards and then downwards."""
    sizes = np.zeros(count_of(dimensions))
    for one in dimensions:
        sizes[one.columns] = one.within
    return np.concatenate([np.diag(sizes), -np.diag(sizes)])
