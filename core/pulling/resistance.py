"""Why a pulled body comes no nearer to the hand, and which connections hold it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum, auto

import numpy as np

from core.geometry.planar import Floats, point_at
from core.mechanism.mechanism import Kind
from core.motion.newton import INDEPENDENT
from core.pulling.grab import Grab, bodies_of, grab
from core.pulling.pull import Pulled
from core.pulling.tangent import TELLS, tangent_of
from core.pulling.wish import NEAR


class Why(Enum):
    FIXED = auto()
    """The body is fixed."""
    APART = auto()
    """Connections do not hold together where it was grabbed."""
    PINNED = auto()
    """A drive that is kept where it is holds it."""
    LATCHED = auto()
    """A latch holds it."""
    HELD = auto()
    """Its connections leave it no movement."""
    CENTRE = auto()
    """It was grabbed where it turns about: that point stays."""
    IN_LINE = auto()
    """For the moment nothing moves it, though what it hangs on can move: a dead centre."""
    TURNS_BACK = auto()
    """A drive would turn back: a dead centre of what it moves."""
    LIMIT = auto()
    """Limits of pivots, slides, slots or jacks."""


@dataclass(frozen=True, slots=True)
class Resistance:
    why: Why
    connections: tuple[str, ...] = ()
    ends: tuple[float, ...] = ()
    """Of limits where each connection stands, in its drive's terms."""
    upper: tuple[bool, ...] = ()
    """Of limits whether each is the upper one."""


def resistance(held: Grab, pulled: Pulled) -> Resistance | None:
    """What holds a body back; None where it is in hand, or only the hand has left the way that it can go."""
    if held.mechanism.fixed[held.body]:
        return Resistance(Why.FIXED)
    if pulled.apart >= 0:
        return Resistance(Why.APART, _ids(held, (pulled.apart,)))
    if pulled.short_by <= NEAR * held.mechanism.size:
        return None
    if pulled.still:
        return _still(held, pulled.poses)
    if pulled.turned_back >= 0:
        return Resistance(Why.TURNS_BACK, _ids(held, (held.mechanism.driven[pulled.turned_back],)))
    if not pulled.stops:
        return None
    links = [held.mechanism.links[stop.link] for stop in pulled.stops]
    limits = [link.limits or (0.0, 0.0) for link in links]
    return Resistance(
        Why.LIMIT,
        tuple(link.id for link in links),
        tuple(limit[stop.upper] for limit, stop in zip(limits, pulled.stops, strict=True)),
        tuple(stop.upper for stop in pulled.stops),
    )


def _ids(held: Grab, links: tuple[int, ...]) -> tuple[str, ...]:
    return tuple(held.mechanism.links[link].id for link in links)


def _still(held: Grab, poses: Floats) -> Resistance:
    """What would let it move, were it undone: pins and latches before connections."""
    tangent = tangent_of(held, held.state_of(poses), INDEPENDENT)
    own = tuple(
        number
        for number, link in enumerate(held.mechanism.links)
        if held.body in link.bodies and (link.kind is not Kind.LATCH or number in held.grips)
    )
    for drive in sorted(held.pinned):
        if _could_move(held, poses, pinned=held.pinned - {drive}):
            return Resistance(Why.PINNED, _ids(held, (held.mechanism.driven[drive],)))
    for latch in held.grips:
        if _could_move(held, poses, without=latch):
            return Resistance(Why.LATCHED, _ids(held, (latch,)))
    found = tuple(one for one in own if _frees(held, poses, one)) or own
    moving = {
        body
        for at, body in enumerate(held.members)
        if np.abs(tangent.basis[3 * at :][:3]).max(initial=0.0) > TELLS
    }  # fmt: skip
    if held.body in moving:
        return Resistance(Why.CENTRE, _ids(held, found))
    if not tangent.freedoms:
        return Resistance(Why.HELD, _ids(held, found))
    return Resistance(Why.IN_LINE, _ids(held, _in_line(held, poses, moving, found)))


def _in_line(held: Grab, poses: Floats, moving: set[int], own: tuple[int, ...]) -> tuple[int, ...]:
    """Of a body at a dead centre what holds it in line: its own connections, or where none of them joins it to what
    can still move, those farther along that do."""
    links = held.mechanism.links
    if any(moving & set(bodies_of(held.mechanism, links[one])) for one in own):
        return own
    joining = (number for number, link in enumerate(links) if moving & set(bodies_of(held.mechanism, link)))
    farther = (one for one in joining if links[one].kind is not Kind.LATCH or one in held.grips)
    return tuple(one for one in farther if _frees(held, poses, one)) or own


def _frees(held: Grab, poses: Floats, link: int) -> bool:
    """Whether the point could move without what one connection asks for."""
    kept = np.array([row for row in held.keeps if held.owners[row] != link], dtype=np.intp)
    return tangent_of(replace(held, keeps=kept), held.state_of(poses), INDEPENDENT).moves_hand


def _could_move(held: Grab, poses: Floats, *, pinned: frozenset[int] | None = None, without: int = -1) -> bool:
    mechanism, at = held.mechanism, point_at(poses[held.body], held.point)
    other = grab(
        mechanism, poses, mechanism.bodies[held.body], complex(at),
        grips={latch: grip for latch, grip in held.grips.items() if latch != without},
        pinned=[mechanism.drives[drive] for drive in (held.pinned if pinned is None else pinned)],
    )  # fmt: skip
    return tangent_of(other, other.start, INDEPENDENT).moves_hand
