"""The solved motion: where every body is at every frame, how well that is known, and what went wrong on the way."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from core.motion.schedule import Schedule

if TYPE_CHECKING:
    from core.motion.span import Course

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Jam:
    """Connections that cannot hold together over a span; bodies stay at the last frame that could be assembled."""

    connections: tuple[str, ...]
    bodies: tuple[str, ...]
    begin: float
    end: float
    time: float
    """When it first jams."""
    short_by: float
    """How far, at the worst, the connections fall short of meeting, in millimetres (degrees where `unit` says so)."""
    unit: str = "mm"


@dataclass(frozen=True, slots=True, kw_only=True)
class DeadCentre:
    """A drive meets, or passes within `distance` millimetres of, a position where its linkage stands in line."""

    drive: str | None
    connections: tuple[str, ...]
    time: float
    distance: float
    branches: bool = False
    """True where the motion could go on two ways and the smooth one was taken."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TravelPassed:
    """A pivot, slide, slot or jack is asked to go beyond its limits; worst value, in its drive's terms."""

    connection: str
    value: float
    limits: tuple[float, float]
    time: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LatchMiss:
    """The two halves of a latch are further apart than its reach when a step engages it, in millimetres."""

    connection: str
    miss: float
    time: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Loose:
    """Bodies that nothing drives or holds, moving together in `freedoms` ways."""

    bodies: tuple[str, ...]
    freedoms: int
    begin: float
    end: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Redundant:
    """Connections among which `count` are more than the motion needs, though they agree."""

    connections: tuple[str, ...]
    count: int


Trouble = Jam | DeadCentre | TravelPassed | LatchMiss | Loose | Redundant


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """F frames of B bodies.

    A body's point drawn at p is at R(turn) p + (x, y): millimetres and radians; turns are continuous over the frames.
    """

    schedule: Schedule
    bodies: tuple[str, ...]
    """Ids, in the order of axis B (the file's order)."""
    connections: tuple[str, ...]
    """Ids, in the order of axis C (the file's order)."""
    drive_ids: tuple[str, ...]
    times: Floats
    """(F,) seconds, increasing."""
    poses: Floats
    """(F, B, 3) x, y, turn."""
    drives: Floats
    """(F, D) what each drive is asked for, in its terms: degrees, or millimetres."""
    values: Floats
    """(F, C) each connection's value in its drive's terms (pivot degrees, slide and slot mm along the line, jack mm
    beyond closed, rod mm of length); NaN for gearings and latches."""
    assembled: NDArray[np.bool_]
    """(F, B) False where a body is held at its last good pose because its connections cannot meet."""
    troubles: tuple[Trouble, ...] = ()
    poses_at: Callable[[Floats], Floats] = field(compare=False, repr=False)
    """(T,) any times within the sequence -> (T, B, 3) solved poses on the same branch as the frames about them."""
    assembled_at: Callable[[Floats], NDArray[np.bool_]] = field(compare=False, repr=False)
    """(T,) -> (T, B), as `assembled`."""
    course: Course | None = field(default=None, compare=False, repr=False)
    """How it was solved, for what is asked of it afterwards: what moves what, and how what is loose could move."""
