"""The grid of a sheet: how far apart its lines are for aircraft of one kind of unit, and which of them are drawn."""

from __future__ import annotations

import math
from itertools import count

from core.units import LENGTH_UNITS

FINEST = 0.01
"""Millimetres between grid lines at the least: no body is made to less."""
COARSEST = 1000.0
FAMILIES = {"metric": 1.0, "inch": LENGTH_UNITS["in"] / 32.0}
"""Of each kind of unit, the grid that there is until another is typed, mm."""


def family_of(unit: str) -> str:
    """Whether an aircraft is measured in parts of an inch or of a metre."""
    return "inch" if unit in ("in", "ft") else "metric"


def drawn_step(grid: float, least: float, family: str) -> tuple[float, int]:
    """Of a grid, how far apart the lines are that are drawn, `least` mm or more, and how many go to a stronger one.

    Every line that is drawn is one of the grid: each, every second, fifth, tenth and so on; of inches each, every
    second, fourth, eighth.
    """
    if family == "inch":
        return grid * 2 ** max(0, math.ceil(math.log2(least / grid) - 1e-9)), 8
    parts = (part * 10**power for power in count() for part in (1, 2, 5))
    many = next(one for one in parts if grid * one >= least * (1.0 - 1e-9))
    return grid * many, 5 if str(many).startswith("2") else 10
