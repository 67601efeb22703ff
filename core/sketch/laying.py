"""A drawing laid under a view: put there when it comes, fitted by what is known of it, and what is left over."""

from __future__ import annotations

import math

import numpy as np
from msgspec.structs import replace

from core.document.project import Datum, KnownLength, KnownPoint, Plane, Point, TracedDrawing, View
from core.sketch.fitting import Fit, KnownPlace, KnownStretch, fit_drawing, mapped

FIRST_WIDTH = 200.0
"""Millimetres across that a drawing gets when it comes, before anything is known of it."""
READINGS: dict[Plane, tuple[str, str]] = {
    "side": ("FS", "WL"),
    "front": ("BL", "WL"),
    "plan": ("FS", "BL"),
    "other": ("", ""),
}
"""Fuselage station, waterline and buttock line, as the trade abbreviates them."""


def laid(file: str, width: int, height: int) -> TracedDrawing:
    """A new drawing with its lower left corner at the origin, `FIRST_WIDTH` across."""
    scale = FIRST_WIDTH / max(width, 1)
    return TracedDrawing(file=file, pixel_to_mm=((scale, 0.0, 0.0), (0.0, -scale, scale * height), (0.0, 0.0, 1.0)))


def pixel_at(drawing: TracedDrawing, at: Point) -> Point:
    """The pixel that lies at a place of the view."""
    ((x, y),) = mapped(np.linalg.inv(np.array(drawing.pixel_to_mm)), [at]).tolist()
    return (x, y)


def refitted(drawing: TracedDrawing) -> tuple[TracedDrawing, Fit | None]:
    """The drawing laid where what is known of it says, and what that leaves over; as it was with too little known.

    One point alone moves it, without turning or scaling. Lengths alone scale and turn it about the middle of the first,
    which stays in sight where it was picked.
    """
    points = [KnownPlace(pixel=one.pixel, mm=one.mm) for one in drawing.known]
    lengths = [
        KnownStretch(start=one.pixels[0], end=one.pixels[1], mm=one.mm, angle=one.angle) for one in drawing.lengths
    ]
    fit = fit_drawing(points, lengths, mirrored=drawing.mirrored)
    if fit is not None:
        fitted = replace(drawing, pixel_to_mm=fit.pixel_to_mm)
        return (fitted if points else _with_middle_kept(fitted, drawing, lengths[0])), fit
    if not points:
        return drawing, None
    return _moved(drawing, points[0].pixel, points[0].mm), None


def _with_middle_kept(fitted: TracedDrawing, before: TracedDrawing, length: KnownStretch) -> TracedDrawing:
    """Moved so that the middle of a length lies where it did before."""
    middle = (0.5 * (length.start[0] + length.end[0]), 0.5 * (length.start[1] + length.end[1]))
    ((x, y),) = mapped(before.pixel_to_mm, [middle]).tolist()
    return _moved(fitted, middle, (x, y))


def _moved(drawing: TracedDrawing, pixel: Point, to: Point) -> TracedDrawing:
    """Moved so that a pixel lies at a place, without turning or scaling."""
    ((x, y),) = mapped(drawing.pixel_to_mm, [pixel]).tolist()
    shift = np.array([[1.0, 0.0, to[0] - x], [0.0, 1.0, to[1] - y], [0.0, 0.0, 1.0]])
    moved = shift @ np.array(drawing.pixel_to_mm)
    return replace(drawing, pixel_to_mm=tuple(tuple(row) for row in moved.tolist()))


def with_known(drawing: TracedDrawing, pixel: Point, mm: Point) -> TracedDrawing:
    """With one more known point, and fitted by all; a point at the same pixel is replaced."""
    kept = tuple(one for one in drawing.known if math.dist(one.pixel, pixel) > 0.5)
    return refitted(replace(drawing, known=(*kept, KnownPoint(pixel=pixel, mm=mm))))[0]


def with_length(drawing: TracedDrawing, first: Point, second: Point, mm: float, angle: float | None) -> TracedDrawing:
    """With one more known length, and fitted by all."""
    more = KnownLength(pixels=(first, second), mm=mm, angle=angle)
    return refitted(replace(drawing, lengths=(*drawing.lengths, more)))[0]


def turned_over(drawing: TracedDrawing) -> TracedDrawing:
    """Mirrored left to right about its own middle, and fitted again by what is known."""
    flipped = replace(drawing, mirrored=not drawing.mirrored)
    again, fit = refitted(flipped)
    if fit is not None:
        return again
    (a, b, c), (d, e, f), last = drawing.pixel_to_mm
    return replace(flipped, pixel_to_mm=((-a, -b, -c), (d, e, f), last))


def reading(view: View, scale: float, at: Point) -> tuple[float, float] | None:
    """What a point of a view reads on the prototype, full-size millimetres; None without a datum."""
    datum: Datum | None = view.datum
    if datum is None:
        return None
    return (
        datum.reads[0] + datum.right * scale * (at[0] - datum.at[0]),
        datum.reads[1] + datum.up * scale * (at[1] - datum.at[1]),
    )


def place_of_reading(view: View, scale: float, reads: Point) -> Point | None:
    """Where a reading lies in a view, mm; None without a datum."""
    datum = view.datum
    if datum is None:
        return None
    return (
        datum.at[0] + datum.right * (reads[0] - datum.reads[0]) / scale,
        datum.at[1] + datum.up * (reads[1] - datum.reads[1]) / scale,
    )
