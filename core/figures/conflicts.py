"""Published figures that cannot all be right: chains that miss their overall, sides that differ, sources that differ.

Printed figures are taken to lie anywhere within their tolerance, or where none is printed within half of what their
last figure counts; a chain may be off by all of its figures' together.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations

import msgspec

from core.document.measured import points_of
from core.document.project import Figure, FigurePoint, Pivot, Point, Project, Rod
from core.figures.evaluate import ROUNDING
from core.figures.result import FigureResult

IN_LINE = 0.02
"""How far off its line a chain's point may be drawn, as a share of the overall."""
LONGEST = 8
"""Figures in a chain."""
_SIDES = re.compile(r"\b(left|right|port|starboard|l\.?h\.?|r\.?h\.?)(?=\W|$)", re.IGNORECASE)
_LEFT = ("left", "port", "l")


class Kind(StrEnum):
    CHAIN = "chain"
    SIDES = "sides"
    SOURCES = "sources"


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflict:
    """Figures that differ; `off` and `allowed` are millimetres at model size or degrees."""

    kind: Kind
    figures: tuple[str, ...]
    """Ids; of a chain the overall first."""
    off: float
    """The second less the first, or a chain's sum less the overall."""
    allowed: float
    unit: str


def conflicts(project: Project, results: Sequence[FigureResult]) -> tuple[Conflict, ...]:
    """What the project's figures contradict each other in; those that cannot be read are left out."""
    known = [one for one in results if one.wanted is not None]
    return (*_sources(project, known), *_sides(known), *_chains(project, known))


# ---- two of one size ------------------------------------------------------------------------------------------------


def _sources(project: Project, results: Sequence[FigureResult]) -> Iterator[Conflict]:
    rods = {one.id for one in project.connections if isinstance(one, Rod)}
    for one, other in combinations(results, 2):
        if one.unit == other.unit and _measures(one.figure, rods) == _measures(other.figure, rods):
            yield from _differing(Kind.SOURCES, one, other)


def _measures(figure: Figure, rods: set[str]) -> tuple[object, ...]:
    """What a figure measures: alike for two figures of one thing, whichever end was picked first, and of a rod at
    whichever moment."""
    if figure.of in rods:
        return (figure.quantity, figure.of)
    ends = msgspec.json.encode(figure.between)
    if figure.quantity != "angle" and isinstance(figure.between, list | tuple):
        ends = b",".join(sorted(msgspec.json.encode(end) for end in figure.between))
    return (figure.quantity, figure.of, *_way(figure), ends)


def _way(figure: Figure) -> tuple[str, str]:
    """Which of its sizes a figure is, where a quantity has two."""
    return figure.across, figure.compared


def _sides(results: Sequence[FigureResult]) -> Iterator[Conflict]:
    """Figures whose names differ in left and right alone."""
    sided = [(one, *_side(one.figure)) for one in results]
    for (one, name, side), (other, other_name, other_side) in combinations(sided, 2):
        alike = name == other_name and one.unit == other.unit and _way(one.figure) == _way(other.figure)
        if side and other_side and side != other_side and alike:
            yield from _differing(Kind.SIDES, one, other)


def _side(figure: Figure) -> tuple[str, str]:
    """The name without its side, and the side; empty where it has none or several."""
    found = _SIDES.findall(figure.name)
    if len(found) != 1:
        return figure.name, ""
    bare = " ".join(_SIDES.sub(" ", figure.name).casefold().split())
    word = found[0].casefold().replace(".", "")
    return bare, "left" if word in _LEFT or word == "lh" else "right"


def _differing(kind: Kind, one: FigureResult, other: FigureResult) -> Iterator[Conflict]:
    off, allowed = _wanted(other) - _wanted(one), _slack(one) + _slack(other)
    if abs(off) > allowed + ROUNDING:
        ids = (one.id, other.id)
        yield Conflict(kind=kind, figures=ids, off=off, allowed=allowed, unit=one.unit)


def _wanted(result: FigureResult) -> float:
    return result.wanted or 0.0


def _slack(result: FigureResult) -> float:
    if result.tolerance is None:
        return result.rounding
    return max(abs(result.tolerance.below), abs(result.tolerance.above))


# ---- chains ---------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stretch:
    result: FigureResult
    ends: tuple[bytes, bytes]
    places: tuple[Point, Point]

    def from_end(self, end: bytes) -> tuple[bytes, Point] | None:
        if end not in self.ends:
            return None
        other = 1 - self.ends.index(end)
        return self.ends[other], self.places[other]


def _chains(project: Project, results: Sequence[FigureResult]) -> Iterator[Conflict]:
    stretches = [one for one in (_stretch(project, result) for result in results) if one is not None]
    for overall in stretches:
        for chain in _chains_of(overall, [one for one in stretches if one is not overall]):
            off = sum(_wanted(one.result) for one in chain) - _wanted(overall.result)
            allowed = _slack(overall.result) + sum(_slack(one.result) for one in chain)
            if abs(off) > allowed + ROUNDING:
                ids = (overall.result.id, *(one.result.id for one in chain))
                yield Conflict(kind=Kind.CHAIN, figures=ids, off=off, allowed=allowed, unit="mm")


def _stretch(project: Project, result: FigureResult) -> _Stretch | None:
    """A distance whose ends are in one position, and where they are drawn."""
    if result.figure.quantity != "distance":
        return None
    try:
        points = points_of(result.figure)
    except msgspec.ValidationError:
        return None
    places = [_drawn(project, point) for point in points]
    if points[0].at != points[1].at or places[0] is None or places[1] is None:
        return None
    first, second = (msgspec.json.encode(point) for point in points)
    return _Stretch(result=result, ends=(first, second), places=(places[0], places[1]))


def _drawn(project: Project, point: FigurePoint) -> Point | None:
    if point.pivot is None:
        return point.point
    pivots = (one for one in project.connections if isinstance(one, Pivot) and one.id == point.pivot)
    return next((one.at for one in pivots), None)


def _chains_of(overall: _Stretch, others: Sequence[_Stretch]) -> Iterator[tuple[_Stretch, ...]]:
    """Ways of two stretches and more from one end to the other that only go forward along the overall's line."""
    start, end = overall.ends

    def onward(here: bytes, gone: float, chain: tuple[_Stretch, ...]) -> Iterator[tuple[_Stretch, ...]]:
        if here == end:
            if len(chain) > 1:
                yield chain
            return
        for one in others if len(chain) < LONGEST else ():
            step = one.from_end(here)
            if step is None:
                continue
            along, aside = _along(overall.places, step[1])
            if along > gone and abs(aside) <= IN_LINE:
                yield from onward(step[0], along, (*chain, one))

    yield from onward(start, 0.0, ())


def _along(places: tuple[Point, Point], at: Point) -> tuple[float, float]:
    """How far along a line a point lies and how far beside it, as shares of its length."""
    (x1, y1), (x2, y2) = places
    length = math.dist(*places)
    if length == 0.0:
        return math.inf, math.inf
    dx, dy = (x2 - x1) / length, (y2 - y1) / length
    x, y = at[0] - x1, at[1] - y1
    return (x * dx + y * dy) / length, (y * dx - x * dy) / length
