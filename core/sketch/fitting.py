"""Fitting a traced drawing: from its pixels to millimetres on the aircraft, by what is known of it.

A known point says where a pixel lies; a known length says how far apart two pixels are, and may say in which direction.
The more is known, the freer the map: a likeness (one scale, a turn), a scale of its own each way and skew, and what a
camera or a crooked scanner does, a projection. What the numbers leave over at each known thing is told in millimetres.

Source: the direct linear transformation with normalised points, then least squares of the miss itself: R. Hartley and
A. Zisserman, Multiple View Geometry in Computer Vision, 2nd edition, algorithms 4.1 to 4.3.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations

import numpy as np

from core.document.project import Matrix, Point
from core.geometry.planar import Floats

SUSPECT_TIMES = 5.0
"""A point is named when the rest agree so many times better with each other than with it."""
READING = 0.001
"""How far a careful hand may be off, as a part of what the known points span, before a point is held to be wrong."""


class Map(StrEnum):
    """How freely pixels are mapped."""

    LIKENESS = "likeness"  # one scale and a turn
    STRETCHED = "stretched"  # a scale of its own each way, and skew
    PROJECTED = "projected"  # what a camera or a crooked sheet does


FREEDOMS = {Map.LIKENESS: 4, Map.STRETCHED: 6, Map.PROJECTED: 8}


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownPlace:
    """A pixel whose place is known in mm at model size."""

    pixel: Point
    mm: Point


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownStretch:
    """Two pixels whose distance is known in mm; `angle`, degrees from the x axis, where its direction is too."""

    start: Point
    end: Point
    mm: float
    angle: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """A drawing's place on the aircraft."""

    map: Map
    pixel_to_mm: Matrix
    mirrored: bool
    point_misses: tuple[Point, ...]
    """Where each known pixel comes to lie, less where it should, mm."""
    stretch_misses: tuple[float, ...]
    """How much too long each known stretch comes out, mm."""
    suspect: int | None = None
    """The known point that the others do not agree with."""
    suspect_by: float = 0.0
    """How far it lies from where the others put it, mm."""

    @property
    def worst(self) -> float:
        """The greatest miss, mm."""
        misses = [math.hypot(*miss) for miss in self.point_misses] + [abs(miss) for miss in self.stretch_misses]
        return max(misses, default=0.0)


def map_for(points: int, stretches: int) -> Map | None:
    """The freest map that so much knowledge determines; None with too little for any."""
    if points >= 4:
        return Map.PROJECTED
    if points == 3 or points + stretches >= 4:
        return Map.STRETCHED
    return Map.LIKENESS if points >= 2 or stretches else None


def fit_drawing(
    points: Sequence[KnownPlace],
    stretches: Sequence[KnownStretch] = (),
    *,
    mirrored: bool = False,
) -> Fit | None:
    """The map that fits what is known best; None where too little is known, or it falls together.

    What is known leaves open is chosen plainly: without a point the picture's corner lies at the origin, without a
    direction the picture stands upright. `mirrored` tells of a drawing seen from the other side.
    """
    wanted = map_for(len(points), len(stretches))
    if wanted is None or not _spread(points, stretches):
        return None
    found = _best(points, stretches, wanted, mirrored)
    if found is None:
        return None
    suspect, by = _suspect(points, mirrored) if not stretches else (None, 0.0)
    return Fit(
        map=wanted,
        pixel_to_mm=tuple(tuple(row) for row in found.tolist()),  # type: ignore[arg-type]
        mirrored=mirrored,
        point_misses=tuple((float(x), float(y)) for x, y in _point_misses(found, points)),
        stretch_misses=tuple(float(miss) for miss in _stretch_misses(found, stretches)),
        suspect=suspect,
        suspect_by=by,
    )


def mapped(matrix: Matrix | Floats, pixels: Sequence[Point] | Floats) -> Floats:
    """(N, 2) mm of (N, 2) pixels."""
    away = np.asarray(pixels, dtype=float).reshape(-1, 2) @ np.asarray(matrix, dtype=float)[:, :2].T
    away = away + np.asarray(matrix, dtype=float)[:, 2]
    return np.asarray(away[:, :2] / away[:, 2:])


# ---- fitting ---------------------------------------------------------------------------------------------------------


