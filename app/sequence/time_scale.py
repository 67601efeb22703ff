"""Seconds to pixels and back, and where the time ruler has its ticks."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

NAMES_WIDTH = 272
"""Pixels at the left of every row for names."""
MARGIN = 22
"""Pixels left free beyond either end of the sequence, so that the rule can be taken hold of there."""
_ROOM_FOR_TEXT = 74
KEPT = 8
"""Scales of which the ticks are kept: they are asked for at every moment that the rule passes."""


@dataclass(frozen=True, slots=True)
class TimeScale:
    """A sequence of `seconds` laid over `width` pixels that begin at `left`."""

    left: float
    width: float
    seconds: float

    def x(self, time: float) -> float:
        return self.left + (self.width * time / self.seconds if self.seconds > 0 else 0.0)

    def time(self, x: float) -> float:
        """The moment under x; not held within the sequence."""
        return (x - self.left) / self.width * self.seconds if self.width > 0 else 0.0

    @property
    def seconds_per_pixel(self) -> float:
        return self.seconds / self.width if self.width > 0 else 0.0


def over(widget_width: int, seconds: float) -> TimeScale:
    """The scale of a row as wide as its widget."""
    return TimeScale(NAMES_WIDTH + MARGIN, max(1.0, widget_width - NAMES_WIDTH - 2 * MARGIN), max(0.0, seconds))


@dataclass(frozen=True, slots=True)
class Tick:
    time: float
    text: str
    """Empty for the small ones."""


@lru_cache(maxsize=KEPT)
def ticks(scale: TimeScale) -> tuple[Tick, ...]:
    """Ticks at 1, 2 or 5 times a power of ten, far enough apart to be read; five or four small steps to each."""
    if scale.seconds <= 0:
        return (Tick(0.0, "0"),)
    wanted = max(scale.seconds_per_pixel * _ROOM_FOR_TEXT, 1e-6)
    power = 10.0 ** math.floor(math.log10(wanted))
    factor = next(one for one in (1, 2, 5, 10) if one * power >= wanted * (1 - 1e-12))
    large = factor * power
    parts = 4 if factor == 2 else 5
    decimals = max(0, -math.floor(math.log10(large) + 1e-9))
    count = math.floor(scale.seconds / large * parts + 1e-9)
    return tuple(
        Tick(number * large / parts, f"{number // parts * large:.{decimals}f}" if number % parts == 0 else "")
        for number in range(count + 1)
    )
