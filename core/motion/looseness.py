"""How loose bodies would move: along what the connections do not mind, and a little way further, with all of them kept.

A movement that no connection minds is a null vector of their Jacobian. Of all bases of that space the one is taken in
which every movement has one turn (or, where nothing turns, one shift) to itself, so that most of them move few bodies.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from core.geometry.planar import Floats
from core.mechanism.constraints import Grip, Pull, Row, jacobian, rows_of
from core.mechanism.freedom import RANK
from core.mechanism.mechanism import Kind, Link, Mechanism
from core.motion.chains import course_of
from core.motion.motion import Motion
from core.motion.pivoting import pivoted
from core.motion.placing import Placing
from core.motion.span import Course
from core.motion.trouble import Loose
from core.motion.values import value_of

TURN_FIRST = 4.0
"""How much rather a movement is told by a turn than by a shift."""
STEP = 0.02
"""Of the mechanism's size: the longest step along a freedom before the connections are met again."""
MET = 1e-9
"""Of the mechanism's size: what connections that are met may be off by."""
MINDS = 1e-6
"""A joint that moves less than this, per millimetre of the set, does not move."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Looseness:
    """How a loose set could move at one time."""

    modes: Floats
    """(k, B, 3) velocities of x, y and turn, mm and radians for each millimetre that the fastest point of the set's
    connections moves; bodies that are not of the set stand still."""
    joints: tuple[tuple[str, ...], ...]
    """Of each mode, the pivots, slides, slots and jacks that would move in it: only friction holds them."""


def looseness_of(motion: Motion, loose: Loose, time: float) -> Looseness:
    """The movements that a loose set has at a time, as many as its freedoms (more for a moment at a dead centre)."""
    course = course_of(motion)
    held = _Held.at(course, loose.bodies, time)
    poses = motion.poses_at(np.array([time]))[0]
    modes = held.modes(poses)
    joints = tuple(_moving_joints(course.mechanism, poses, mode, held.grips) for mode in modes)
    return Looseness(modes=modes, joints=joints)


def friction_joints(motion: Motion, loose: Loose) -> tuple[str, ...]:
    """All joints that would move in any movement of a loose set, where only friction holds it; none where none does."""
    if motion.course is None:
        return ()
    modes = looseness_of(motion, loose, loose.begin).joints
    return tuple(dict.fromkeys(joint for joints in modes for joint in joints)) if all(modes) else ()


def swing(motion: Motion, loose: Loose, time: float, amount: float, *, mode: int = 0, count: int = 8) -> Floats:
    """(2 count + 1, B, 3) from as far as a loose set goes one way to as far as it goes the other; it starts in the
    middle."""
    course = course_of(motion)
    held = _Held.at(course, loose.bodies, time)
    poses = motion.poses_at(np.array([time]))[0]
    modes = held.modes(poses)
    if not len(modes):
        return np.repeat(poses[None], 2 * count + 1, axis=0)
    along = modes[mode % len(modes)]
    ahead, back = (held.go(poses, way * along, abs(amount), count) for way in (1.0, -1.0))
    return np.array([*back[::-1], poses, *ahead])


@dataclass(frozen=True, slots=True)
class _Held:
    """A loose set with what holds it: its bodies are the unknowns, and everything else stands."""

    mechanism: Mechanism
    bodies: tuple[int, ...]
    links: tuple[int, ...]
    grips: dict[int, Grip]
    drives: Floats

    @classmethod
    def at(cls, course: Course, names: Sequence[str], time: float) -> _Held:
        mechanism = course.mechanism
        bodies = tuple(mechanism.bodies.index(name) for name in names)
        stretches = [one for one in course.stretches if one.phase.begin <= time <= one.phase.end]
        # At a latch's event the phase before and after both hold; the set is loose in the one with fewer grips.
        grips = min((one.phase.plan.grips for one in stretches), key=len, default={})
        links = tuple(at for at, link in enumerate(mechanism.links) if set(_speaks_of(mechanism, link)) & set(bodies))
        return cls(mechanism, bodies, links, dict(grips), course.inputs.at(np.array([time])))

    def modes(self, poses: Floats) -> Floats:
        """(k, B, 3)"""
        _, matrix, origins = self._linearised(poses)
        _, values, right = np.linalg.svd(matrix)
        rank = int((values > RANK * max(values.max(initial=0.0), 1e-300)).sum())
        return np.array([self._field(one, origins, poses) for one in self._told(right[rank:].T).T]).reshape(
            -1, len(poses), 3
        )

    def go(self, poses: Floats, along: Floats, amount: float, count: int) -> list[Floats]:
        """`count` poses on the way, equally far apart; where it cannot go on it stays."""
        stops, here, gone, stuck = [], poses, 0.0, False
        for stop in np.linspace(0.0, amount, count + 1)[1:]:
            while gone < stop - 1e-12 and not stuck:
                step = min(STEP * self.mechanism.size, float(stop) - gone)
                there = self._met(here + step * along)
                stuck = there is None or self._stopped(here, there)
                if there is not None and not stuck:
                    along = self._onwards(there, along)
                    here, gone = there, gone + step
            stops.append(here)
        return stops

    def _linearised(self, poses: Floats) -> tuple[Floats, Floats, list[complex]]:
        """Residuals (R,), Jacobian (R, 3 n) by shift and turn of the set's bodies about their middles, and these."""
        placing = Placing.at_poses(poses, self.drives)
        rows = [row for link in self.links for row in rows_of(self.mechanism, link, placing, self.grips)]
        rows += [self._spin(link) for link in map(self.mechanism.links.__getitem__, self.links) if self._round(link)]
        columns = [self.bodies.index(body) if body in self.bodies else -1 for body in range(len(poses))]
        origins = [complex(placing.point(body, _middle(self.mechanism, body))) for body in self.bodies]
        if not rows:
            return np.zeros(0), np.zeros((0, 3 * len(self.bodies))), origins
        matrix = jacobian(rows, columns, [np.asarray(one) for one in origins], self.mechanism.size)[0]
        return np.array([float(np.ravel(row.residual)[0]) for row in rows]), matrix, origins

    def _round(self, link: Link) -> bool:
        return link.kind is not Kind.GEARING and any(self.mechanism.round[body] for body in link.bodies)

    def _spin(self, link: Link) -> Row:
        """As if a round wheel were fast on its axle: that it turns shows nothing."""
        nowhere, size = np.zeros(1, dtype=complex), self.mechanism.size
        return Row(np.zeros(1), (Pull(link.second, 0j, nowhere, size), Pull(link.first, 0j, nowhere, -size)))

    def _told(self, basis: Floats) -> Floats:
        """The basis in which each movement has one turn or shift that the others have not."""
        if basis.shape[1] == 0:
            return basis
        weights = np.tile([1.0, 1.0, TURN_FIRST], len(self.bodies))
        _, order = pivoted((basis * weights[:, None]).T)
        told = basis @ np.linalg.inv(basis[np.sort(order[: basis.shape[1]])])
        told[np.abs(told) < 1e-12] = 0.0
        return np.asarray(told)

    def _field(self, unknowns: Floats, origins: Sequence[complex], poses: Floats) -> Floats:
        """(B, 3) velocities of the poses, such that the fastest point moves a millimetre."""
        field = np.zeros(poses.shape)
        fastest = 0.0
        for body, origin, (x, y, arc) in zip(self.bodies, origins, unknowns.reshape(-1, 3), strict=True):
            turn, place = arc / self.mechanism.size, complex(poses[body, 0], poses[body, 1])
            shift = complex(x, y) + 1j * turn * (place - origin)
            field[body] = (shift.real, shift.imag, turn)
            rotor = np.exp(1j * poses[body, 2])
            speeds = [abs(shift + 1j * turn * rotor * point) for point in _points(self.mechanism, body)]
            # A body with a single point in it would be told by that point alone; at the size it turns visibly.
            fastest = max([fastest, *speeds, abs(complex(x, y)), abs(arc) if max(speeds, default=0.0) < 1e-9 else 0.0])
        return np.asarray(field / max(fastest, 1e-300))

    def _met(self, poses: Floats) -> Floats | None:
        """The nearest poses of the set that meet every connection, by Newton's shortest steps; None where none do."""
        here = poses.copy()
        for _ in range(12):
            residual, matrix, origins = self._linearised(here)
            if np.abs(residual).max(initial=0.0) <= MET * self.mechanism.size:
                return here
            step = -np.linalg.pinv(matrix, rcond=RANK) @ residual
            for body, origin, (x, y, arc) in zip(self.bodies, origins, step.reshape(-1, 3), strict=True):
                turn = arc / self.mechanism.size
                place = complex(here[body, 0], here[body, 1]) - origin
                place = origin + complex(x, y) + np.exp(1j * turn) * place
                here[body] = (place.real, place.imag, here[body, 2] + turn)
        return None

    def _onwards(self, poses: Floats, along: Floats) -> Floats:
        """The movement at the new place that is most like the one that led there, as fast."""
        modes = self.modes(poses)[:, self.bodies]
        scale = np.array([1.0, 1.0, self.mechanism.size])
        basis = (modes * scale).reshape(len(modes), -1).T
        wanted = (along[list(self.bodies)] * scale).ravel()
        share = np.linalg.lstsq(basis, wanted, rcond=None)[0]
        found = np.zeros(along.shape)
        found[list(self.bodies)] = (basis @ share).reshape(-1, 3) / scale
        speed = np.linalg.norm(basis @ share)
        return np.asarray(found * np.linalg.norm(wanted) / speed) if speed > 0.0 else along

    def _stopped(self, before: Floats, after: Floats) -> bool:
        """Whether a joint's limit is passed, or passed further."""
        for link in map(self.mechanism.links.__getitem__, self.links):
            if link.limits is not None and link.kind is not Kind.GEARING:
                low, high = link.limits
                was, now = (float(value_of(link, one[None, link.first], one[None, link.second])[0])
                            for one in (before, after))  # fmt: skip
                if max(low - now, now - high) > max(low - was, was - high, 1e-9):
                    return True
        return False