def _best(points: Sequence[KnownPlace], stretches: Sequence[KnownStretch], how: Map, mirrored: bool) -> Floats | None:
    """(3, 3) pixels to mm. Pixels are first brought about the origin and to a spread of one, so that all numbers that
    are sought are of one size."""
    pixels = np.array([*(one.pixel for one in points), *(end for one in stretches for end in (one.start, one.end))])
    centre = pixels.mean(axis=0)
    size = max(float(np.sqrt(((pixels - centre) ** 2).sum(axis=1).mean())), 1e-12)
    # Rows of a picture count downwards, so that a drawing that is not mirrored turns over once.
    to_unit = np.array([[1.0, 0.0, -centre[0]], [0.0, -1.0, centre[1]], [0.0, 0.0, size]]) / size
    if mirrored:
        to_unit[0] *= -1.0
    start = _start(points, stretches, to_unit)
    if start is None:
        return None
    make = _MAPS[how]
    spread = max(float(np.hypot(*start[:2])), 1e-12)

    def misses(numbers: Floats) -> Floats:
        matrix = make(numbers * spread) @ to_unit
        parts = [
            _point_misses(matrix, points).ravel(),
            _stretch_misses(matrix, stretches),
            _turn_misses(matrix, stretches),
            _left_open(numbers * spread, start, points, how),
        ]
        return np.concatenate(parts) / spread

    begin = np.zeros(FREEDOMS[how])
    begin[: len(start)] = start / spread
    if how is not Map.LIKENESS:
        begin[:6] = np.array([start[0], -start[1], start[2], start[1], start[0], start[3]]) / spread
    from scipy.optimize import least_squares  # here, as core/sketch/solvers.py says

    found = least_squares(misses, begin, method="lm" if len(misses(begin)) >= len(begin) else "trf", xtol=1e-15,
                          ftol=1e-15, gtol=1e-15, max_nfev=2000)  # fmt: skip
    matrix = make(found.x * spread) @ to_unit
    if not np.isfinite(matrix).all() or abs(np.linalg.det(matrix[:2, :2])) < 1e-18:
        return None
    return np.asarray(matrix / matrix[2, 2])


def _likeness(numbers: Floats) -> Floats:
    a, b, x, y = numbers
    return np.array([[a, -b, x], [b, a, y], [0.0, 0.0, 1.0]])


def _stretched(numbers: Floats) -> Floats:
    return np.array([numbers[:3], numbers[3:6], [0.0, 0.0, 1.0]])


def _projected(numbers: Floats) -> Floats:
    """The last two tell how the picture's plane recedes, in the unit of the normalised pixels."""
    scale = max(float(np.hypot(numbers[0], numbers[3])), 1e-12)
    return np.array([numbers[:3], numbers[3:6], [numbers[6] / scale, numbers[7] / scale, 1.0]])


_MAPS: dict[Map, Callable[[Floats], Floats]] = {
    Map.LIKENESS: _likeness,
    Map.STRETCHED: _stretched,
    Map.PROJECTED: _projected,
}


def _start(points: Sequence[KnownPlace], stretches: Sequence[KnownStretch], to_unit: Floats) -> Floats | None:
    """(4,) the likeness that is nearest: exactly least squares for points, the mean scale of stretches else."""
    if len(points) >= 2:
        unit, mm = mapped(to_unit, [one.pixel for one in points]), np.array([one.mm for one in points])
        u, v = unit - unit.mean(axis=0), mm - mm.mean(axis=0)
        square = float((u**2).sum())
        if square <= 1e-18:
            return None
        a = float((u * v).sum()) / square
        b = float((u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]).sum()) / square
        middle, to = unit.mean(axis=0), mm.mean(axis=0)
        return np.array([a, b, to[0] - a * middle[0] + b * middle[1], to[1] - b * middle[0] - a * middle[1]])
    if not stretches:
        return None
    starts, ends = mapped(to_unit, [one.start for one in stretches]), mapped(to_unit, [one.end for one in stretches])
    scale = float(np.mean([one.mm for one in stretches] / np.hypot(*(ends - starts).T)))
    turns = [
        math.radians(one.angle) - math.atan2(*(end - start)[::-1])
        for one, start, end in zip(stretches, starts, ends, strict=True)
        if one.angle is not None
    ]
    turn = math.atan2(sum(map(math.sin, turns)), sum(map(math.cos, turns))) if turns else 0.0
    a, b = scale * math.cos(turn), scale * math.sin(turn)
    pixel, mm_at = (points[0].pixel, points[0].mm) if points else ((0.0, 0.0), (0.0, 0.0))
    at = mapped(to_unit, [pixel])[0]
    return np.array([a, b, mm_at[0] - a * at[0] + b * at[1], mm_at[1] - b * at[0] - a * at[1]])


