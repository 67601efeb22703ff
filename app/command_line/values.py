"""What the words after an option mean: numbers, moments, files and faults, or in one line why they mean nothing."""

from __future__ import annotations

import argparse
import math
from collections.abc import Sequence
from pathlib import Path

from core.document.packing import SUFFIX
from core.errors import UnreadableQuantity
from core.trials.fault import Back, Late, NotEngaging, NotReleasing, Slow, Stuck
from core.units import parse_length

TABLES = (".csv",)
DRAWINGS = (".png", ".svg", ".pdf")
SWEEPS = (*TABLES, *DRAWINGS)
CURVES = (*TABLES, ".svg", ".png")
"""Endings of what is written."""

LEAST_MODELS, MOST_MODELS = 100, 100_000
"""Fewer tell nothing; more take minutes."""

MOST_FRAMES = 100_000
"""More than this is a slip of the finger: contact is found between frames, however few there are."""
LEAST_TOLERANCE, MOST_TOLERANCE = 0.001, 10.0
"""Millimetres to which a sweep may be exact: finer takes minutes, coarser is of no use."""


def frames(text: str) -> int:
    return _count(text, 2, MOST_FRAMES, "frames", " (start and end)")


def models(text: str) -> int:
    return _count(text, LEAST_MODELS, MOST_MODELS, "models")


def _count(text: str, least: int, most: int, what: str, why_least: str = "") -> int:
    try:
        count = int(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a whole number of {what}") from None
    if not least <= count <= most:
        raise argparse.ArgumentTypeError(f"{count} makes no sense; {least}{why_least} to {most} {what} do")
    return count


def seconds(text: str) -> float:
    try:
        seconds = float(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a number of seconds") from None
    if not math.isfinite(seconds) or seconds < 0:
        raise argparse.ArgumentTypeError(f"{text!r} is no moment of a sequence; its start is 0")
    return seconds


def times(text: str) -> tuple[float, ...]:
    return tuple(seconds(part) for part in text.split(","))


def millimetres(text: str) -> float:
    try:
        millimetres = parse_length(text)
    except UnreadableQuantity as error:
        raise argparse.ArgumentTypeError(f"{error}") from None
    if not (math.isfinite(millimetres) and LEAST_TOLERANCE <= millimetres <= MOST_TOLERANCE):
        span = f"{LEAST_TOLERANCE:g} to {MOST_TOLERANCE:g} mm"
        raise argparse.ArgumentTypeError(f"{text!r} is no tolerance to cut by; {span} are taken")
    return millimetres


def curve_file(text: str) -> Path:
    return file(text, CURVES)


def table_file(text: str) -> Path:
    return file(text, TABLES)


def paper(text: str) -> Path:
    return file(text, DRAWINGS)


def sweep_file(text: str) -> Path:
    return file(text, SWEEPS)


def packed_file(text: str) -> Path:
    return file(text, (SUFFIX,))


def file(text: str, kinds: Sequence[str]) -> Path:
    file = Path(text)
    if file.suffix.lower() not in kinds:
        raise argparse.ArgumentTypeError(f"{text!r} should end in {', '.join(kinds)}")
    if not file.parent.is_dir():
        raise argparse.ArgumentTypeError(f"there is no folder {str(file.parent)!r} to write {file.name!r} into")
    return file


def late(text: str) -> Late:
    drive, seconds_late = _drive_and_number(text, "how many seconds late it is, such as doors=1.5")
    return Late(drive, seconds_late)


def slow(text: str) -> Slow:
    drive, share = _drive_and_number(text, "what share of its speed it has, such as doors=0.5")
    return Slow(drive, share)


def stuck(text: str) -> Stuck:
    if "=" not in text:
        return Stuck(text)
    drive, moment = _drive_and_number(text, "from when on it is stuck, such as doors=0.8")
    return Stuck(drive, moment)


def not_engaging(text: str) -> NotEngaging:
    return NotEngaging(text)


def not_releasing(text: str) -> NotReleasing:
    return NotReleasing(text)


def back(text: str) -> Back:
    return Back(seconds(text))


def _drive_and_number(text: str, what: str) -> tuple[str, float]:
    """`drive=number`; the number is left for the trial to judge, which knows the sequence."""
    drive, _, number = text.partition("=")
    try:
        value = float(number)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} does not say a drive and {what}") from None
    if not drive or not math.isfinite(value):
        raise argparse.ArgumentTypeError(f"{text!r} does not say a drive and {what}")
    return drive, value
