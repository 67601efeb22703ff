"""A body in hand: what moves with it, what it has to keep, and which limits can stop it; made as it is grabbed."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from dataclasses import replace as changed

import numpy as np

from core.geometry.planar import Complexes, Floats
from core.mechanism.constraints import Grip
from core.mechanism.mechanism import Kind, Link, Mechanism
from core.motion.span import Course
from core.motion.values import value_of
from core.pulling.rows import Numbers, Owner, Part, RowMaker, Rows, Way

LEAST_RADIUS = 0.1
"""Of the mechanism's size: no body turns easier than one of this radius."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grab:
    """One body held at one point. Bodies that do not hang together with it stay where they are."""

    mechanism: Mechanism
    poses: Floats
    """(B, 3) where it was grabbed; of all positions that bring the point to the hand, the nearest to this is taken."""
    body: int
    point: complex
    """As drawn."""
    grips: Mapping[int, Grip]
    """The latches that hold."""
    pinned: frozenset[int]
    """Drives that keep their values; the others follow."""
    members: tuple[int, ...]
    """The bodies that may move."""
    seats: tuple[int, ...]
    """The members, and then the bodies that they hang on; in the state the view itself comes last."""
    middles: Complexes
    radii: Floats
    start: Floats
    """(A, 3) the state at `poses`."""
    rows: Rows
    """All that is looked at, mm; of a pivot's value the arc at the mechanism's size."""
    keeps: Numbers
    """The rows that connections ask for, and of pinned drives their values."""
    limits: Numbers
    """Those of the values of what stops."""
    low: Floats
    high: Floats
    drives: Numbers
    """Those of the values of drives that are not pinned and have a part in it."""
    hand: Numbers
    """x and y of the grabbed point."""
    owners: tuple[int, ...]
    """The connection of each row; of the grabbed point -1."""

    @property
    def count(self) -> int:
        return len(self.members)

    def columns(self, slopes: Floats) -> Floats:
        """(T, R, 3 N) of slopes (T, R, A, 3): those of what may move."""
        return slopes[:, :, : self.count].reshape(*slopes.shape[:2], 3 * self.count)

    def moved(self, states: Floats) -> Floats:
        """(T, 3 N) by how much all that may move is from where it was grabbed, of states (T, A, 3)."""
        return (states - self.start)[:, : self.count].reshape(len(states), 3 * self.count)

    def state_of(self, poses: Floats) -> Floats:
        """(A, 3) from (B, 3)."""
        state = np.zeros((len(self.seats) + 1, 3))
        standing = poses[list(self.seats)]
        places = standing[:, 0] + 1j * standing[:, 1] + np.exp(1j * standing[:, 2]) * self.middles[:-1]
        state[:-1, 0], state[:-1, 1], state[:-1, 2] = places.real, places.imag, standing[:, 2] * self.radii[:-1]
        return state

    def poses_of(self, state: Floats) -> Floats:
        """(B, 3) from (A, 3); what is no member stands as it did, to the last bit."""
        poses = self.poses.copy()
        moved = list(self.members)
        turns = state[: len(moved), 2] / self.radii[: len(moved)]
        places = state[: len(moved), 0] + 1j * state[: len(moved), 1] - np.exp(1j * turns) * self.middles[: len(moved)]
        poses[moved, 0], poses[moved, 1], poses[moved, 2] = places.real, places.imag, turns
        return poses


