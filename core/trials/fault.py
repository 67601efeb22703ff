"""Faults of one drive, one latch or the whole sequence, and several at once; plain values, which load nothing."""

from __future__ import annotations

from collections.abc import Sequence
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
Single = DriveFault | LatchFault | Back


@dataclass(frozen=True, slots=True)
class Together:
    """Two faults or more at once, each as it is by itself."""

    faults: tuple[Single, ...]


Fault = Single | Together


def parts_of(fault: Fault) -> tuple[Single, ...]:
    """The faults that a fault is made of: those of several at once, or itself."""
    return fault.faults if isinstance(fault, Together) else (fault,)


def together(faults: Sequence[Single]) -> Fault:
    """One fault as it is, several at once."""
    return faults[0] if len(faults) == 1 else Together(tuple(faults))
