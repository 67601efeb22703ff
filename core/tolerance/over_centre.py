"""Braces of two links that lock by standing a little past the line at either end of a sequence: how far, on which side.

Torque links stand nearly in line too while their oleo hangs, and lock nothing. A lock is told by its course: at that
end its middle joint lies on the other side of the line than the one it folds to. A brace that does not fold at all
locks where it props a body against a fixed one, unless the two slide along each other, as an oleo's do.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

import numpy as np

from core.geometry.planar import Complexes, Floats, cross, point_at
from core.mechanism.mechanism import Kind, Mechanism
from core.motion.motion import Motion

NEARLY = 0.1
"""Of the shorter link: an offset that is no more than this may be meant to lock, and a greater one is a fold."""
TINY = 1e-6
"""Millimetres: an offset below this has no side."""

End = tuple[int, int]
"""A connection's number, and which of its two points."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Brace:
    middle: int
    """The pivot between the two links, by its number."""
    ends: tuple[End, End]
    """The pivots at the far ends of the links."""
    time: float
    offset: float
    """Of the middle pivot from the line through the others, as drawn, mm."""
    side: float
    """1 where it stands to the left of the way from the first end to the other, -1 where to the right."""
    fold: float
    """A greater offset than this is a fold, mm."""


def braces_of(mechanism: Mechanism, motion: Motion) -> tuple[Brace, ...]:
    """Every brace that locks, nearly in line and stretched out, when the sequence starts or when it ends."""
    found = []
    for middle, first, second in _chains(mechanism):
        offs = offsets(mechanism, middle, (first, second), motion.poses)
        props = _props(mechanism, first, second)
        for frame in (0, len(motion.times) - 1):
            brace = _brace(mechanism, motion, frame, middle, first, second)
            if brace is not None and _locks(offs if frame == 0 else offs[::-1], brace, props=props):
                found.append(brace)
    return tuple(sorted(found, key=lambda one: one.time))


def _locks(offs: Floats, brace: Brace, *, props: bool) -> bool:
    """Whether a brace that goes through (F,) offsets from its end on folds past the line, or never and props a body."""
    folds = np.flatnonzero(np.abs(offs) > brace.fold)
    return bool(np.sign(offs[folds[0]]) != brace.side) if len(folds) else props


def _props(mechanism: Mechanism, first: End, second: End) -> bool:
    """Whether one end of a chain stands on a fixed body, and the other on one that moves, but not along it."""
    far = [_far_body(mechanism, end) for end in (first, second)]
    slides = any(link.kind is Kind.SLIDE and set(link.bodies) == set(far) for link in mechanism.links)
    return not slides and mechanism.fixed[far[0]] != mechanism.fixed[far[1]]


def _far_body(mechanism: Mechanism, end: End) -> int:
    """The body that a link is hung on: the other one at its far pivot."""
    return mechanism.links[end[0]].bodies[1 - end[1]]


def _chains(mechanism: Mechanism) -> Iterator[tuple[int, End, End]]:
    pivots = [number for number, link in enumerate(mechanism.links) if link.kind is Kind.PIVOT]
    for middle in pivots:
        bodies = mechanism.links[middle].bodies
        if any(mechanism.fixed[body] for body in bodies):
            continue
        others = [
            [
                (number, mechanism.links[number].bodies.index(body))
                for number in pivots
                if number != middle and body in mechanism.links[number].bodies
            ]
            for body in bodies
        ]
        for first, second in product(*others):
            if first[0] != second[0]:
                yield middle, first, second


def _brace(mechanism: Mechanism, motion: Motion, frame: int, middle: int, first: End, second: End) -> Brace | None:
    poses = motion.poses[frame]
    at, one, other = (_point(mechanism, end, poses) for end in ((middle, 0), first, second))
    lengths = abs(at - one), abs(at - other)
    span = other - one
    if abs(span) <= max(lengths):  # folded, not stretched
        return None
    offset = float(cross(span, at - one)) / abs(span)
    if not TINY < abs(offset) <= NEARLY * min(lengths):
        return None
    return Brace(
        middle=middle, ends=(first, second), time=float(motion.times[frame]), offset=float(abs(offset)),
        side=float(np.sign(offset)), fold=float(NEARLY * min(lengths)),
    )  # fmt: skip


def offsets(mechanism: Mechanism, middle: int, ends: tuple[End, End], poses: Floats) -> Floats:
    """(S,) how far a pivot lies left of the way from one end to the other at (S, B, 3) poses, mm."""
    at, one, other = (_point(mechanism, end, poses) for end in ((middle, 0), *ends))
    return np.asarray(cross(other - one, at - one) / np.abs(other - one))


def _point(mechanism: Mechanism, end: End, poses: Floats) -> Complexes:
    link = mechanism.links[end[0]]
    body, point = ((link.first, link.p), (link.second, link.q))[end[1]]
    return point_at(poses[..., body, :], point)
