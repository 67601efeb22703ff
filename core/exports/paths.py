"""Paths of points as comma-separated values."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

import numpy as np

from core.document.names import name_of
from core.drawing.paths import TracedPath

HEADER = ("path", "seconds", "x mm", "y mm")


def paths_table(traced: Iterable[TracedPath]) -> str:
    """Where each path's point is, millimetres of the model in its view, at moments so close that the straight line
    between two is within the trace's tolerance; moments at which nothing is known are left out."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(HEADER)
    for one in traced:
        name, known = name_of(one.path), np.isfinite(one.trace.places)
        for time, place in zip(one.trace.times[known].tolist(), one.trace.places[known].tolist(), strict=True):
            writer.writerow((name, f"{time:.6f}", f"{place.real:.4f}", f"{place.imag:.4f}"))
    return text.getvalue()
