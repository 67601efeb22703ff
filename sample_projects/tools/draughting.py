"""A drawing-office sheet in pixels: thin ink on off-white paper, at a stated place and scale.

It is inked three times as large and shrunk, so that lines come out even; nothing depends on a typeface or on chance, so
that the same sheet comes out byte for byte.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise
from pathlib import Path

import numpy as np
import shapely
from PIL import Image, ImageDraw
from shapely.geometry.base import BaseGeometry

from core.document.project import Matrix
from sample_projects.tools import lettering
from sample_projects.tools.plane import Point, bearing, distance, polar

FINE = 3
"""Inked this many times as large as it comes out."""
PAPER, INK = (248, 245, 236), (44, 48, 62)
TONES = 16

# ISO 128-2 in pixels as they come out: what is drawn and what is left out, in turn.
SOLID: tuple[float, ...] = ()
CENTRE = (26.0, 5.0, 4.0, 5.0)
GHOST = (22.0, 5.0, 3.0, 4.0, 3.0, 5.0)
HIDDEN = (9.0, 5.0)
WIDE, NARROW = 2.6, 1.3


class Sheet:
    """One sheet; points are given in millimetres at model size, text heights and gaps in pixels."""

    def __init__(self, size: tuple[int, int], pixels_per_mm: float, top_left: Point) -> None:
        self.size, self.scale, self.top_left = size, pixels_per_mm, top_left
        self._picture = Image.new("L", (size[0] * FINE, size[1] * FINE), 0)
        self._pen = ImageDraw.Draw(self._picture)

    # ---- where things are ----------------------------------------------------------------------------------------

    def pixel(self, at: Sequence[float]) -> Point:
        """Column and row of a point of the aircraft."""
        return ((at[0] - self.top_left[0]) * self.scale, (self.top_left[1] - at[1]) * self.scale)

    def pixel_to_mm(self) -> Matrix:
        step = 1.0 / self.scale
        return ((step, 0.0, self.top_left[0]), (0.0, -step, self.top_left[1]), (0.0, 0.0, 1.0))

    def _fine(self, at: Sequence[float]) -> Point:
        column, row = self.pixel(at)
        return (column * FINE, row * FINE)

    # ---- ink -----------------------------------------------------------------------------------------------------

    def line(
        self, points: Iterable[Sequence[float]], *, width: float = NARROW, pattern: Sequence[float] = SOLID
    ) -> None:
        fine = [self._fine(point) for point in points]
        for piece in _dashes(fine, [FINE * length for length in pattern]):
            self._pen.line(piece, fill=255, width=max(1, round(FINE * width)), joint="curve")

    def outline(
        self,
        shape: BaseGeometry,
        *,
        width: float = WIDE,
        pattern: Sequence[float] = SOLID,
        behind: BaseGeometry | None = None,
    ) -> None:
        """A solid's edges, without those that lie behind another."""
        edges = shape.boundary if behind is None else shapely.line_merge(shape.boundary.difference(behind))
        for line in getattr(edges, "geoms", [edges]):
            if not line.is_empty:
                self.line(line.coords, width=width, pattern=pattern)

    def circle(self, centre: Point, radius: float, *, width: float = NARROW, pattern: Sequence[float] = SOLID) -> None:
        self.arc(centre, radius, 0.0, 360.0, width=width, pattern=pattern)

    def arc(
        self,
        centre: Point,
        radius: float,
        begin: float,
        end: float,
        *,
        width: float = NARROW,
        pattern: Sequence[float] = SOLID,
    ) -> None:
        count = max(12, round(abs(end - begin) * radius * self.scale / 300.0))
        steps = (begin + (end - begin) * i / count for i in range(count + 1))
        self.line([polar(centre, radius, step) for step in steps], width=width, pattern=pattern)

    def pin(self, at: Point, radius: float) -> None:
        """A pin with its two centre lines."""
        self.circle(at, radius, width=NARROW)
        reach = radius + 6.0 / self.scale
        self.line([(at[0] - reach, at[1]), (at[0] + reach, at[1])], width=1.0)
        self.line([(at[0], at[1] - reach), (at[0], at[1] + reach)], width=1.0)

    def hatch(self, start: Point, end: Point, *, gap: float = 9.0, slope: Point = (-7.0, -9.0)) -> None:
        """Short strokes under a line, which say that it is the ground."""
        count = round(distance(start, end) * self.scale / gap)
        for i in range(count):
            x = start[0] + (end[0] - start[0]) * i / count
            y = start[1] + (end[1] - start[1]) * i / count
            self.line([(x, y), (x + slope[0] / self.scale, y + slope[1] / self.scale)], width=1.0)

    # ---- words and sizes -----------------------------------------------------------------------------------------

    def text(
        self, text: str, at: Point, *, height: float = 15.0, across: float = 0.0, turn: float = 0.0, width: float = 1.3
    ) -> None:
        """`at` is on the base line, and `across` of the text's width lies before it: 0 none, 0.5 half, 1 all."""
        unit = height / lettering.HEIGHT / self.scale
        along = -across * lettering.width(text)
        cosine, sine = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        for letter in text:
            for stroke in lettering.strokes(letter):
                grid = ((along + x, y) for x, y in stroke)
                self.line(
                    [(at[0] + unit * (cosine * x - sine * y), at[1] + unit * (sine * x + cosine * y)) for x, y in grid],
                    width=width,
                )
            along += lettering.advance(letter)

    def dimension(self, start: Point, end: Point, text: str, *, offset: float, height: float = 15.0) -> None:
        """A size between two points, its line moved `offset` mm to the left as one looks from start to end."""
        turn = bearing(start, end)
        away = turn + 90.0 if offset >= 0 else turn - 90.0
        moved = [polar(point, abs(offset), away) for point in (start, end)]
        for point, there in zip((start, end), moved, strict=True):
            self.line([polar(point, 5.0 / self.scale, away), polar(there, 7.0 / self.scale, away)], width=1.0)
        self.line(moved, width=1.0)
        self.arrow(moved[0], turn + 180.0)
        self.arrow(moved[1], turn)
        upright = turn if -90.0 < turn <= 90.0 else turn - 180.0
        middle = ((moved[0][0] + moved[1][0]) / 2.0, (moved[0][1] + moved[1][1]) / 2.0)
        self.text(text, polar(middle, 6.0 / self.scale, upright + 90.0), height=height, across=0.5, turn=upright)

    def arrow(self, tip: Point, direction: float) -> None:
        length = 15.0 / self.scale
        corners = (tip, polar(tip, length, direction + 171.0), polar(tip, length, direction - 171.0))
        self._pen.polygon([self._fine(corner) for corner in corners], fill=255)

    def leader(self, tip: Point, elbow: Point, text: str, *, height: float = 15.0) -> None:
        """A note with a line to what it is about."""
        right = elbow[0] >= tip[0]
        shelf = (elbow[0] + (14.0 if right else -14.0) / self.scale, elbow[1])
        self.line([tip, elbow, shelf], width=1.0)
        self.arrow(tip, bearing(elbow, tip))
        lower = 0.5 * height / self.scale
        at = (shelf[0] + (6.0 if right else -6.0) / self.scale, shelf[1] - lower)
        self.text(text, at, height=height, across=0.0 if right else 1.0)

    # ---- out -----------------------------------------------------------------------------------------------------

    def save(self, file: Path) -> None:
        """As a picture of `TONES` tones from paper to ink."""
        small = self._picture.reduce(FINE)
        steps = np.asarray(small, dtype=np.uint16) * (TONES - 1) + 127
        picture = Image.fromarray((steps // 255).astype(np.uint8)).convert("P")
        picture.putdata((steps // 255).astype(np.uint8).ravel())
        picture.putpalette([value for tone in range(TONES) for value in _mixed(tone / (TONES - 1))])
        file.parent.mkdir(parents=True, exist_ok=True)
        picture.save(file, format="PNG", optimize=True, bits=4)


def _mixed(part: float) -> tuple[int, int, int]:
    red, green, blue = (round(paper + (ink - paper) * part) for paper, ink in zip(PAPER, INK, strict=True))
    return red, green, blue


def _dashes(points: list[Point], pattern: Sequence[float]) -> list[list[Point]]:
    """A line cut up by a pattern of drawn and empty lengths."""
    if not pattern:
        return [points]
    pieces: list[list[Point]] = []
    piece, index, left = [points[0]], 0, pattern[0]
    for start, end in pairwise(points):
        length, gone = distance(start, end), 0.0
        while length - gone > left:
            gone += left
            at = (start[0] + (end[0] - start[0]) * gone / length, start[1] + (end[1] - start[1]) * gone / length)
            if index % 2 == 0:
                pieces.append([*piece, at])
            piece, index = [at], index + 1
            left = pattern[index % len(pattern)]
        left -= length - gone
        if index % 2 == 0:
            piece.append(end)
    return [*pieces, piece] if index % 2 == 0 and len(piece) > 1 else pieces
