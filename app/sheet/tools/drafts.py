"""Pieces of previews: shapes begun, measures beside them, and the cue of what the hand snapped to."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely

from core.document.project import Corner, Point, Shape
from core.drawing.drawing import Geometry, Label, Line, Mark, Tint
from core.drawing.pieces import lines_of, rings_of
from core.geometry.curves import line_corners
from core.geometry.outlines import outline_of_shape
from core.sketch.snap_targets import Kind
from core.sketch.snapping import Snap


def shape_marks(shape: Shape | None) -> tuple[Mark, ...]:
    """A shape as it would be drawn, through which one sees what lies under it."""
    if shape is None:
        return ()
    solid = outline_of_shape(shape)
    if solid.is_empty:
        return ()
    return (Mark(geometry=Geometry(rings=rings_of(solid)), line=Line.OUTLINE, tint=Tint.CHOSEN, faint=True),)


def line_mark(points: Sequence[Corner], line: Line = Line.OUTLINE) -> tuple[Mark, ...]:
    """A line through corners, with its arcs."""
    if len(points) < 2:
        return ()
    return (Mark(geometry=Geometry(lines=(line_corners(points),)), line=line),)


def thin_line(first: Point, second: Point) -> Mark:
    return Mark(geometry=lines_of((first, second)), line=Line.THIN)


def cross_marks(at: Point, size: float, line: Line = Line.CLASH) -> tuple[Mark, ...]:
    """A cross at a place where something is wrong."""
    x, y = at
    up = np.array([[x - size, y - size], [x + size, y + size]])
    down = np.array([[x - size, y + size], [x + size, y - size]])
    arms = (up, down)
    return (Mark(geometry=Geometry(lines=arms), line=line),)


def cue_marks(snap: Snap, reach: float) -> tuple[Mark, ...]:
    """A small sign of what was snapped to: square at corners, round at centres and joints, a line along edges."""
    if snap.kind is Kind.NOTHING:
        return ()
    x, y = snap.at
    half = 0.42 * reach
    along = () if snap.along is None else (thin_line(*snap.along),)
    if snap.kind in (Kind.PIVOT, Kind.CENTRE):
        ring = shapely.Point(x, y).buffer(half, quad_segs=6)
    elif snap.kind is Kind.GRID:
        level, upright = np.array([[x - half, y], [x + half, y]]), np.array([[x, y - half], [x, y + half]])
        return (Mark(geometry=Geometry(lines=(level, upright)), line=Line.THIN),)
    else:
        ring = shapely.box(x - half, y - half, x + half, y + half)
    return (*along, Mark(geometry=Geometry(rings=rings_of(ring)), line=Line.OUTLINE))


def cue_label(snap: Snap) -> tuple[Label, ...]:
    if not snap.words or snap.kind is Kind.GRID:
        return ()
    return (Label(text=snap.words, at=snap.at, offset=(4.0, -6.0), faint=True, boxed=True),)


def length_and_angle(start: Point, end: Point) -> tuple[float, float]:
    """Millimetres and degrees, -180 to 180, of a stretch."""
    return math.dist(start, end), math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))


def end_of(start: Point, length: float, angle: float) -> Point:
    """Where a stretch of a length, mm, and an angle, degrees, ends; right directions without the last bits."""
    turn = math.radians(angle)
    cosine, sine = (round(v) + 0.0 if abs(v - round(v)) < 1e-12 else v for v in (math.cos(turn), math.sin(turn)))
    return (start[0] + length * cosine, start[1] + length * sine)
