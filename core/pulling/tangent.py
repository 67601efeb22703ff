"""The ways that connections leave open at one position of what hangs on the hand."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.geometry.planar import Floats
from core.pulling.grab import Grab
from core.pulling.rows import Numbers

MET = 1e-11
"""Of the mechanism's size: connections that are off by no more are met."""
ROUNDS = 14
"""Of Newton's with one matrix."""
TELLS = 1e-6
"""Of the steepest drive: one that changes less with all that may move says nothing of a dead centre."""


@dataclass(frozen=True, slots=True)
class Tangent:
    """N bodies may move, in k ways."""

    grab: Grab
    basis: Floats
    """(3 N, k) orthonormal."""
    across: Floats
    """(3 N, r) orthonormal: what the connections forbid."""
    upper: Floats
    """(r, r) with `across`, the kept rows' slopes."""
    kept: Numbers
    """The independent rows among those that connections ask for."""
    mismatch: float
    """The most by which one of those is off, mm."""
    values: Floats
    """(R,) of all rows."""
    slopes: Floats
    """(R, 3 N)"""
    rates: Floats
    """(D, 3 N) how the drives' values change along what is open."""

    @property
    def freedoms(self) -> int:
        return self.basis.shape[1]

    def spread(self, moves: Floats) -> Floats:
        """(T, A, 3) changes of the state from (3 N, T) moves."""
        out = np.zeros((moves.shape[1], *self.grab.start.shape))
        out[:, : self.grab.count] = moves.T.reshape(-1, self.grab.count, 3)
        return out

    def bearing(self, slope: Floats) -> Floats:
        """(R,) what the connections bear to hold against a slope; other rows bear nothing."""
        from scipy.linalg import solve_triangular

        out = np.zeros(len(self.values))
        if len(self.kept):
            out[self.kept] = -solve_triangular(self.upper, self.across.T @ slope, check_finite=False)
        return out

    def met(self, state: Floats, allowed: float, size: float) -> Floats | None:
        """The nearest state that meets the kept rows and leaves the others within what is allowed, by Newton's steps
        with this position's slopes; None where they do not get there."""
        rows, last = self.grab.rows, np.inf
        for _ in range(ROUNDS):
            off = rows.values(state[None])[0]
            worst = float(np.abs(off[self.kept]).max(initial=0.0))
            if worst <= MET * size:
                return state if np.abs(off[self.grab.keeps]).max(initial=0.0) <= allowed else None
            if not worst < 0.7 * last:
                return None
            last = worst
            state = self._corrected(state, off)
        return None

    def nearer(self, state: Floats) -> Floats:
        """The state after one of these steps."""
        return self._corrected(state, self.grab.rows.values(state[None])[0])

    def _corrected(self, state: Floats, off: Floats) -> Floats:
        from scipy.linalg import solve_triangular

        back = self.across @ solve_triangular(self.upper, off[self.kept], trans="T", check_finite=False)
        return state - self.spread(back[:, None])[0]

    def turning(self, there: Tangent) -> float:
        """Positive while the drives' values change the same way as at this place; it changes sign where one turns
        back."""
        telling = self._telling()
        if not len(telling):
            return 1.0
        return float(np.linalg.det(there.rates[telling] @ self.rates[telling].T))

    def turned_back(self, there: Tangent) -> int:
        """The drive that turns back between this position and one near it, or -1."""
        if self.turning(there) >= 0.0:
            return -1
        telling = self._telling()
        left, _, _ = np.linalg.svd(there.rates[telling])
        row = self.grab.drives[telling[int(np.argmax(np.abs(left[:, -1])))]]
        return self.grab.mechanism.links[self.grab.owners[row]].drive

    def _telling(self) -> Numbers:
        """Drives that change independently of each other."""
        from scipy.linalg import qr

        if not self.rates.size:
            return np.zeros(0, dtype=np.intp)
        upper, order = qr(self.rates.T, mode="r", pivoting=True)
        strength = np.abs(np.diag(upper))
        return np.sort(order[: int((strength > TELLS * max(strength.max(), 1e-300)).sum())])

    @property
    def moves_hand(self) -> bool:
        """Whether the grabbed point can move at all."""
        return bool(np.abs(self.slopes[self.grab.hand] @ self.basis).max(initial=0.0) > TELLS)


def tangent_of(grab: Grab, state: Floats, rank: float) -> Tangent:
    """`rank`: of the strongest row, below which one follows from others."""
    from scipy.linalg import qr

    values, slopes = (part[0] for part in grab.rows.linearised(state[None]))
    slopes = grab.columns(slopes[None])[0]
    matrix = slopes[grab.keeps]
    if len(matrix):
        turned, upper, order = qr(matrix.T, pivoting=True, check_finite=False)
        strength = np.abs(np.diag(upper))
        found = int((strength > rank * max(strength.max(initial=0.0), 1e-300)).sum())
    else:
        turned, upper, order, found = np.eye(3 * grab.count), np.zeros((0, 0)), np.zeros(0, dtype=np.intp), 0
    basis = turned[:, found:]
    return Tangent(
        grab=grab,
        basis=basis,
        across=turned[:, :found],
        upper=upper[:found, :found],
        kept=grab.keeps[order[:found]],
        mismatch=float(np.abs(values[grab.keeps]).max(initial=0.0)),
        values=values,
        slopes=slopes,
        rates=(slopes[grab.drives] @ basis) @ basis.T,
    )
