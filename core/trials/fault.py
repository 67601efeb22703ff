"""Faults of one drive, one latch or the whole sequence, and what people call them."""

from __future__ import annotations

from dataclasses import dataclass

from core.findings.sentences import Names, seconds
from core.units import format_number

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


def thing_of(fault: Fault) -> str | None:
    """The drive or the latch that is at fault; None of a sequence that runs back."""
    match fault:
        case Late() | Slow() | Stuck():
            return fault.drive
        case NotEngaging() | NotReleasing():
            return fault.latch
    return None


def fault_words(fault: Fault, names: Names) -> str:
    """What a fault is, in a few words: `Main doors late by 1.00 s`."""
    match fault:
        case Late():
            return f"{names(fault.drive)} late by {seconds(fault.seconds)}"
        case Slow():
            share = "half speed" if fault.share == HALF else f"{format_number(100.0 * fault.share)} % of its speed"
            return f"{names(fault.drive)} at {share}"
        case Stuck():
            return (
                f"{names(fault.drive)} {'not moving at all' if fault.at <= 0.0 else f'stuck from {seconds(fault.at)}'}"
            )
        case NotEngaging():
            return f"{names(fault.latch)} not engaging"
        case NotReleasing():
            return f"{names(fault.latch)} not releasing"
        case Back():
            return f"Stopped at {seconds(fault.at)} and run back"
