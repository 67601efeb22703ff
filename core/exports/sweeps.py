"""The corners of sweeps, to cut a bay by."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from core.drawing.pieces import rings_of
from core.interference.sweeps import Sweep

HEADER = ("part", "piece", "ring", "x mm", "y mm")


def sweep_table(sweeps: Iterable[Sweep]) -> str:
    """The corners of sweeps as comma-separated values, millimetres in the view, each ring without its first corner
    again; the first ring of a piece is its outer edge and the others are holes."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(HEADER)
    for sweep in sweeps:
        pieces = getattr(sweep.area, "geoms", (sweep.area,))
        for number, piece in enumerate(pieces, 1):
            for ring, corners in enumerate(rings_of(piece), 1):
                writer.writerows((sweep.part, number, ring, f"{x:.4f}", f"{y:.4f}") for x, y in corners.tolist())
    return text.getvalue()
