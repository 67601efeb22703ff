"""Paths of points as comma-separated values."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np

from core.document.lengths import plain_number, plain_unit
from core.document.names import name_of
from core.document.project import Project
from core.drawing.paths import TracedPath
from core.exports.table import FINER, table


def paths_table(project: Project, traced: Iterable[TracedPath]) -> str:
    """Where each path's point is in its view, in the aircraft's unit at model size.

    Moments stand so close that the straight line between two is within the trace's tolerance; those at which nothing
    is known are left out.
    """
    unit = plain_unit(project)
    return table(("path", "seconds", f"x {unit}", f"y {unit}"), _rows(project, traced))


def _rows(project: Project, traced: Iterable[TracedPath]) -> Iterator[tuple[str, ...]]:
    for one in traced:
        name, known = name_of(one.path), np.isfinite(one.trace.places)
        for time, place in zip(one.trace.times[known].tolist(), one.trace.places[known].tolist(), strict=True):
            x, y = (plain_number(project, number, FINER) for number in (place.real, place.imag))
            yield name, f"{time:.6f}", x, y
