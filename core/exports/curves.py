"""Curves as comma-separated values: one column of seconds, and one for each curve at its own moments."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from core.curves.series import Series
from core.exports.table import table

DECIMALS = 6


def curves_table(curves: Sequence[Series], over: Series | None = None) -> str:
    """The values of curves at every moment that any of them knows; between its own moments a curve goes straight.

    With `over`, a column of that quantity stands beside the seconds. What a curve does not know is left empty.
    """
    every = [*curves, *([over] if over is not None else [])]
    times = np.unique(np.concatenate([one.times for one in every])) if every else np.zeros(0)
    columns = [np.interp(times, one.times, one.values) for one in every]
    if over is not None:
        columns = [columns[-1], *columns[:-1]]
        every = [every[-1], *every[:-1]]
    header = ("seconds", *(f"{one.title} {one.word}".strip() + f" ({one.unit.plain})" for one in every))
    rows = zip(times.tolist(), *(column.tolist() for column in columns), strict=True)
    return table(header, ((f"{time:.{DECIMALS}f}", *map(_figure, values)) for time, *values in rows))


def _figure(value: float) -> str:
    """Empty where there is none; nought has no minus."""
    return "" if math.isnan(value) else f"{round(value, DECIMALS) + 0.0:.{DECIMALS}f}"
