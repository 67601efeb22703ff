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

from core.geometry.planar import Floats, point_at
from core.motion.newton import INDEPENDENT
from core.motion.phase import AGREE
from core.pulling.grab import Grab
from core.pulling.tangent import MET, Tangent, tangent_of
from core.pulling.walk import Walk
from core.pulling.wish import NEAR, Wish, merit, wanted

STEPS = 6
"""Of one call, at the most: what is not there yet goes on at the next."""
TRIES = 8
"""After so many tried steps, some of them too long, a call begins no other."""
LONGEST = 0.15
"""Of the mechanism's size: no step is longer."""
BENDS = 0.15
"""Of a step: by more the connections may not bend away from it."""
ARRIVED = 1e-8
"""Of the mechanism's size: a step shorter than this is none."""
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
    walk = Walk(grab, hand, met, here, size, LONGEST * size, np.zeros(len(grab.limits)), allowed, rank)
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


def _step(walk: Walk) -> None:
    """One step of the walk, or the knowledge that there is none to make."""
    wish = wanted(walk)
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


def _off_the_crossing(walk: Walk, way: Floats) -> bool:
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


def _tried(walk: Walk, wish: Wish, share: float) -> tuple[Floats, Tangent, int] | None:
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
    if merit(walk, wish, state, there.values) > merit(walk, wish, walk.state, walk.here.values) + 1e-12:
        return None
    return state, there, walk.here.turned_back(there)


def _reached(walk: Walk, move: Floats) -> tuple[Floats, Tangent] | None:
    """Where a move leads with the connections met again, and what is open there."""
    walk.tries += 1
    state = walk.here.met(walk.state + walk.here.spread(move[:, None])[0], walk.allowed, walk.size)
    return None if state is None else (state, tangent_of(walk.grab, state, walk.rank))


def _before_the_turn(walk: Walk, there: Tangent) -> float:
    """What share of a step stops just before a drive turns back, if its rate falls evenly."""
    before, after = walk.here.turning(walk.here), walk.here.turning(there)
    return SHORT_OF_CENTRE * before / max(before - after, 1e-300)


def _unmoved(grab: Grab, poses: Floats, hand: complex) -> Pulled:
    place = point_at(poses[grab.body], grab.point)
    return Pulled(poses=poses, short_by=float(np.abs(place - hand)), arrived=True, still=True)


def _told(walk: Walk) -> Pulled:
    grab, gap = walk.grab, abs(walk.gap(walk.here.values))
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
