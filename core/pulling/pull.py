"""Where a grabbed body and all that hangs on it go when the hand pulls: the least change that keeps every connection.

Of all positions that bring the grabbed point as near to the hand as connections and limits let it come, the one nearest
to where it was grabbed. It is walked to in small steps within the connections, each as long as they bend little, so
that nothing is ever taken apart and put together otherwise. Each step is Newton's, for the Lagrangian within the null
space of the connections (J. Nocedal, S. J. Wright, Numerical Optimization, sequential quadratic programming with a
reduced Hessian); Newton's steps with the same matrix bring it back onto the connections. A step that would have a drive
turn back, so that no sequence could get where it leads, ends at that dead centre.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from core.geometry.planar import Floats
from core.mechanism.mechanism import Kind, Mechanism
from core.motion.newton import INDEPENDENT
from core.motion.phase import AGREE
from core.motion.values import value_of
from core.pulling.descent import downhill
from core.pulling.grab import Grab
from core.pulling.tangent import MET, Tangent, tangent_of

STEPS = 6
"""Of one call, at the most: what is not there yet goes on at the next."""
TRIES = 8
"""After so many tried steps, some of them too long, a call begins no other."""
LONGEST = 0.15
"""Of the mechanism's size: no step is longer."""
BENDS = 0.15
"""Of a step: by more the connections may not bend away from it."""
PULL_BACK = 1e-7
"""How much a millimetre from where it was grabbed counts against one from the hand."""
ARRIVED = 1e-8
"""Of the mechanism's size: a step shorter than this is none."""
NEAR = 1e-3
"""Of the mechanism's size: the hand is as good as reached."""
FIRM = 1e-2
"""How far the grabbed point goes, per millimetre of everything, where it can be kept in hand."""
PROBE = 1e-5
"""Of the mechanism's size: how far slopes are looked at to see how they turn."""
SHORTENED = 6
"""How many times a step is tried shorter before the pull ends for now."""
SHORT_OF_CENTRE = 0.9
"""Of the way to where a drive turns back."""
ROUNDED = 1e-4
"""Of the strongest row: a weaker one may be no more than the rounding of one that follows from others."""
TRIED = 0.02
"""Of the mechanism's size: so far it is tried whether connections agree."""
APART = 1e-3
"""Of the mechanism's size: connections that are further off than this are not met."""
CLEAR = 1e-4
"""Of the mechanism's size: so far before a place where two ways cross a step ends: there none of them is plain."""
OFF_IT = 1e-3
"""Of the mechanism's size: so far from such a place one of them is."""
ROUNDS = 6
LITTLE = 0.02
"""Of what the drive that went farthest has gone: one that has gone less has not been pulled."""
HOLDS = 1e-3
"""Of a pull: what a limit bears above this holds it."""


@dataclass(frozen=True, slots=True)
class Stop:
    """A limit that holds the body back."""

    link: int
    upper: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Pulled:
    poses: Floats
    """(B, 3)"""
    short_by: float
    """Millimetres from the grabbed point to the hand."""
    arrived: bool
    """Whether it has gone as far as it will; else it goes on when asked again from these poses."""
    stops: tuple[Stop, ...] = ()
    turned_back: int = -1
    """The drive at whose dead centre it stands, or -1."""
    freedoms: int = 0
    """Of all that hangs together with the body, with the limits left out."""
    still: bool = False
    """Whether the grabbed point cannot move at all from here."""
    apart: int = -1
    """A connection that is not met where it was grabbed, so that nothing can be pulled, or -1."""


@dataclass(slots=True)
class _Walk:
    """What one call knows of its way."""

    grab: Grab
    aim: complex
    state: Floats
    here: Tangent
    size: float
    room: float
    held: Floats
    """(limits,) what each limit bears, positive at its lower end."""
    allowed: float
    """Millimetres by which connections that follow from others may be off."""
    rank: float
    turned_back: int = -1
    arrived: bool = False
    tries: int = 0
    crossing: bool = False
    """Whether it is just before a place where two ways cross."""


@dataclass(frozen=True, slots=True)
class _Wish:
    """A step that one would make."""

    move: Floats
    """(3 N,)"""
    held: Floats
    """What each limit bears then."""
    pull: float = 0.0
    """How hard the hand pulls where it keeps hold of the point."""
    kept: Floats | None = None
    """(2, r) the ways in which it does; None while it has not reached it."""


