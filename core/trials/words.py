"""What people call a fault."""

from __future__ import annotations

from core.findings.sentences import Names, joined, seconds
from core.trials.fault import HALF, Back, Fault, Late, NotEngaging, NotReleasing, Slow, Stuck, Together
from core.units import format_number


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
        case Together():
            first, *others = (fault_words(one, names) for one in fault.faults)
            return joined([first, *map(lowered, others)])


def lowered(words: str) -> str:
    """`Stopped at` in the middle of a line; names keep their letters."""
    return words.replace("Stopped", "stopped", 1) if words.startswith("Stopped at") else words