def grab(
    mechanism: Mechanism,
    poses: Floats,
    body: str,
    at: complex,
    *,
    grips: Mapping[int, Grip] | None = None,
    pinned: Collection[str] = (),
) -> Grab:
    """Take hold of a body at a place of the view while the bodies stand at (B, 3) `poses`.

    `grips` are the latches that hold, `pinned` the ids of drives that keep their values. ValueError of a body that the
    mechanism has not.
    """
    if body not in mechanism.bodies:
        raise ValueError(f"there is no body {body!r}")
    number, kept = mechanism.bodies.index(body), dict(grips or {})
    held = frozenset(mechanism.drive_of[drive] for drive in pinned)
    members = members_of(mechanism, number, kept)
    seats = (*members, *_neighbours(mechanism, members))
    middles, radii = _middles(mechanism, seats), _radii(mechanism, seats)
    index = {seat: at for at, seat in enumerate(seats)}
    links = [at for at, link in enumerate(mechanism.links) if set(bodies_of(mechanism, link)) & set(members)]
    place = complex(poses[number, 0], poses[number, 1])
    point = complex(np.exp(-1j * poses[number, 2]) * (at - place))
    maker = _Maker(mechanism, poses, index, RowMaker(middles, radii))
    for link in links:
        maker.keep(link, kept, held)
        maker.look_at(link, held)
    maker.follow(number, point)
    owners = maker.out.owners
    low, high = maker.limits([link for part, link in owners if part is Part.LIMITS])

    def of(part: Part) -> Numbers:
        return np.array([row for row, owner in enumerate(owners) if owner[0] is part], dtype=np.intp)

    made = Grab(
        mechanism=mechanism, poses=poses, body=number, point=point, grips=kept, pinned=held, members=members,
        seats=seats, middles=middles, radii=radii, start=np.zeros((len(seats) + 1, 3)), rows=maker.out.rows(),
        keeps=of(Part.KEEPS), limits=of(Part.LIMITS), low=low, high=high, drives=of(Part.DRIVES), hand=of(Part.HAND),
        owners=tuple(link for _, link in owners),
    )  # fmt: skip
    return changed(made, start=made.state_of(poses))


def rolling(mechanism: Mechanism, body: str | None = None) -> frozenset[str]:
    """The drives that only roll round wheels other than a body, where one is named: pulling does not roll them."""
    wheels = {at for at, is_round in enumerate(mechanism.round) if is_round and mechanism.bodies[at] != body}
    links = [mechanism.links[number] for number in mechanism.driven]
    return frozenset(drive for drive, link in zip(mechanism.drives, links, strict=True) if wheels & set(link.bodies))


def grips_at(course: Course, time: float) -> Mapping[int, Grip]:
    """The latches that hold at a time of a solved motion, as they took hold."""
    begun = [one for one in course.stretches if one.phase.begin <= time]
    return begun[-1].phase.plan.grips if begun else {}


def bodies_of(mechanism: Mechanism, link: Link) -> tuple[int, ...]:
    if link.kind is not Kind.GEARING:
        return link.bodies
    return tuple(body for pivot in link.pivots for body in mechanism.links[pivot].bodies)


def _joins(mechanism: Mechanism, number: int, grips: Mapping[int, Grip]) -> bool:
    return mechanism.links[number].kind is not Kind.LATCH or number in grips


def members_of(mechanism: Mechanism, body: int, grips: Mapping[int, Grip]) -> tuple[int, ...]:
    """What hangs together with a body without a fixed one between."""
    if mechanism.fixed[body]:
        return ()
    found, edge = {body}, {body}
    joins = [
        {one for one in bodies_of(mechanism, link) if not mechanism.fixed[one]}
        for number, link in enumerate(mechanism.links)
        if _joins(mechanism, number, grips)
    ]
    while edge:
        edge = {one for bodies in joins if bodies & found for one in bodies} - found
        found |= edge
    return tuple(sorted(found))


def _neighbours(mechanism: Mechanism, members: Iterable[int]) -> list[int]:
    among = set(members)
    joined = [set(bodies_of(mechanism, link)) for link in mechanism.links]
    return sorted({one for bodies in joined if bodies & among for one in bodies} - among)


def _points(mechanism: Mechanism, body: int) -> list[complex]:
    points = [link.p for link in mechanism.links if link.first == body]
    return points + [link.q for link in mechanism.links if link.second == body]


def _middles(mechanism: Mechanism, seats: Iterable[int]) -> Complexes:
    """Amid the points of each body's connections, as drawn; of the view itself its origin."""
    points = [_points(mechanism, body) for body in seats]
    return np.array([complex(np.mean(one)) if one else 0j for one in points] + [0j])


def _radii(mechanism: Mechanism, seats: Iterable[int]) -> Floats:
    """How far its connections' points are from their middle, in the mean of the squares, as of a mass at each."""
    found = []
    for body in seats:
        points = np.array(_points(mechanism, body) or [0j])
        spread = float(np.sqrt(np.mean(np.abs(points - points.mean()) ** 2)))
        found.append(max(spread, LEAST_RADIUS * mechanism.size))
    return np.array([*found, 1.0])


