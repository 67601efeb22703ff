"""Block by block: the rates that equations ask for, and how far their one solution is from the cubics with these rates.

The theorem stands in `straying`; here are its arrays. S spans, N bodies and after them the view, R rows, E entries.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.geometry.planar import Bools, Complexes, Floats, Ints
from core.motion.bends import Bends
from core.motion.tableau import Goals, Linearised, Tableau, linearised

FAR = 1e12
"""mm and radians: what is not bounded at all."""
LARGEST = 1e6
MET = 1e-6
"""Of the mechanism's size, mm and radians: equations that are off by more are not solved."""
SLACK = 1e-5
"""How much of the ball is left between the solution and the box that is shown to hold it; more than rounding needs."""


@dataclass(frozen=True, slots=True)
class Contraction:
    rates: Floats
    """(2, S, N + 1, 3) of places and turns at both ends, counting the span as one."""
    off: Floats
    """(S, N + 1, 3) how far the solution is from the cubic, mm and radians."""
    amiss: Bools
    """(S, N + 1) what does not solve its equations at either end, so that no division of the span helps."""


@dataclass(frozen=True, slots=True)
class Spans:
    """What is asked of spans."""

    tableau: Tableau
    at: Linearised
    """At T moments."""
    z: Complexes
    turn: Floats
    """(T, N + 1)"""
    ends: Ints
    """(2, S) moments."""
    goals: Goals
    ball: Floats
    """(S, N + 1, 3) mm and radians: the half sides of the box about the cubic in which the solution is sought; turns in
    it move no point that rows speak of farther than its places."""
    rests: Bools
    """(S, N + 1) what stands still in a span."""
    size: float
    """The mechanism's, mm."""


def contract(spans: Spans, unplaced: Bools) -> Contraction:
    """`unplaced` (N + 1,) are bodies that no equations place."""
    tableau = spans.tableau
    entries = spans.at.entries[spans.ends]
    inverses = [_inverses(batch.matrices(spans.at.entries)) for batch in tableau.batches]
    with np.errstate(over="ignore", invalid="ignore"):
        rates = _rates(spans, entries, inverses)
        bounds = _Bounds.of(spans, entries, rates)
        off = np.repeat(np.where((unplaced & ~spans.rests)[..., None], FAR, 0.0), 3, axis=2)
        off = _off(spans, entries, bounds, inverses, off)
    return Contraction(rates.reshape(*rates.shape[:2], -1, 3), off, _amiss(spans))