def _left_open(numbers: Floats, start: Floats, points: Sequence[KnownPlace], how: Map) -> Floats:
    """Faint ties that settle what the known things leave open, too weak to move what they say by a micron."""
    if len(points) >= (4 if how is Map.PROJECTED else 3 if how is Map.STRETCHED else 2):
        return np.zeros(0)
    plain = np.zeros(len(numbers))
    plain[:4] = start
    if how is not Map.LIKENESS:
        plain[:6] = [start[0], -start[1], start[2], start[1], start[0], start[3]]
    return 1e-5 * (numbers - plain)


def _point_misses(matrix: Floats, points: Sequence[KnownPlace]) -> Floats:
    """(N, 2) mm."""
    if not points:
        return np.zeros((0, 2))
    return mapped(matrix, [one.pixel for one in points]) - np.array([one.mm for one in points])


def _stretch_misses(matrix: Floats, stretches: Sequence[KnownStretch]) -> Floats:
    """(N,) mm too long."""
    if not stretches:
        return np.zeros(0)
    along = mapped(matrix, [one.end for one in stretches]) - mapped(matrix, [one.start for one in stretches])
    return np.asarray(np.hypot(along[:, 0], along[:, 1]) - np.array([one.mm for one in stretches]))


def _turn_misses(matrix: Floats, stretches: Sequence[KnownStretch]) -> Floats:
    """(M,) mm that the ends of stretches of a known direction lie beside it."""
    known = [one for one in stretches if one.angle is not None]
    if not known:
        return np.zeros(0)
    along = mapped(matrix, [one.end for one in known]) - mapped(matrix, [one.start for one in known])
    angles = np.radians([one.angle or 0.0 for one in known])
    return np.asarray(along[:, 1] * np.cos(angles) - along[:, 0] * np.sin(angles))


def _spread(points: Sequence[KnownPlace], stretches: Sequence[KnownStretch]) -> bool:
    """Whether what is known lies apart."""
    if any(math.dist(one.start, one.end) < 1e-9 or one.mm <= 0.0 for one in stretches):
        return False
    return all(
        math.dist(one.pixel, other.pixel) > 1e-9 and math.dist(one.mm, other.mm) > 1e-9
        for one, other in combinations(points, 2)
    )


# ---- a wrong point ---------------------------------------------------------------------------------------------------


def _suspect(points: Sequence[KnownPlace], mirrored: bool) -> tuple[int | None, float]:
    """The point that the others do not agree with, and by how much.

    Each point is left out in turn and the plainest map sought with which the others agree, as well as a careful hand
    can read; the one left out is to blame if it then lies far off, and if leaving out no other one does as well.
    """
    if len(points) < 4:
        return None, 0.0
    mm = np.array([one.mm for one in points])
    careful = READING * float(np.hypot(*np.ptp(mm, axis=0)))
    for how in Map:
        if 2 * (len(points) - 1) <= FREEDOMS[how]:
            break  # the others would agree whatever they say
        tried = [_without(points, i, how, mirrored) for i in range(len(points))]
        if all(one.off <= 2.0 * careful for one in tried):
            return None, 0.0
        agree = careful if len(points) > 4 else 0.25 * careful  # three agree easily
        blamed = [one for one in tried if one.left <= agree and one.off > SUSPECT_TIMES * careful]
        if blamed:
            best = min(blamed, key=lambda one: one.left)
            alone = all(one.left > SUSPECT_TIMES * best.left for one in blamed if one is not best)
            return (best.index, best.off) if alone else (None, 0.0)
    return None, 0.0


@dataclass(frozen=True, slots=True)
class _LeftOut:
    """What comes of leaving a point out: how far it then lies off, and how far the others disagree, mm."""

    index: int
    off: float
    left: float


def _without(points: Sequence[KnownPlace], index: int, how: Map, mirrored: bool) -> _LeftOut:
    rest = [one for i, one in enumerate(points) if i != index]
    found = _best(rest, (), how, mirrored)
    if found is None:
        return _LeftOut(index, math.inf, math.inf)
    left = float(np.hypot(*_point_misses(found, rest).T).max())
    return _LeftOut(index, float(np.hypot(*_point_misses(found, [points[index]])[0])), left)