def pull(grab: Grab, present: Floats, hand: complex, *, steps: int = STEPS) -> Pulled:
    """The bodies when the hand is at a place of the view, walked to from (B, 3) `present`.

    `present` is where an earlier call from the same grab ended, or `grab.poses`.
    """
    if not grab.members:
        return _unmoved(grab, present, hand)
    size, state = grab.mechanism.size, grab.state_of(present)
    first = tangent_of(grab, state, INDEPENDENT)
    rank, allowed = INDEPENDENT, MET * size
    if not first.moves_hand and _only_rounded(grab, state):
        rank, allowed = ROUNDED, min(AGREE, 1e-4 * size)
        first = tangent_of(grab, state, rank)
    met = first.met(state, first.mismatch + allowed, size)
    if met is None or first.mismatch > APART * size:
        worst = grab.keeps[int(np.argmax(np.abs(first.values[grab.keeps])))]
        return replace(_unmoved(grab, present, hand), apart=grab.owners[worst])
    here = tangent_of(grab, met, rank) if met is not state else first
    allowed = max(allowed, 2.0 * here.mismatch)
    walk = _Walk(grab, hand, met, here, size, LONGEST * size, np.zeros(len(grab.limits)), allowed, rank)
    for _ in range(steps):
        if walk.arrived or not walk.here.freedoms or walk.tries >= TRIES:
            break
        _step(walk)
    walk.arrived |= not walk.here.freedoms
    return _told(walk)


def _only_rounded(grab: Grab, state: Floats) -> bool:
    """Whether what holds the point are connections more than are needed, which agree but for how they were rounded."""
    size, tangent = grab.mechanism.size, tangent_of(grab, state, ROUNDED)
    if not tangent.moves_hand:
        return False
    aside = TRIED * size * tangent.spread(tangent.basis)
    allowed = min(AGREE, 1e-4 * size)
    return any(tangent.met(state + way * one, allowed, size) is not None for one in aside for way in (1.0, -1.0))


def _step(walk: _Walk) -> None:
    """One step of the walk, or the knowledge that there is none to make."""
    wish = _wanted(walk)
    walk.held = wish.held
    length = float(np.linalg.norm(wish.move))
    walk.turned_back = -1
    if walk.crossing and length <= 2.0 * CLEAR * walk.size:
        walk.arrived = True
        return
    if length <= ARRIVED * walk.size:
        walk.arrived = True
        last = _reached(walk, wish.move)
        if last is not None and last[1].freedoms == walk.here.freedoms:
            walk.state, walk.here = last
        return
    share = min(1.0, walk.room / length)
    for _ in range(SHORTENED):
        outcome = _tried(walk, wish, share)
        if outcome is None:
            share *= 0.4
            walk.room = share * length
            continue
        state, there, back = outcome
        if back < 0:
            walk.room = min(max(walk.room, 2.0 * share * length), LONGEST * walk.size)
            walk.state, walk.here = state, there
            return
        share *= _before_the_turn(walk, there)
        walk.turned_back = back
        if share * length <= 1e-4 * walk.size:
            break
    walk.arrived = walk.turned_back >= 0 or not _off_the_crossing(walk, wish.move / length)


def _off_the_crossing(walk: _Walk, way: Floats) -> bool:
    """Where two ways cross and none is plain: a little along the wished one, on to whichever is near; once a call."""
    if walk.crossing or walk.here.freedoms < 2:
        return False
    walk.crossing = True
    state: Floats | None = walk.state + OFF_IT * walk.size * walk.here.spread(way[:, None])[0]
    for _ in range(ROUNDS):
        assert state is not None
        there = tangent_of(walk.grab, state, walk.rank)
        closer = there.met(state, walk.allowed, walk.size)
        if closer is not None:
            walk.state, walk.here = closer, tangent_of(walk.grab, closer, walk.rank)
            return True
        state = there.nearer(state)
    return False


def _wanted(walk: _Walk) -> _Wish:
    """Nearer to the hand; once it is reached, back towards where it was grabbed with the point kept in hand."""
    reached = _in_hand(walk) if abs(_gap(walk, walk.here.values)) <= NEAR * walk.size else None
    return reached or _nearer(walk)