@dataclass(frozen=True, slots=True)
class _Maker:
    mechanism: Mechanism
    poses: Floats
    index: Mapping[int, int]
    out: RowMaker

    def _ends(self, link: Link) -> tuple[int, int]:
        return self.index[link.first], self.index[link.second]

    def follow(self, body: int, point: complex) -> None:
        """The grabbed point; of a body that cannot move none."""
        view = len(self.out.middles) - 1
        for along in (1 + 0j, 1j):
            if body in self.index:
                self.out.gap((Part.HAND, -1), Way.VIEW, (view, self.index[body]), (0j, point), along)

    def keep(self, number: int, grips: Mapping[int, Grip], pinned: Collection[int]) -> None:
        """What a connection asks for, with its drive free unless that is pinned."""
        link, size, owner = self.mechanism.links[number], self.mechanism.size, (Part.KEEPS, number)
        match link.kind:
            case Kind.GEARING:
                self.out.turn(owner, self._geared(link), 0.0)
            case Kind.PIVOT:
                self._shut(number, link.p, link.q)
            case Kind.LATCH if number in grips:
                place, turn = grips[number]
                self._shut(number, place, 0j)
                self._turned(owner, link, size * turn)
            case Kind.SLIDE | Kind.SLOT:
                if link.kind is Kind.SLIDE:
                    self._turned(owner, link, 0.0)
                self.out.gap(owner, Way.FIRST, self._ends(link), (link.p, link.q), 1j * link.along)
            case Kind.ROD:
                self.out.gap(owner, Way.GAP, self._ends(link), (link.p, link.q), wanted=link.length)
            case _:
                pass
        if link.drive in pinned:
            self._gauge(Part.KEEPS, number, self._value(link))

    def look_at(self, number: int, pinned: Collection[int]) -> None:
        """A connection's value, where that is limited or a drive's."""
        link = self.mechanism.links[number]
        if link.limits is not None:
            self._gauge(Part.LIMITS, number, 0.0)
        if link.drive >= 0 and link.drive not in pinned:
            self._gauge(Part.DRIVES, number, 0.0)

    def limits(self, links: Iterable[int]) -> tuple[Floats, Floats]:
        """The least and the greatest values; what is beyond its limit already goes no farther."""
        low, high = list[float](), list[float]()
        for link in map(self.mechanism.links.__getitem__, links):
            assert link.limits is not None
            worth = float(np.deg2rad(self.mechanism.size)) if link.kind is Kind.PIVOT else 1.0
            value = self._value(link)
            low.append(worth * min(link.limits[0], value))
            high.append(worth * max(link.limits[1], value))
        return np.array(low), np.array(high)

    def _shut(self, number: int, p: complex, q: complex) -> None:
        for along in (1 + 0j, 1j):
            self.out.gap(
                (Part.KEEPS, number), Way.VIEW, self._ends(self.mechanism.links[number]), (p, q), along
            )  # fmt: skip

    def _turned(self, owner: Owner, link: Link, wanted: float) -> None:
        first, second = self._ends(link)
        self.out.turn(owner, {second: self.mechanism.size, first: -self.mechanism.size}, wanted)

    def _geared(self, link: Link) -> dict[int, float]:
        """The second pivot's turn less `ratio` times the first's; pivots may share a body."""
        shares = dict[int, float]()
        one, other = (self.mechanism.links[pivot] for pivot in link.pivots)
        parts = ((other.second, 1.0), (other.first, -1.0), (one.second, -link.ratio), (one.first, link.ratio))
        for body, share in parts:
            shares[self.index[body]] = shares.get(self.index[body], 0.0) + self.mechanism.size * share
        return shares

    def _gauge(self, part: Part, number: int, wanted: float) -> None:
        """A connection's value in its drive's terms, as a row."""
        link, owner = self.mechanism.links[number], (part, number)
        if link.kind is Kind.PIVOT:
            self._turned(owner, link, self.mechanism.size * float(np.deg2rad(wanted)))
        elif link.kind is Kind.JACK:
            self.out.gap(owner, Way.GAP, self._ends(link), (link.p, link.q), wanted=link.length + wanted)
        else:
            self.out.gap(owner, Way.FIRST, self._ends(link), (link.p, link.q), link.along, wanted)

    def _value(self, link: Link) -> float:
        return float(value_of(link, self.poses[None, link.first], self.poses[None, link.second])[0])
