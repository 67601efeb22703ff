"""Where bodies stand while a mechanism is put together, over T times.

Bodies that are known relative to each other form a *group* with a frame of its own; the group of the fixed bodies is
the world. A body's point drawn at p is at u + w p in its group's frame: u a place, w a unit number, the rotor. `turn`
is the angle of w, counted on over whole turns. Putting two groups together is carrying one into the other's frame.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from core.geometry.planar import Bools, Complexes, Floats


@dataclass(frozen=True, slots=True)
class Pose:
    """Of one group in the frame of another: (T,) or single numbers, which stand for all times."""

    u: Complexes
    w: Complexes
    turn: Floats

    def after(self, inner: Pose) -> Pose:
        """The inner pose, seen from the frame in which this one is given."""
        return Pose(self.u + self.w * inner.u, self.w * inner.w, self.turn + inner.turn)

    def inverse(self) -> Pose:
        back = np.conj(self.w)
        return Pose(-back * self.u, back, -self.turn)


NOWHERE_ELSE = Pose(np.asarray(0j), np.asarray(1 + 0j), np.asarray(0.0))


def turned(turn: Floats) -> Complexes:
    return np.asarray(np.exp(1j * turn))


@dataclass(slots=True)
class Placing:
    """B bodies at T times, each in the frame of the group it belongs to by now."""

    times: Floats
    drives: Floats
    """(T, D) in the drives' terms."""
    bodies: list[Pose] = field(default_factory=list)
    good: list[Bools] = field(default_factory=list)
    """Of each body, (T,) or one for all times: whether all that places it holds together."""

    @classmethod
    def drawn(cls, bodies: int, times: Floats, drives: Floats) -> Placing:
        """Every body a group of its own, as drawn."""
        return cls(times, drives, [NOWHERE_ELSE] * bodies, [np.asarray(True)] * bodies)

    @classmethod
    def at_poses(cls, poses: Floats, drives: Floats | None = None) -> Placing:
        """(B, 3) poses at one time, all in the world's frame, and (1, D) drives."""
        places, rotors = poses[:, 0] + 1j * poses[:, 1], np.exp(1j * poses[:, 2])
        bodies = [Pose(*map(np.asarray, one)) for one in zip(places, rotors, poses[:, 2], strict=True)]
        known = np.zeros((1, 0)) if drives is None else drives
        return cls(np.zeros(1), known, bodies, [np.asarray(True)] * len(bodies))

    def point(self, body: int, point: complex) -> Complexes:
        pose = self.bodies[body]
        return np.asarray(pose.u + pose.w * point)

    def way(self, body: int, direction: complex) -> Complexes:
        return np.asarray(self.bodies[body].w * direction)

    def turn(self, body: int) -> Floats:
        return self.bodies[body].turn

    def carry(self, members: Iterable[int], pose: Pose) -> None:
        for body in members:
            self.bodies[body] = pose.after(self.bodies[body])

    def allow(self, members: Iterable[int], good: Bools) -> None:
        for body in members:
            self.good[body] = np.asarray(self.good[body] & good)

    def all_good(self, bodies: Iterable[int]) -> Bools:
        good: Bools = np.asarray(np.True_)
        for body in bodies:
            good = np.asarray(good & self.good[body])
        return good

    def poses(self) -> Floats:
        """(T, B, 3) x, y, turn."""
        out = np.empty((len(self.times), len(self.bodies), 3))
        for number, pose in enumerate(self.bodies):
            out[:, number, 0] = pose.u.real
            out[:, number, 1] = pose.u.imag
            out[:, number, 2] = pose.turn
        return out

    def solved(self) -> Bools:
        """(T, B) as `good`."""
        out = np.empty((len(self.times), len(self.bodies)), dtype=bool)
        for number, good in enumerate(self.good):
            out[:, number] = good
        return out
