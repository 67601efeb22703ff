"""The rows of `core.mechanism.constraints` all at once, for what has to be had many times while the hand moves.

Every row is one of two kinds. A gap row asks for the component, along a *way*, of the gap from one body's point to
another's: a way of the view (pivots), one that turns with the first body (slides, slots), or that of the gap itself
(rods, jacks). A turn row asks for a sum of turns. The rows' values and slopes are those of `constraints.rows_of`, which
tests compare; they cost a twentieth (tests/benchmarks/benchmark_pull.py).

State: (T, A, 3) of A bodies at T places: where the middle of a body's connections is, and its turn as the arc at its
radius, so that a millimetre counts alike in all of it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum, auto

import numpy as np
from numpy.typing import NDArray

from core.geometry.planar import Complexes, Floats, cross, dot, unit

Numbers = NDArray[np.intp]


class Way(Enum):
    """What a gap row's way turns with."""

    VIEW = auto()
    FIRST = auto()
    GAP = auto()


class Part(Enum):
    """What a row is for."""

    KEEPS = auto()
    """A connection asks for it."""
    LIMITS = auto()
    """The value of something that stops."""
    DRIVES = auto()
    """The value of a drive."""
    HAND = auto()
    """x or y of the grabbed point."""


Owner = tuple[Part, int]
"""What a row is for, and the number of its connection; of the grabbed point -1."""


@dataclass(frozen=True, slots=True)
class Rows:
    """Gap rows first, then turn rows."""

    turning: NDArray[np.bool_]
    """The gap rows whose way turns with the first body."""
    lengths: NDArray[np.bool_]
    """Those whose way is that of the gap."""
    first: Numbers
    second: Numbers
    p: Complexes
    q: Complexes
    """Points from the middles of their bodies, as drawn."""
    along: Complexes
    wanted: Floats
    shares: Floats
    """(turn rows, A) of each body's turn, in mm of arc for a radian."""
    turns: Floats
    """What the sums are to be, mm of arc."""
    radii: Floats
    """(A,)"""

    def __len__(self) -> int:
        return len(self.first) + len(self.turns)

    @property
    def gap_count(self) -> int:
        return len(self.first)

    def values(self, state: Floats) -> Floats:
        """(T, R) by how far each row is from what is wanted, mm."""
        return self._gaps(state)[0]

    def linearised(self, state: Floats) -> tuple[Floats, Floats]:
        """(T, R) as `values`, and (T, R, A, 3) how they change with the state."""
        values, here, there, arms, way = self._gaps(state)
        slopes = np.zeros((len(state), len(self), state.shape[1], 3))
        rows, one, other = np.arange(self.gap_count), self.first, self.second
        slopes[:, rows, other, 0] = way.real
        slopes[:, rows, other, 1] = way.imag
        slopes[:, rows, other, 2] = cross(arms[1], way) / self.radii[other]
        slopes[:, rows, one, 0] = -way.real
        slopes[:, rows, one, 1] = -way.imag
        twist = np.where(self.turning, cross(way, there - here), 0.0)
        slopes[:, rows, one, 2] = (twist - cross(arms[0], way)) / self.radii[one]
        slopes[:, len(rows) :, :, 2] = self.shares / self.radii
        return values, slopes

    def _gaps(self, state: Floats) -> tuple[Floats, Complexes, Complexes, tuple[Complexes, Complexes], Complexes]:
        """Values, the points, their arms from the middles, and the ways."""
        middles, turns = state[..., 0] + 1j * state[..., 1], state[..., 2] / self.radii
        rotors = np.exp(1j * turns)
        arms = (rotors[:, self.first] * self.p, rotors[:, self.second] * self.q)
        here, there = middles[:, self.first] + arms[0], middles[:, self.second] + arms[1]
        gap = there - here
        way = np.where(self.turning, rotors[:, self.first] * self.along, self.along)
        way[:, self.lengths] = unit(gap[:, self.lengths])
        values = np.concatenate([dot(way, gap) - self.wanted, turns @ self.shares.T - self.turns], axis=1)
        return values, here, there, arms, way


@dataclass(slots=True)
class RowMaker:
    """Gathers rows of bodies whose middles and radii are known."""

    middles: Complexes
    radii: Floats
    gaps: list[tuple[Way, int, int, complex, complex, complex, float]] = field(default_factory=list)
    sums: list[tuple[dict[int, float], float]] = field(default_factory=list)
    gap_owners: list[Owner] = field(default_factory=list)
    sum_owners: list[Owner] = field(default_factory=list)

    def gap(
        self, owner: Owner, way: Way, ends: tuple[int, int], points: tuple[complex, complex], along: complex = 1 + 0j,
        wanted: float = 0.0,
    ) -> None:  # fmt: skip
        p, q = points[0] - self.middles[ends[0]], points[1] - self.middles[ends[1]]
        self.gaps.append((way, *ends, complex(p), complex(q), along, wanted))
        self.gap_owners.append(owner)

    def turn(self, owner: Owner, shares: dict[int, float], wanted: float) -> None:
        self.sums.append((shares, wanted))
        self.sum_owners.append(owner)

    @property
    def owners(self) -> tuple[Owner, ...]:
        """Whose each row is."""
        return (*self.gap_owners, *self.sum_owners)

    def rows(self) -> Rows:
        columns = list(zip(*self.gaps, strict=True)) or [()] * 7
        shares = np.zeros((len(self.sums), len(self.radii)))
        for row, (parts, _) in enumerate(self.sums):
            for body, share in parts.items():
                shares[row, body] += share
        return Rows(
            turning=np.array([way is Way.FIRST for way in columns[0]], dtype=bool),
            lengths=np.array([way is Way.GAP for way in columns[0]], dtype=bool),
            first=np.array(columns[1], dtype=int),
            second=np.array(columns[2], dtype=int),
            p=np.array(columns[3], dtype=complex),
            q=np.array(columns[4], dtype=complex),
            along=np.array(columns[5], dtype=complex),
            wanted=np.array(columns[6], dtype=float),
            shares=shares,
            turns=np.array([wanted for _, wanted in self.sums], dtype=float),
            radii=self.radii,
        )