def _speaks_of(mechanism: Mechanism, link: Link) -> tuple[int, ...]:
    if link.kind is not Kind.GEARING:
        return link.bodies
    return tuple(body for pivot in link.pivots for body in mechanism.links[pivot].bodies)


def _points(mechanism: Mechanism, body: int) -> list[complex]:
    points = [link.p for link in mechanism.links if link.first == body]
    return points + [link.q for link in mechanism.links if link.second == body]


def _middle(mechanism: Mechanism, body: int) -> complex:
    points = _points(mechanism, body)
    return complex(np.mean(points)) if points else 0j


def _moving_joints(mechanism: Mechanism, poses: Floats, mode: Floats, grips: dict[int, Grip]) -> tuple[str, ...]:
    """The joints whose value a movement changes, by a small difference."""
    small, moving = 1e-4 * mechanism.size, list[str]()
    for number, link in enumerate(mechanism.links):
        if link.kind not in (Kind.PIVOT, Kind.SLIDE, Kind.SLOT, Kind.JACK) or number in grips:
            continue
        one, other = (poses + way * small * mode for way in (-1.0, 1.0))
        change = [float(value_of(link, at[None, link.first], at[None, link.second])[0]) for at in (one, other)]
        rate = abs(change[1] - change[0]) / (2.0 * small)
        rate = np.deg2rad(rate) * mechanism.size if link.kind is Kind.PIVOT else rate
        if rate > MINDS:
            moving.append(link.id)
    return tuple(moving)