def _amiss(spans: Spans) -> Bools:
    off = np.abs(spans.at.values[spans.ends] - spans.goals.values)
    rows: Bools = np.asarray(off.min(axis=0) > MET * spans.size)
    found = np.zeros(spans.rests.shape, dtype=bool)
    for batch in spans.tableau.batches:
        found[:, batch.columns // 3] |= rows[:, batch.rows].any(axis=2, keepdims=True)
    return found


def _inverses(matrices: Floats) -> Floats:
    """(..., m, m), NaN of what is singular."""
    try:
        return np.asarray(np.linalg.inv(matrices))
    except np.linalg.LinAlgError:
        regular = np.linalg.det(matrices) != 0.0
        found = np.full(matrices.shape, np.nan)
        found[regular] = np.linalg.inv(matrices[regular])
        return found


def _rates(spans: Spans, entries: Floats, inverses: list[Floats]) -> Floats:
    """(2, S, 3 (N + 1)) for entries (2, S, E)."""
    tableau = spans.tableau
    column = 3 * tableau.body + tableau.component
    rates = np.zeros((*spans.ends.shape, spans.ball[0].size))
    for batch, inverse in zip(tableau.batches, inverses, strict=True):
        moved = batch.sums(entries[..., batch.known] * rates[..., column[batch.known]])
        wanted = spans.goals.rates[..., batch.rows] - moved
        found = np.matmul(inverse[spans.ends], wanted[..., None])[..., 0]
        rates[..., batch.columns] = np.where(spans.rests[:, batch.columns // 3], 0.0, found)
    return rates


@dataclass(frozen=True, slots=True)
class _Bounds:
    """Along the cubics and in the ball about them."""

    residual: Floats
    """(S, R) by the fourth derivative."""
    middle: Floats
    """(S, R) the residual half way."""
    beside: Floats
    """(S, R) how far it is, anywhere, from that of a quartic with this and none at the ends, by the fifth."""
    bent: Floats
    """(S, E) how far the Jacobian's entries are from what they are by proportion between the ends."""

    @classmethod
    def of(cls, spans: Spans, entries: Floats, rates: Floats) -> _Bounds:
        tableau, goals = spans.tableau, spans.goals
        start = np.abs(spans.at.values[spans.ends] - goals.values).max(axis=0)
        slope = np.abs(tableau.by_rows(entries * rates[..., 3 * tableau.body + tableau.component]) - goals.rates)
        rate = rates.reshape(*rates.shape[:2], -1, 3)
        place = Bends.of(spans.z[spans.ends], rate[..., 0] + 1j * rate[..., 1])
        wheel = Bends.of(spans.turn[spans.ends], rate[..., 2]).of_unit()
        first, second, p, q = tableau.first, tableau.second, np.abs(tableau.p), np.abs(tableau.q)
        none = np.zeros_like(place.third)
        shift = (place.first, place.second, place.third, none, none)
        one, two, three, four, five = (
            shift[n][:, first] + p * wheel[n][:, first] + shift[n][:, second] + q * wheel[n][:, second]
            for n in range(5)
        )
        # In the ball both places are off by their share of it, and both arms' ends by as much again.
        ball, here, there = spans.ball[..., 0], spans.ball[:, first, 2], spans.ball[:, second, 2]
        strays = ball[:, first] + ball[:, second] + p * here + q * there
        gap = spans.at.gap[spans.ends].max(axis=0) + 0.5 * one + strays
        on_line, line = tableau.across | tableau.along, [wheel[n][:, first] for n in range(5)]
        turning = 4.0 * (line[0] * three + line[2] * one) + 6.0 * line[1] * two + line[3] * gap
        squared = tableau.scale * (gap * four + 4.0 * one * three + 3.0 * two**2)
        fourth, fifth = goals.fourth.copy(), goals.fifth.copy()
        fourth[:, : tableau.points] += np.where(tableau.apart, squared, four + np.where(on_line, turning, 0.0))
        turning = 5.0 * (line[0] * four + line[3] * one) + 10.0 * (line[1] * three + line[2] * two) + line[4] * gap
        squared = tableau.scale * (gap * five + 5.0 * one * four + 10.0 * two * three)
        fifth[:, : tableau.points] += np.where(tableau.apart, squared, five + np.where(on_line, turning, 0.0))

        def pull(of_gap: Floats, of_way: Floats) -> Floats:
            return np.where(tableau.apart, tableau.scale * of_gap, np.where(on_line, of_way, 0.0))

        length = np.where(tableau.apart, tableau.scale * gap, 1.0)
        quick, curl, off = pull(one, line[0]), pull(two, line[1]), pull(strays, here)
        spin, arm = wheel[0][:, second], wheel[1][:, second]
        # On a line's own body the pull turns with the arm: of its entry only the twist, way times gap, moves.
        twist = 0.125 * (line[1] * gap + 2.0 * line[0] * one + two) + here * gap + strays
        at_first = p * (0.125 * (line[1] * length + 2.0 * line[0] * quick + curl) + here * length + off)
        at_second = q * (0.125 * (arm * length + 2.0 * spin * quick + curl) + there * length + off)
        along = 0.125 * curl + off
        shares = np.zeros((len(along), len(tableau.share)))
        bent = [along, along, np.where(on_line, twist, at_first), along, along, at_second, shares]
        return cls(
            start + 4.0 / 27.0 * slope.sum(axis=0) + fourth / 384.0,
            _half_way(spans, rate) - goals.middle,
            2.0 * start + 0.3 * slope.sum(axis=0) + fifth / 13400.0,
            np.concatenate(bent, axis=1),
        )


def _half_way(spans: Spans, rate: Floats) -> Floats:
    """(S, R) what the rows have at the middle of the cubics."""

    def middle(ends: NDArray[Any], rates: NDArray[Any]) -> NDArray[Any]:
        return np.asarray(0.5 * (ends[0] + ends[1]) + 0.125 * (rates[0] - rates[1]))

    z = middle(spans.z[spans.ends], rate[..., 0] + 1j * rate[..., 1])
    return linearised(spans.tableau, z, middle(spans.turn[spans.ends], rate[..., 2])).values


def _off(spans: Spans, entries: Floats, bounds: _Bounds, inverses: list[Floats], off: Floats) -> Floats:
    """(S, N + 1, 3) by entries (2, S, E)."""
    tableau = spans.tableau
    column, ball = 3 * tableau.body + tableau.component, spans.ball.reshape(len(off), -1)
    greatest, change = np.abs(entries).max(axis=0) + bounds.bent, entries[1] - entries[0]
    flat = off.reshape(len(off), -1)
    for batch, inverse in zip(tableau.batches, inverses, strict=True):
        at_ends = inverse[spans.ends]
        most = np.abs(at_ends).max(axis=0)
        # Over its nearer half an entry goes half of its change, and what it is bent beside.
        spread = 0.5 * np.abs(np.matmul(at_ends, batch.matrices(change))).max(axis=0)
        spread = spread + np.matmul(most, batch.matrices(bounds.bent))
        handed = batch.sums(greatest[:, batch.known] * flat[:, column[batch.known]])
        by_middle = np.abs(_times(at_ends, bounds.middle[:, batch.rows])).max(axis=0)
        by_middle += _times(most, bounds.beside[:, batch.rows])
        pushed = np.fmin(by_middle, _times(most, bounds.residual[:, batch.rows])) + _times(most, handed)
        found = _boxes(spread, pushed, ball[:, batch.columns])
        flat[:, batch.columns] = np.where(spans.rests[:, batch.columns // 3], 0.0, found)
    return flat.reshape(off.shape)


def _boxes(spread: Floats, pushed: Floats, box: Floats) -> Floats:
    """(..., m) the least e with e = pushed + spread e, where there is a box v above it, within `box`, that is mapped
    into itself and contracted: pushed + spread v < v. FAR where there is none."""
    fine = np.asarray((spread < LARGEST).all(axis=(-2, -1)) & np.isfinite(pushed).all(axis=-1))
    spread = np.where(fine[..., None, None], spread, 0.0)
    pushed = np.where(fine[..., None], np.minimum(pushed, FAR), FAR)
    sides = np.stack([pushed, pushed + SLACK * box], axis=-1)
    try:
        found = np.linalg.solve(np.eye(spread.shape[-1]) - spread, sides)
    except np.linalg.LinAlgError:
        return np.full(pushed.shape, FAR)
    least, above = found[..., 0], found[..., 1]
    holds = np.asarray(((above > 0.0) & (above <= box)).all(axis=-1))
    return np.where(holds[..., None], np.maximum(least, pushed), FAR)


def _times(matrices: Floats, vectors: Floats) -> Floats:
    return np.asarray(np.matmul(matrices, np.asarray(vectors)[..., None])[..., 0])
