"""What a connection asks of its bodies: residuals that vanish where it is met, with their gradients.

Lengths are millimetres; a turn counts as the arc at the mechanism's size, so that all rows can be weighed together.

==========  ====  ========================================================================================
pivot        2    both points coincide
slide        2    no relative turn; nothing across its direction
slot         1    the pin lies on the line, which has no ends here: running past them is a matter of travel
rod, jack    1    the distance of its ends; a jack that no drive is on asks nothing
gearing      1    the second pivot's turn is `ratio` times the first's
latch        3    while it holds: the relative pose it took hold in
drive       +1    its pivot's turn, or its slide's travel
==========  ====  ========================================================================================
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from core.geometry.planar import Complexes, Floats, cross, dot, unit
from core.mechanism.mechanism import Kind, Link, Mechanism

Grip = tuple[complex, float]
"""Place and turn of the second body of a latch in the frame of its first while it holds."""


class Standing(Protocol):
    """Bodies at T times in a frame that they share."""

    drives: Floats

    def point(self, body: int, point: complex) -> Complexes: ...

    def way(self, body: int, direction: complex) -> Complexes: ...

    def turn(self, body: int) -> Floats: ...


@dataclass(frozen=True, slots=True)
class Pull:
    """How a row changes with one body: d row = gradient . d point + twist d turn."""

    body: int
    gradient: Complexes | complex
    point: Complexes
    twist: Floats | float = 0.0


@dataclass(frozen=True, slots=True)
class Row:
    residual: Floats
    """(T,) mm."""
    pulls: tuple[Pull, ...]
    turns: bool = False
    """Whether it compares turns, so that its residual is an arc."""


def row_count(link: Link, *, held: bool = False) -> int:
    """How many rows a connection has; `held` says of a latch that it holds."""
    match link.kind:
        case Kind.PIVOT | Kind.SLIDE:
            return 2 + (link.drive >= 0)
        case Kind.JACK:
            return int(link.drive >= 0)
        case Kind.LATCH:
            return 3 * held
        case _:
            return 1


def rows_of(mechanism: Mechanism, number: int, at: Standing, grips: Mapping[int, Grip]) -> list[Row]:
    """The rows of one connection; a latch has them while it is among `grips`."""
    link, size = mechanism.links[number], mechanism.size
    if link.kind is Kind.GEARING:
        return [_gearing(mechanism, link, at)]
    if link.kind is Kind.LATCH:
        if number not in grips:
            return []
        place, turn = grips[number]
        held = _together(link, at, place, 0j)
        return [*held, _turn(link, at, turn, size)]
    here, there = at.point(link.first, link.p), at.point(link.second, link.q)
    match link.kind:
        case Kind.PIVOT:
            rows = _together(link, at, link.p, link.q)
            if link.drive >= 0:
                rows.append(_turn(link, at, np.deg2rad(at.drives[:, link.drive]), size))
            return rows
        case Kind.SLIDE:
            rows = [_turn(link, at, 0.0, size), _line(link, at, here, there, across=True)]
            if link.drive >= 0:
                rows.append(_line(link, at, here, there, across=False))
            return rows
        case Kind.SLOT:
            return [_line(link, at, here, there, across=True)]
        case Kind.JACK if link.drive < 0:
            return []
        case _:
            length = link.length if link.drive < 0 else link.length + at.drives[:, link.drive]
            way = unit(there - here)
            pulls = (Pull(link.second, way, there), Pull(link.first, -way, here))
            return [Row(np.abs(there - here) - length, pulls)]


def _together(link: Link, at: Standing, p: complex, q: complex) -> list[Row]:
    here, there = at.point(link.first, p), at.point(link.second, q)
    gap = there - here
    return [
        Row(part, (Pull(link.second, way, there), Pull(link.first, -way, here)))
        for part, way in ((gap.real, 1 + 0j), (gap.imag, 1j))
    ]


def _turn(link: Link, at: Standing, wanted: Floats | float, size: float) -> Row:
    first, second = at.turn(link.first), at.turn(link.second)
    nowhere = np.zeros(1, dtype=complex)
    pulls = (Pull(link.second, 0j, nowhere, size), Pull(link.first, 0j, nowhere, -size))
    return Row(np.asarray(size * (second - first - wanted)), pulls, turns=True)


def _line(link: Link, at: Standing, here: Complexes, there: Complexes, *, across: bool) -> Row:
    """Across the first body's line, or along it from where a drive wants it."""
    way = at.way(link.first, link.along)
    gap = there - here
    if across:
        residual, gradient, twist = cross(way, gap), 1j * way, -dot(way, gap)
    else:
        residual, gradient, twist = dot(way, gap) - at.drives[:, link.drive], way, cross(way, gap)
    pulls = (Pull(link.second, gradient, there), Pull(link.first, -gradient, here, twist))
    return Row(np.asarray(residual), pulls)


def _gearing(mechanism: Mechanism, link: Link, at: Standing) -> Row:
    one, other = (mechanism.links[pivot] for pivot in link.pivots)
    first = at.turn(one.second) - at.turn(one.first)
    second = at.turn(other.second) - at.turn(other.first)
    nowhere, size = np.zeros(1, dtype=complex), mechanism.size
    shares = ((other.second, 1.0), (other.first, -1.0), (one.second, -link.ratio), (one.first, link.ratio))
    pulls = tuple(Pull(body, 0j, nowhere, size * share) for body, share in shares)
    return Row(np.asarray(size * (second - link.ratio * first)), pulls, turns=True)


def jacobian(rows: Sequence[Row], columns: Sequence[int], origins: Sequence[Complexes], size: float) -> Floats:
    """(T, R, 3 G): rows by the shift and turn of G groups of bodies.

    `columns` names each body's group, -1 for the world; a group turns about its entry in `origins`, and a turn is
    counted as an arc at `size`.
    """
    count = max((len(np.atleast_1d(row.residual)) for row in rows), default=1)
    out = np.zeros((count, len(rows), 3 * len(origins)))
    for number, row in enumerate(rows):
        for pull in row.pulls:
            group = columns[pull.body]
            if group < 0:
                continue
            gradient = np.asarray(pull.gradient)
            out[:, number, 3 * group] += gradient.real
            out[:, number, 3 * group + 1] += gradient.imag
            arm = cross(pull.point - origins[group], gradient)
            out[:, number, 3 * group + 2] += (arm + pull.twist) / size
    return out