def _nearer(walk: _Walk) -> _Wish:
    here, grab = walk.here, walk.grab
    slope = _slopes(walk, walk.state[None], here.values[None], here.slopes[None])[0]
    weights = here.bearing(slope - here.slopes[grab.limits].T @ walk.held)
    weights[grab.limits] = -walk.held
    curvature = _curvature(walk, here.basis, weights, in_hand=False)
    planes, least = _planes(walk, here.basis)
    move, held = downhill(curvature, here.basis.T @ slope, planes, least, PULL_BACK)
    return _Wish(here.basis @ move, _both_ends(held))


def _in_hand(walk: _Walk) -> _Wish | None:
    """None where the grabbed point cannot be kept in the hand: near a dead centre of its own, or beyond a limit."""
    here, grab = walk.here, walk.grab
    ways, strengths, parts = np.linalg.svd(here.slopes[grab.hand] @ here.basis)
    count = int((strengths > FIRM).sum())
    if not count or (strengths[count:] > 1e-9).any():
        return None
    gap, to_hand, rest = _gap(walk, here.values), here.basis @ parts[:count].T, here.basis @ parts[count:].T
    short = ways[:, :count].T @ np.array([gap.real, gap.imag])
    reach = to_hand @ (short / strengths[:count])
    back = grab.moved(walk.state[None])[0]
    pulls = to_hand.T @ (back - here.slopes[grab.limits].T @ walk.held) / strengths[:count]
    weights = np.zeros(len(here.values))
    weights[grab.hand] = -ways[:, :count] @ pulls
    weights[grab.limits] = -walk.held
    weights += here.bearing(back + here.slopes.T @ weights)
    curvature = _curvature(walk, rest, weights, in_hand=True)
    planes, least = _planes(walk, rest, reach)
    slope = rest.T @ back
    move, held = downhill(curvature, slope, planes, least, 1e-3)
    if len(planes) and (planes @ move < least - 1e-9 * walk.size).any():
        return None
    return _Wish(reach + rest @ move, _both_ends(held), float(np.abs(pulls).sum()), ways[:, :count])


