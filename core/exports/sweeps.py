"""The corners of sweeps, to cut a bay by."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from core.document.lengths import plain_number, plain_unit
from core.document.project import Project
from core.drawing.pieces import rings_of
from core.exports.table import FINER, table
from core.interference.sweeps import Sweep


def sweep_table(project: Project, sweeps: Iterable[Sweep]) -> str:
    """The corners of sweeps as comma-separated values, in the view and the aircraft's unit at model size.

    Each ring stands without its first corner again; the first ring of a piece is its outer edge, the others are holes.
    """
    unit = plain_unit(project)
    return table(("part", "piece", "ring", f"x {unit}", f"y {unit}"), _rows(project, sweeps))


def _rows(project: Project, sweeps: Iterable[Sweep]) -> Iterator[tuple[object, ...]]:
    for sweep in sweeps:
        pieces = getattr(sweep.area, "geoms", (sweep.area,))
        for number, piece in enumerate(pieces, 1):
            for ring, corners in enumerate(rings_of(piece), 1):
                for corner in corners.tolist():
                    yield sweep.part, number, ring, *(plain_number(project, one, FINER) for one in corner)
