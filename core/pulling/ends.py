"""Where a connection's point has to be drawn, so that at a moment it stands under the hand.

A point is drawn once, in the drawn position, and each body that it belongs to carries it along. To have it elsewhere
at a moment, it is drawn elsewhere, and everything that hangs on it stands otherwise at that moment than it did: so the
place is found by solving that moment anew for each place that is tried, near where all stood before.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from core.document.joint_edits import MoveEnd, carriers, ends_of
from core.document.project import Gearing, Point, Project, Sequence
from core.geometry.planar import Floats, point_at
from core.mechanism.build import build
from core.mechanism.constraints import Grip
from core.mechanism.mechanism import Kind, Mechanism
from core.motion.inputs import inputs_of
from core.motion.newton import newton, tangle_of
from core.motion.placing import Placing
from core.motion.schedule import lay_out
from core.pulling.grab import bodies_of, members_of

ASIDE = 1e-4
"""Of the mechanism's size, by which a point is moved to see where it goes."""
MOST_GAIN = 12.0
"""Times as far as the hand goes, that a point is moved where it is drawn: where it takes more it hardly follows."""
TURNS = 8
"""Times that a place is corrected."""
AGREE = 1e-3
"""Millimetres by which connections that are more than the motion needs may differ."""
HALVED = 0.1
"""Of a way: a shorter one is not tried where none so far could be gone."""
THERE = 1e-4
"""Millimetres from the hand that are none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EndHeld:
    """One point of a connection in the hand, at a moment."""

    project: Project
    sequence: Sequence
    time: float
    connection: str
    number: int
    carrier: int
    """The body, by its number, with which the point is seen to stand. Of a pivot it is all one: both have it there."""
    grips: Mapping[int, Grip]
    poses: Floats
    """(B, 3) where everything stands at the moment, with the point at `drawn`."""
    drawn: complex
    slope: Floats
    """(2, 2) by how much the point goes at the moment where it is drawn elsewhere."""

    @property
    def stands(self) -> complex:
        """Where the point is at the moment."""
        return complex(point_at(self.poses[self.carrier], self.drawn))

    def follow(self, hand: Point) -> EndHeld:
        """The point drawn where it has to be to stand under the hand at the moment, or as near as it comes."""
        held, wanted, share = self, complex(*hand), 1.0
        for _ in range(TURNS):
            if abs(held.stands - wanted) <= THERE or share < HALVED:
                break
            way = share * _solved(held.slope, wanted - held.stands)
            tried = held._drawn_at(held.drawn + way)
            nearer = tried is not None and abs(tried.stands - wanted) < abs(held.stands - wanted)
            if tried is None or way == 0.0:
                share *= 0.5
                continue
            slope = _learned(held.slope, way, tried.stands - held.stands)
            held = replace(tried if nearer else held, slope=slope)
            share = min(1.0, 2.0 * share) if nearer else 0.5 * share
        return held

    def short_by(self, hand: Point) -> float:
        """Millimetres from where the point stands to the hand."""
        return abs(self.stands - complex(*hand))

    @property
    def edit(self) -> MoveEnd:
        return MoveEnd(self.connection, self.number, _point(self.drawn))

    def _drawn_at(self, drawn: complex) -> EndHeld | None:
        """The moment solved with the point drawn elsewhere; None where it cannot be put together so."""
        moved = MoveEnd(self.connection, self.number, _point(drawn)).apply(self.project)
        mechanism = build(moved)
        drives = inputs_of(mechanism, lay_out(self.sequence)).at(np.array([self.time]))
        poses = poses_near(mechanism, self.poses, drives, self.grips, self._moving(mechanism))
        return None if poses is None else replace(self, poses=poses, drawn=drawn)

    def _moving(self, mechanism: Mechanism) -> tuple[int, ...]:
        bodies = mechanism.links[mechanism.link_of[self.connection]].bodies
        return tuple(sorted({one for body in bodies for one in members_of(mechanism, body, self.grips)}))

    def _sloped(self) -> EndHeld:
        """With the slope of where the point is drawn now; the former where it cannot be told."""
        aside = ASIDE * build(self.project).size
        columns = []
        for way in (aside + 0j, aside * 1j):
            there = self._drawn_at(self.drawn + way)
            if there is None:
                return self
            went = (there.stands - self.stands) / aside
            columns.append((went.real, went.imag))
        return replace(self, slope=np.array(columns).T)


def hold_end(
    project: Project,
    sequence: Sequence,
    time: float,
    poses: Floats,
    *,
    connection: str,
    number: int,
    grips: Mapping[int, Grip] | None = None,
) -> EndHeld | None:
    """Take one of a connection's `ends_of` in hand while the bodies stand at (B, 3) `poses`, `time` seconds into the
    sequence; `grips` are the latches that hold then. None where the connections do not meet at that moment."""
    one = next(each for each in project.connections if each.id == connection)
    assert not isinstance(one, Gearing)
    bodies = [body.id for body in project.bodies]
    carrier = bodies.index(carriers(one)[number])
    turn = float(poses[carrier, 2])
    rigid = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    held = EndHeld(
        project=project, sequence=sequence, time=time, connection=connection, number=number, carrier=carrier,
        grips=dict(grips or {}), poses=poses, drawn=complex(*ends_of(one)[number]), slope=rigid,
    )  # fmt: skip
    met = held._drawn_at(held.drawn)
    return None if met is None else met._sloped()


def poses_near(
    mechanism: Mechanism, poses: Floats, drives: Floats, grips: Mapping[int, Grip], moving: Iterable[int]
) -> Floats | None:
    """(B, 3) the poses nearest to some that meet every connection of the `moving` bodies, with (1, D) drives; None
    where they cannot be met near there.

    Latches are asked only where all else leaves something loose: what they hold is the pose in which they took hold,
    which would be another by now.
    """
    groups = tuple((body,) for body in moving)
    if not groups:
        return poses
    among = {body for group in groups for body in group}
    links = tuple(
        number for number, link in enumerate(mechanism.links)
        if (link.kind is not Kind.LATCH or number in grips) and among & set(bodies_of(mechanism, link))
    )  # fmt: skip
    placing = Placing.at_poses(poses, drives)
    still = Placing.drawn(len(poses), placing.times, drives)
    bodies = [still.bodies[body] if body in among else placing.bodies[body] for body in range(len(poses))]
    begun = Placing(placing.times, drives, bodies, list(placing.good))
    guess = poses[[group[0] for group in groups]][None]
    tangle = tangle_of(mechanism, links, groups, {}, begun, guess)
    if tangle.slack and grips:
        tangle = tangle_of(mechanism, links, groups, grips, begun, guess)
    solution = newton(tangle, begun, guess)
    if not solution.good[0] or solution.excess[0] > AGREE:
        return None
    found = poses.copy()
    found[[group[0] for group in groups]] = solution.unknowns[0]
    return found


def _solved(slope: Floats, way: complex) -> complex:
    """By how much the point is to be drawn elsewhere to go a way at the moment: no farther than it should be."""
    left, strengths, right = np.linalg.svd(slope)
    inverse = np.where(strengths > 1.0 / MOST_GAIN, 1.0 / np.maximum(strengths, 1e-12), 0.0)
    x, y = right.T @ (inverse * (left.T @ np.array([way.real, way.imag])))
    return complex(x, y)


def _learned(slope: Floats, way: complex, went: complex) -> Floats:
    """The slope as it is after a way that is known now, by Broyden's rule (Mathematics of Computation 19, 1965)."""
    drawn, gone = np.array([way.real, way.imag]), np.array([went.real, went.imag])
    return slope + np.outer(gone - slope @ drawn, drawn) / float(drawn @ drawn)


def _point(at: complex) -> Point:
    return (at.real, at.imag)
