"""Braces of two links that stand nearly in line at either end of a sequence: how far past, and to which side."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

import numpy as np

from core.geometry.planar import Complexes, Floats, cross, point_at
from core.mechanism.mechanism import Kind, Mechanism
from core.motion.motion import Motion

NEARLY = 0.1
"""Of the shorter link: an offset that is no more than this may be meant to lock."""
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


def braces_of(mechanism: Mechanism, motion: Motion) -> tuple[Brace, ...]:
    """Every brace that is nearly in line, stretched out, when the sequence starts or when it ends."""
    found = []
    for frame in (0, len(motion.times) - 1):
        for middle, first, second in _chains(mechanism):
            brace = _brace(mechanism, motion, frame, middle, first, second)
            if brace is not None:
                found.append(brace)
    return tuple(found)


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
        side=float(np.sign(offset)),
    )  # fmt: skip


def offsets(mechanism: Mechanism, brace: Brace, poses: Floats) -> Floats:
    """(S,) of models at (S, B, 3) poses, mm; less than nought where the middle stands on the other side."""
    at, one, other = (_point(mechanism, end, poses) for end in ((brace.middle, 0), *brace.ends))
    return np.asarray(brace.side * cross(other - one, at - one) / np.abs(other - one))


def _point(mechanism: Mechanism, end: End, poses: Floats) -> Complexes:
    link = mechanism.links[end[0]]
    body, point = ((link.first, link.p), (link.second, link.q))[end[1]]
    return point_at(poses[..., body, :], point)
