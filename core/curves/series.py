"""Values over time, with a name, a unit, and the levels that they should keep to."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from core.geometry.planar import Floats
from core.units import DECIMALS, LENGTH_UNITS, format_angle, format_number

NEAR_FACTOR = 8.0
NEAR_MM = 4.0
"""The curve of a gap shows what is nearer than this many times the clearance that is wanted, or than this."""


class Unit(StrEnum):
    """What a series counts in: inside millimetres, degrees and millimetres a second, before people the others too."""

    MM = "mm"
    CM = "cm"
    METRES = "m"
    INCHES = "in"
    DEGREES = "°"
    SPEED = "mm/s"
    CM_SPEED = "cm/s"
    METRE_SPEED = "m/s"
    INCH_SPEED = "in/s"

    @property
    def plain(self) -> str:
        """In letters alone, for axes and tables."""
        return "deg" if self is Unit.DEGREES else self.value

    @property
    def is_speed(self) -> bool:
        return self.value.endswith("/s")

    @property
    def length(self) -> str:
        """The unit of length that it counts in, of a speed too; empty of an angle."""
        return "" if self is Unit.DEGREES else self.value.removesuffix("/s")

    @property
    def worth(self) -> float:
        """Millimetres or degrees each, of a speed in a second."""
        return LENGTH_UNITS.get(self.length, 1.0)


@dataclass(frozen=True, slots=True)
class Level:
    """A value that matters, and what it is."""

    value: float
    word: str
    grave: bool = False
    """Whether it cannot be passed, and is not only advice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Series:
    title: str
    word: str = ""
    """What the value is, where the title does not say it."""
    unit: Unit
    times: Floats
    """(F,) seconds, never going back."""
    values: Floats
    """(F,); NaN where there is none."""
    levels: tuple[Level, ...] = ()
    wanted: float | None = None
    """Of a gap, the clearance that it should keep; it is one of the levels too."""

    @property
    def name(self) -> str:
        return f"{self.title}, {self.word}" if self.word else self.title

    @property
    def touching(self) -> tuple[tuple[float, float], ...]:
        """The spans in which a gap is closed."""
        if self.wanted is None:
            return ()
        closed = np.concatenate([[False], self.values <= 0.0, [False]])
        edges = np.flatnonzero(np.diff(closed.astype(int)))
        return tuple((float(self.times[a]), float(self.times[b - 1])) for a, b in edges.reshape(-1, 2).tolist())

    @property
    def reach(self) -> tuple[float, float]:
        """Least and greatest of what is to be seen, levels included where the values come near them."""
        low, high = float(np.nanmin(self.values)), float(np.nanmax(self.values))
        if self.wanted is not None:  # what happens far apart is of no interest
            low, high = 0.0, min(max(high, self.wanted), max(NEAR_FACTOR * self.wanted, NEAR_MM / self.unit.worth))
        room = max(high - low, 1e-9)
        for level in self.levels:
            if low - room / 2 <= level.value <= high + room / 2:
                low, high = min(low, level.value), max(high, level.value)
        if high - low > 1e-6:
            return low, high
        beside = 1.0 / self.unit.worth  # a millimetre or a degree
        return low - beside, high + beside

    @property
    def seen_levels(self) -> tuple[Level, ...]:
        """Those within the reach."""
        low, high = self.reach
        return tuple(level for level in self.levels if low - 1e-9 <= level.value <= high + 1e-9)

    def at(self, time: float) -> float:
        """The value at a moment, straight between those that are known; NaN beside one that is not."""
        return float(np.interp(time, self.times, self.values))

    def told(self, value: float) -> str:
        if self.wanted is not None and value <= 0.0:  # nought is no gap; how deep it goes is the finding's to tell
            return "touching"
        return self.written(value)

    def written(self, value: float) -> str:
        if self.unit is Unit.DEGREES:
            return format_angle(value)
        decimals = DECIMALS[self.unit.length] - int(self.unit.is_speed)
        return f"{format_number(value, decimals=decimals)} {self.unit}"


def joined(pieces: list[tuple[Floats, Floats]]) -> tuple[Floats, Floats]:
    """Times and values of pieces that follow each other, with nothing told between two that do not meet."""
    times, values = [np.zeros(0)], [np.zeros(0)]
    for at, what in pieces:
        if len(times[-1]) and len(at) and at[0] > times[-1][-1]:
            times.append(np.array([times[-1][-1], at[0]]))
            values.append(np.full(2, np.nan))
        times.append(at)
        values.append(what)
    return np.concatenate(times), np.concatenate(values)
