"""The step that a walk would make: nearer to the hand, or with the hand kept back towards where it was grabbed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.geometry.planar import Bools, Floats
from core.pulling.descent import downhill
from core.pulling.walk import Walk

PULL_BACK = 1e-7
"""How much a millimetre from where it was grabbed counts against one from the hand."""
NEAR = 1e-3
"""Of the mechanism's size: the hand is as good as reached."""
FIRM = 1e-2
"""How far the grabbed point goes, per millimetre of everything, where it can be kept in hand."""
RIGID = 1e-7
"""Of a limited value's slope: what of it lies in the ways that are open, where no move changes the value."""
PROBE = 1e-5
"""Of the mechanism's size: how far slopes are looked at to see how they turn."""


@dataclass(frozen=True, slots=True)
class Wish:
    """A step that one would make."""

    move: Floats
    """(3 N,)"""
    held: Floats
    """What each limit bears then."""
    pull: float = 0.0
    """How hard the hand pulls where it keeps hold of the point."""
    kept: Floats | None = None
    """(2, r) the ways in which it does; None while it has not reached it."""


def wanted(walk: Walk) -> Wish:
    """Nearer to the hand; once it is reached, back towards where it was grabbed with the point kept in hand."""
    reached = _in_hand(walk) if abs(walk.gap(walk.here.values)) <= NEAR * walk.size else None
    return reached or _nearer(walk)


def merit(walk: Walk, wish: Wish, state: Floats, values: Floats) -> float:
    """What is to become less, with limits that are passed counted dearly."""
    grab, limits, gap = walk.grab, values[walk.grab.limits], walk.gap(values)
    passed = float(np.maximum(np.maximum(grab.low - limits, limits - grab.high), 0.0).sum())
    back = 0.5 * float(((state - grab.start) ** 2).sum())
    dear = 2.0 * float(np.abs(walk.held).sum())
    if wish.kept is not None:
        away = float(np.abs(wish.kept.T @ np.array([gap.real, gap.imag])).sum())
        return back + 2.0 * (wish.pull + 1.0) * away + dear * passed
    return 0.5 * abs(gap) ** 2 + PULL_BACK * back + (2.0 * abs(gap) + dear) * passed


def _nearer(walk: Walk) -> Wish:
    here, grab = walk.here, walk.grab
    slope = _slopes(walk, walk.state[None], here.values[None], here.slopes[None])[0]
    weights = here.bearing(slope - here.slopes[grab.limits].T @ walk.held)
    weights[grab.limits] = -walk.held
    curvature = _curvature(walk, here.basis, weights, in_hand=False)
    free = _free_to_change(walk)
    planes, least = _planes(walk, free, here.basis)
    move, held = downhill(curvature, here.basis.T @ slope, planes, least, PULL_BACK)
    return Wish(here.basis @ move, _both_ends(held, free))


def _in_hand(walk: Walk) -> Wish | None:
    """None where the grabbed point cannot be kept in the hand: near a dead centre of its own, or beyond a limit."""
    here, grab = walk.here, walk.grab
    ways, strengths, parts = np.linalg.svd(here.slopes[grab.hand] @ here.basis)
    count = int((strengths > FIRM).sum())
    if not count or (strengths[count:] > 1e-9).any():
        return None
    gap, to_hand, rest = walk.gap(here.values), here.basis @ parts[:count].T, here.basis @ parts[count:].T
    short = ways[:, :count].T @ np.array([gap.real, gap.imag])
    reach = to_hand @ (short / strengths[:count])
    back = grab.moved(walk.state[None])[0]
    pulls = to_hand.T @ (back - here.slopes[grab.limits].T @ walk.held) / strengths[:count]
    weights = np.zeros(len(here.values))
    weights[grab.hand] = -ways[:, :count] @ pulls
    weights[grab.limits] = -walk.held
    weights += here.bearing(back + here.slopes.T @ weights)
    curvature = _curvature(walk, rest, weights, in_hand=True)
    free = _free_to_change(walk)
    planes, least = _planes(walk, free, rest, reach)
    slope = rest.T @ back
    move, held = downhill(curvature, slope, planes, least, 1e-3)
    if len(planes) and (planes @ move < least - 1e-9 * walk.size).any():
        return None
    return Wish(reach + rest @ move, _both_ends(held, free), float(np.abs(pulls).sum()), ways[:, :count])


def _free_to_change(walk: Walk) -> Bools:
    """Of each limited value whether any move changes it. Where none does, as where a drive that is kept stands at its
    limit, the limit asks for nothing: what it would ask is rounding, and would hold what nothing holds."""
    slopes = walk.here.slopes[walk.grab.limits]
    return np.asarray(np.linalg.norm(slopes @ walk.here.basis, axis=1) > RIGID * np.linalg.norm(slopes, axis=1))


def _both_ends(held: Floats, free: Bools) -> Floats:
    """What each limit bears, from what those that are free to change bear at their lower and then their upper ends."""
    bears = np.zeros(len(free))
    bears[free] = held[: len(held) // 2] - held[len(held) // 2 :]
    return bears


def _planes(walk: Walk, free: Bools, ways: Floats, begun: Floats | None = None) -> tuple[Floats, Floats]:
    """What the limits that are free to change ask of a move along some ways, on top of one that is made in any case."""
    here, limits, grab = walk.here, walk.grab.limits[free], walk.grab
    values, slopes = here.values[limits], here.slopes[limits]
    values = values if begun is None else values + slopes @ begun
    across = slopes @ ways
    return np.concatenate([across, -across]), np.concatenate([grab.low[free] - values, values - grab.high[free]])


def _curvature(walk: Walk, ways: Floats, weights: Floats, *, in_hand: bool) -> Floats:
    """(k, k) of the Lagrangian along some ways: its slopes a little to both sides."""
    probe = PROBE * walk.size
    aside = probe * walk.here.spread(ways)
    states = np.concatenate([walk.state + aside, walk.state - aside])
    values, slopes = walk.grab.rows.linearised(states)
    columns = walk.grab.columns(slopes)
    own = walk.grab.moved(states) if in_hand else _slopes(walk, states, values, columns)
    found = own + weights @ columns
    return np.asarray((found[: len(aside)] - found[len(aside) :]) @ ways / (2.0 * probe))


def _slopes(walk: Walk, states: Floats, values: Floats, columns: Floats) -> Floats:
    """(T, 3 N) of half the square of the way to the hand, with the pull back to where it was grabbed; of the rows'
    values and slopes there."""
    grab = walk.grab
    short = values[:, grab.hand] - np.array([walk.aim.real, walk.aim.imag])
    task = np.einsum("tr,trn->tn", short, columns[:, grab.hand])
    return np.asarray(task + PULL_BACK * grab.moved(states))
