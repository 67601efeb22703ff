"""Faults of one drive, one latch or the whole sequence; plain values, which load nothing."""

from __future__ import annotations

from dataclasses import dataclass

HALF = 0.5


@dataclass(frozen=True, slots=True)
class Late:
    """Every move of a drive begins so many seconds after it should."""

    drive: str
    seconds: float


@dataclass(frozen=True, slots=True)
class Slow:
    """A drive goes at a share of its speed."""

    drive: str
    share: float = HALF


@dataclass(frozen=True, slots=True)
class Stuck:
    """From a moment on, seconds into the sequence, a drive stays at the value it has then; from 0 it never moves."""

    drive: str
    at: float = 0.0


@dataclass(frozen=True, slots=True)
class NotEngaging:
    """A latch never takes hold."""

    latch: str


@dataclass(frozen=True, slots=True)
class NotReleasing:
    """A latch never lets go."""

    latch: str


@dataclass(frozen=True, slots=True)
class Back:
    """The sequence stops at a moment, and from there runs back to its start the way it came."""

    at: float


DriveFault = Late | Slow | Stuck
LatchFault = NotEngaging | NotReleasing
Fault = DriveFault | LatchFault | Back
