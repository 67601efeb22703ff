"""Paths of points as comma-separated values."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

import numpy as np

from core.document.lengths import plain_number, plain_unit
from core.document.names import name_of
from core.document.project import Project
from core.drawing.paths import TracedPath

FINER = 2
"""Decimals more than lengths are shown with."""


def paths_table(project: Project, traced: Iterable[TracedPath]) -> str:
    """Where each path's point is in its view, in the aircraft's unit at model size.

    Moments stand so close that the straight line between two is within the trace's tolerance; those at which nothing
    is known are left out.
    """
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    unit = plain_unit(project)
    writer.writerow(("path", "seconds", f"x {unit}", f"y {unit}"))
    for one in traced:
        name, known = name_of(one.path), np.isfinite(one.trace.places)
        for time, place in zip(one.trace.times[known].tolist(), one.trace.places[known].tolist(), strict=True):
            x, y = (plain_number(project, one, FINER) for one in (place.real, place.imag))
            writer.writerow((name, f"{time:.6f}", x, y))
    return text.getvalue()