def _both_ends(held: Floats) -> Floats:
    """Of limits at their lower and then at their upper ends."""
    return np.asarray(held[: len(held) // 2] - held[len(held) // 2 :])


def _planes(walk: _Walk, ways: Floats, begun: Floats | None = None) -> tuple[Floats, Floats]:
    """What the limits ask of a move along some ways, on top of one that is made in any case."""
    here, grab = walk.here, walk.grab
    values, slopes = here.values[grab.limits], here.slopes[grab.limits]
    values = values if begun is None else values + slopes @ begun
    across = slopes @ ways
    return np.concatenate([across, -across]), np.concatenate([grab.low - values, values - grab.high])


def _curvature(walk: _Walk, ways: Floats, weights: Floats, *, in_hand: bool) -> Floats:
    """(k, k) of the Lagrangian along some ways: its slopes a little to both sides."""
    probe = PROBE * walk.size
    aside = probe * walk.here.spread(ways)
    states = np.concatenate([walk.state + aside, walk.state - aside])
    values, slopes = walk.grab.rows.linearised(states)
    columns = walk.grab.columns(slopes)
    own = walk.grab.moved(states) if in_hand else _slopes(walk, states, values, columns)
    found = own + weights @ columns
    return np.asarray((found[: len(aside)] - found[len(aside) :]) @ ways / (2.0 * probe))


def _slopes(walk: _Walk, states: Floats, values: Floats, columns: Floats) -> Floats:
    """(T, 3 N) of half the square of the way to the hand, with the pull back to where it was grabbed; of the rows'
    values and slopes there."""
    grab = walk.grab
    short = values[:, grab.hand] - np.array([walk.aim.real, walk.aim.imag])
    task = np.einsum("tr,trn->tn", short, columns[:, grab.hand])
    return np.asarray(task + PULL_BACK * grab.moved(states))


def _tried(walk: _Walk, wish: _Wish, share: float) -> tuple[Floats, Tangent, int] | None:
    """Where a share of a step leads with the connections met again, and the drive that turns back on it, or -1; None
    where it is too long."""
    move = share * wish.move
    reached = _reached(walk, move)
    if reached is not None and reached[1].freedoms > walk.here.freedoms:
        walk.crossing = True
        move = max(0.0, 1.0 - CLEAR * walk.size / float(np.linalg.norm(move))) * move
        reached = _reached(walk, move)
    if reached is None:
        return None
    state, there = reached
    strayed = float(np.linalg.norm(((state - walk.state)[: walk.grab.count]).ravel() - move))
    if strayed > BENDS * float(np.linalg.norm(move)) + MET * walk.size:
        return None
    if _merit(walk, wish, state, there.values) > _merit(walk, wish, walk.state, walk.here.values) + 1e-12:
        return None
    return state, there, walk.here.turned_back(there)


def _reached(walk: _Walk, move: Floats) -> tuple[Floats, Tangent] | None:
    """Where a move leads with the connections met again, and what is open there."""
    walk.tries += 1
    state = walk.here.met(walk.state + walk.here.spread(move[:, None])[0], walk.allowed, walk.size)
    return None if state is None else (state, tangent_of(walk.grab, state, walk.rank))


def _merit(walk: _Walk, wish: _Wish, state: Floats, values: Floats) -> float:
    """What is to become less, with limits that are passed counted dearly."""
    grab, limits, gap = walk.grab, values[walk.grab.limits], _gap(walk, values)
    passed = float(np.maximum(np.maximum(grab.low - limits, limits - grab.high), 0.0).sum())
    back = 0.5 * float(((state - grab.start) ** 2).sum())
    dear = 2.0 * float(np.abs(walk.held).sum())
    if wish.kept is not None:
        away = float(np.abs(wish.kept.T @ np.array([gap.real, gap.imag])).sum())
        return back + 2.0 * (wish.pull + 1.0) * away + dear * passed
    return 0.5 * abs(gap) ** 2 + PULL_BACK * back + (2.0 * abs(gap) + dear) * passed


def _before_the_turn(walk: _Walk, there: Tangent) -> float:
    """What share of a step stops just before a drive turns back, if its rate falls evenly."""
    before, after = walk.here.turning(walk.here), walk.here.turning(there)
    return SHORT_OF_CENTRE * before / max(before - after, 1e-300)


def _gap(walk: _Walk, values: Floats) -> complex:
    """From the grabbed point to the hand."""
    x, y = values[walk.grab.hand]
    return walk.aim - complex(x, y)


def _unmoved(grab: Grab, poses: Floats, hand: complex) -> Pulled:
    row = poses[grab.body]
    place = complex(row[0], row[1]) + np.exp(1j * row[2]) * grab.point
    return Pulled(poses=poses, short_by=float(abs(place - hand)), arrived=True, still=True)


def _told(walk: _Walk) -> Pulled:
    grab, gap = walk.grab, abs(_gap(walk, walk.here.values))
    least = HOLDS * gap
    held = enumerate(walk.held if gap > NEAR * walk.size else ())
    return Pulled(
        poses=grab.poses_of(walk.state),
        short_by=gap,
        arrived=walk.arrived,
        stops=tuple(Stop(grab.owners[grab.limits[at]], bool(bears < 0.0)) for at, bears in held if abs(bears) > least),
        turned_back=walk.turned_back,
        freedoms=walk.here.freedoms,
        still=not walk.here.freedoms or not walk.here.moves_hand,
    )


def drive_values(mechanism: Mechanism, poses: Floats) -> Floats:
    """(D,) every drive's value in its terms, when the bodies stand at (B, 3) `poses`."""
    links = [mechanism.links[number] for number in mechanism.driven]
    return np.array([float(value_of(one, poses[None, one.first], poses[None, one.second])[0]) for one in links])


def values_moved(mechanism: Mechanism, poses: Floats, before: Floats) -> Floats:
    """(D,) as `drive_values` at `poses`, but of drives that only a little of the pull went into those of `before`.

    Least change gives a thousandth to what need not move at all; nobody who pulls a leg means to roll its wheel.
    """
    now, then = drive_values(mechanism, poses), drive_values(mechanism, before)
    pivots = [mechanism.links[number].kind is Kind.PIVOT for number in mechanism.driven]
    gone = np.abs(now - then) * np.where(pivots, np.deg2rad(mechanism.size), 1.0)
    return np.where(gone >= LITTLE * gone.max(initial=0.0), now, then)
