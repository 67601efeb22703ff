"""What can go wrong on the way, each kind a value with its numbers."""

from __future__ import annotations

from dataclasses import dataclass


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
