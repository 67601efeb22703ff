"""What is loose and what is more than enough, by the rank of the constraints' Jacobian.

A vector that the Jacobian takes to nothing is a movement that no connection minds: a freedom. One that takes the rows
to nothing is a connection that the others already make: a redundancy. Both spaces fall apart into sets that have
nothing to do with each other, which their projectors show (e.g. J. Angeles, Fundamentals of Robotic Mechanical Systems,
on the null spaces of a Jacobian; Kutzbach's count only knows the difference of both).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from core.geometry.planar import Floats

RANK = 1e-5
"""Of the largest singular value: what hand-rounded coordinates may leave of one that would vanish."""
SEEN = 1e-6
"""An entry of a projector below this is none."""


@dataclass(frozen=True, slots=True)
class Space:
    """A set of columns (or rows) that belong together in a null space, and its dimension."""

    members: tuple[int, ...]
    dimension: int


def null_spaces(matrices: Floats) -> tuple[tuple[Space, ...], tuple[Space, ...]]:
    """Of (T, R, N) Jacobians along a motion: what is free of the columns, and what is too many of the rows.

    The frame with the highest rank counts: at a dead centre the rank falls for a moment, which makes nothing loose.
    """
    if not len(matrices) or 0 in matrices.shape:
        count = matrices.shape[2] if matrices.ndim == 3 else 0
        return tuple(Space((column,), 1) for column in range(count)), ()
    values = np.linalg.svd(matrices, compute_uv=False)
    largest = np.maximum(values.max(axis=1, keepdims=True), 1e-300)
    ranks = (values > RANK * largest).sum(axis=1)
    best = int(max(range(len(ranks)), key=lambda at: (ranks[at], values[at, ranks[at] - 1] if ranks[at] else 0.0)))
    left, _, right = np.linalg.svd(matrices[best])
    rank = int(ranks[best])
    return _spaces(right[rank:].T), _spaces(left[:, rank:])


def _spaces(basis: Floats) -> tuple[Space, ...]:
    """The parts of the space that the columns of `basis` span, by the blocks of its projector."""
    projector = basis @ basis.T
    joined = np.abs(projector) > SEEN
    waiting = [int(at) for at in np.flatnonzero(joined.any(axis=1))]
    found = []
    while waiting:
        block, edge = set[int](), [waiting[0]]
        while edge:
            at = edge.pop()
            if at not in block:
                block.add(at)
                edge += [int(other) for other in np.flatnonzero(joined[at]) if int(other) not in block]
        waiting = [at for at in waiting if at not in block]
        members = tuple(sorted(block))
        found.append(Space(members, round(float(projector[members, members].sum()))))
    return tuple(found)


def named(space: Space, owners: Sequence[int]) -> tuple[int, ...]:
    """The owners (bodies of columns, connections of rows) of a space's members, each once."""
    return tuple(sorted({owners[member] for member in space.members}))
