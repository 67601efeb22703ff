"""The steps that put a mechanism together, group by group.

Two groups become one where they are joined by what takes three freedoms, three groups where each two of them are joined
by what takes two: these are the Assur groups of the second class (L. V. Assur 1914; e.g. K. J. Waldron, G. L. Kinzel,
Kinematics, Dynamics, and Design of Machinery), RRR, RRP and RPP among them, taken here between any groups and not only
towards the frame, so that a driven pivot or slide between two moving bodies makes a group of them. Every step is solved
in the frame of its first group and answers with the poses of the others in it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from core.geometry.planar import Complexes, Floats, cross, dot, unit
from core.mechanism.mechanism import Link
from core.motion.meetings import Closeness, Side, chord, triangle
from core.motion.placing import NOWHERE_ELSE, Placing, Pose, turned

SIDEWAYS = 1e-9
"""Sine below which two lines are parallel."""


@dataclass(frozen=True, slots=True)
class Found:
    """What a step answers: the pose of each further group in the first one's frame."""

    poses: tuple[tuple[Complexes, Complexes, Floats | None], ...]
    """Place, rotor and turn; without a turn it has to be counted on from the rotor."""
    near: Closeness | None = None
    """How far to the dead centre; None where the step can always be taken."""


class Step(Protocol):
    """A way to place groups, by what joins them."""

    @property
    def links(self) -> tuple[int, ...]:
        """The numbers of the connections it uses up."""

    @property
    def drives(self) -> tuple[int, ...]: ...

    @property
    def bodies(self) -> tuple[int, ...]:
        """Whose points it takes."""

    def place(self, placing: Placing, side: Side) -> Found: ...

    def lean(self, world: Placing) -> float:
        """The sine whose sign is the branch, where every body stands in one frame; 1 where there is but one way."""


@dataclass(frozen=True, slots=True)
class Turn:
    """How far the body `second` is turned in `first`: by a drive, by another pivot's turn, or by a constant."""

    first: int
    second: int
    constant: float = 0.0
    drive: int = -1
    other: tuple[int, int] | None = None
    """Two bodies of one group by whose relative turn, times `ratio`, it is turned."""
    ratio: float = 1.0

    def value(self, placing: Placing) -> Floats:
        value: Floats = np.asarray(self.constant)
        if self.drive >= 0:
            value = value + np.deg2rad(placing.drives[:, self.drive])
        if self.other is not None:
            value = value + self.ratio * (placing.turn(self.other[1]) - placing.turn(self.other[0]))
        return value

    @property
    def bodies(self) -> tuple[int, ...]:
        return (self.first, self.second, *(self.other or ()))


@dataclass(frozen=True, slots=True)
class Base:
    links: tuple[int, ...]
    drives: tuple[int, ...]
    bodies: tuple[int, ...]

    def lean(self, world: Placing) -> float:  # noqa: ARG002
        return 1.0


@dataclass(frozen=True, slots=True)
class Turned(Base):
    """A group turned in another by a known turn, about a pivot."""

    turn: Turn
    forward: bool
    """Whether the turn's first body belongs to the first group."""
    at: tuple[tuple[int, complex], tuple[int, complex]]
    """The pivot on either group."""

    def place(self, placing: Placing, side: Side) -> Found:  # noqa: ARG002
        value = self.turn.value(placing)
        first, second = placing.turn(self.turn.first), placing.turn(self.turn.second)
        turn = first + value - second if self.forward else second - value - first
        rotor = turned(turn)
        shift = placing.point(*self.at[0]) - rotor * placing.point(*self.at[1])
        return Found(((shift, rotor, turn),))


@dataclass(frozen=True, slots=True)
class Aligned(Base):
    """A group that has two pivots in common with another. Whether their distances agree is checked afterwards."""

    here: tuple[tuple[int, complex], tuple[int, complex]]
    there: tuple[tuple[int, complex], tuple[int, complex]]

    def place(self, placing: Placing, side: Side) -> Found:  # noqa: ARG002
        p, q = (placing.point(*end) for end in self.here)
        rotor, shift = _by_two_points(placing, p, q, self.there)
        return Found(((shift, rotor, None),))


@dataclass(frozen=True, slots=True)
class Fixed(Base):
    """A group held in another by a known pose of `body` in that of `host`: by a latch, or since nothing moves it."""

    host: int
    """-1 is the view itself."""
    body: int
    u: complex
    turn: float

    def place(self, placing: Placing, side: Side) -> Found:  # noqa: ARG002
        wanted = Pose(np.asarray(self.u), turned(np.asarray(self.turn)), np.asarray(self.turn))
        host = NOWHERE_ELSE if self.host < 0 else placing.bodies[self.host]
        pose = host.after(wanted).after(placing.bodies[self.body].inverse())
        return Found(((pose.u, pose.w, pose.turn),))


@dataclass(frozen=True, slots=True)
class Run:
    """A slide: `second` goes along on `first` without turning. Its first group is that of `first`."""

    first: int
    second: int
    at: complex
    along: complex

    @classmethod
    def of(cls, link: Link) -> Run:
        return cls(link.first, link.second, link.p, link.along)

    def from_nothing(self, placing: Placing) -> tuple[Complexes, Complexes, Floats, Complexes]:
        """Place, rotor and turn of the second group at no travel, and the way it goes."""
        turn = placing.turn(self.first) - placing.turn(self.second)
        rotor = turned(turn)
        shift = placing.point(self.first, self.at) - rotor * placing.point(self.second, self.at)
        return shift, rotor, turn, placing.way(self.first, self.along)


@dataclass(frozen=True, slots=True)
class Slid(Base):
    """A group slid on another by a known travel: that of a drive, or a constant."""

    run: Run
    drive: int
    constant: float = 0.0

    def place(self, placing: Placing, side: Side) -> Found:  # noqa: ARG002
        shift, rotor, turn, way = self.run.from_nothing(placing)
        travel = self.constant if self.drive < 0 else placing.drives[:, self.drive]
        return Found(((shift + travel * way, rotor, turn),))


@dataclass(frozen=True, slots=True)
class Bar:
    """A distance kept between a point of the first group and one of the second: a rod, or a driven jack."""

    here: tuple[int, complex]
    there: tuple[int, complex]
    length: float
    drive: int = -1

    def value(self, placing: Placing) -> Floats:
        return np.asarray(self.length) if self.drive < 0 else self.length + placing.drives[:, self.drive]


@dataclass(frozen=True, slots=True)
class Track:
    """A point of one group kept on a line of the other: a slot. `on_first`: the line is the first group's."""

    line: tuple[int, complex]
    along: complex
    pin: tuple[int, complex]
    on_first: bool


@dataclass(frozen=True, slots=True)
class PinnedBar(Base):
    """A group pivoted on another, its turn given by a rod or a driven jack between them."""

    at: tuple[tuple[int, complex], tuple[int, complex]]
    bar: Bar

    def place(self, placing: Placing, side: Side) -> Found:
        pivot, hinge = placing.point(*self.at[0]), placing.point(*self.at[1])
        arm = placing.point(*self.bar.there) - hinge
        base = placing.point(*self.bar.here) - pivot
        along, near = triangle(base, np.abs(arm), self.bar.value(placing), side)
        rotor = along * np.conj(unit(arm))
        return Found(((pivot - rotor * hinge, rotor, None),), near)

    def lean(self, world: Placing) -> float:
        pivot = world.point(*self.at[0])
        base, arm = world.point(*self.bar.here) - pivot, world.point(*self.bar.there) - world.point(*self.at[1])
        return float(cross(unit(base), unit(arm)))


@dataclass(frozen=True, slots=True)
class PinnedTrack(Base):
    """A group pivoted on another, its turn given by a slot: the pin on it, or the line."""

    at: tuple[tuple[int, complex], tuple[int, complex]]
    track: Track

    def place(self, placing: Placing, side: Side) -> Found:
        pivot, hinge = placing.point(*self.at[0]), placing.point(*self.at[1])
        line, pin = placing.point(*self.track.line), placing.point(*self.track.pin)
        way = placing.way(self.track.line[0], self.track.along)
        if self.track.on_first:  # the arm's end, pin - hinge, has to come to the line
            arm, offset = pin - hinge, cross(way, line - pivot)
            along, near = chord(np.abs(arm), offset, side)
            rotor = unit(way * (along + 1j * offset)) * np.conj(unit(arm))
        else:  # seen from the second group the pin has to come to the line
            arm, offset = pin - pivot, cross(way, line - hinge)
            along, near = chord(np.abs(arm), offset, side)
            rotor = unit(arm) * np.conj(unit(way * (along + 1j * offset)))
        return Found(((pivot - rotor * hinge, rotor, None),), near)

    def lean(self, world: Placing) -> float:
        way = world.way(self.track.line[0], self.track.along)
        return float(dot(way, unit(world.point(*self.track.pin) - world.point(*self.at[0]))))


@dataclass(frozen=True, slots=True)
class SlidBar(Base):
    """A group on a slide, its travel given by a rod or a driven jack."""

    run: Run
    bar: Bar

    def place(self, placing: Placing, side: Side) -> Found:
        shift, rotor, turn, way = self.run.from_nothing(placing)
        gap = placing.point(*self.bar.here) - (shift + rotor * placing.point(*self.bar.there))
        along, near = chord(self.bar.value(placing), cross(way, gap), side)
        return Found(((shift + (dot(way, gap) + along) * way, rotor, turn),), near)

    def lean(self, world: Placing) -> float:
        way = world.way(self.run.first, self.run.along)
        return float(dot(way, unit(world.point(*self.bar.there) - world.point(*self.bar.here))))


@dataclass(frozen=True, slots=True)
class SlidTrack(Base):
    """A group on a slide, its travel given by a slot or by a second slide that is not parallel to it."""

    run: Run
    track: Track

    def place(self, placing: Placing, side: Side) -> Found:  # noqa: ARG002
        shift, rotor, turn, way = self.run.from_nothing(placing)
        line, pin = placing.point(*self.track.line), placing.point(*self.track.pin)
        slot = placing.way(self.track.line[0], self.track.along)
        if self.track.on_first:
            gap = line - (shift + rotor * pin)
        else:
            gap, slot = pin - (shift + rotor * line), rotor * slot
        travel, near = _across(slot, gap, way)
        return Found(((shift + travel * way, rotor, turn),), near)


def _across(line: Complexes, gap: Complexes, way: Complexes) -> tuple[Floats, Closeness | None]:
    """How far to go along `way` until `gap` is closed but for what lies along `line`."""
    sine = np.asarray(cross(line, way))
    crossing = np.abs(sine) > SIDEWAYS
    travel = cross(line, gap) / np.where(crossing, sine, 1.0)
    if crossing.all():
        return np.asarray(travel), None
    margin = np.where(crossing, 1.0, -1.0)
    return np.where(crossing, travel, 0.0), Closeness(margin, np.ones_like(margin), np.ones_like(margin))


@dataclass(frozen=True, slots=True)
class ThreePivots(Base):
    """RRR: the first group carries p and r, the second p and q, the third r and q, all three pivots."""

    first: tuple[tuple[int, complex], tuple[int, complex]]
    second: tuple[tuple[int, complex], tuple[int, complex]]
    third: tuple[tuple[int, complex], tuple[int, complex]]

    def place(self, placing: Placing, side: Side) -> Found:
        p, r = (placing.point(*end) for end in self.first)
        arms = [np.abs(placing.point(*b) - placing.point(*a)) for a, b in (self.second, self.third)]
        along, near = triangle(r - p, arms[0], arms[1], side)
        q = p + along * arms[0]
        second, third = _by_two_points(placing, p, q, self.second), _by_two_points(placing, r, q, self.third)
        return Found(tuple((shift, rotor, None) for rotor, shift in (second, third)), near)

    def lean(self, world: Placing) -> float:
        p, r = (world.point(*end) for end in self.first)
        return float(cross(unit(r - p), unit(world.point(*self.second[1]) - p)))


@dataclass(frozen=True, slots=True)
class TwoPivotsAndSlide(Base):
    """RRP: a slide between the first and the second group; the third is pivoted on both.

    Slider and crank, and barrel and piston between two pivots (its inversion), are both this.
    """

    run: Run
    here: tuple[int, complex]
    """The first group's pivot."""
    there: tuple[int, complex]
    """The second group's."""
    third: tuple[tuple[int, complex], tuple[int, complex]]
    """Both on the third group."""

    def place(self, placing: Placing, side: Side) -> Found:
        shift, rotor, turn, way = self.run.from_nothing(placing)
        p, q = placing.point(*self.here), shift + rotor * placing.point(*self.there)
        length = np.abs(placing.point(*self.third[1]) - placing.point(*self.third[0]))
        along, near = chord(length, cross(way, p - q), side)
        travel = dot(way, p - q) + along
        third = _by_two_points(placing, p, q + travel * way, self.third)
        return Found(((shift + travel * way, rotor, turn), (third[1], third[0], None)), near)

    def lean(self, world: Placing) -> float:
        way = world.way(self.run.first, self.run.along)
        return float(dot(way, unit(world.point(*self.there) - world.point(*self.here))))


@dataclass(frozen=True, slots=True)
class TwoSlidesAndPivot(Base):
    """RPP: slides between first and second and between second and third group, a pivot between third and first."""

    run: Run
    middle: int
    last: int
    """The bodies of the second and the third group that the other slide joins."""
    other: tuple[complex, complex]
    """Where it stands and its direction, as drawn."""
    at: tuple[tuple[int, complex], tuple[int, complex]]
    """The pivot on the first and on the third group."""

    def place(self, placing: Placing, side: Side) -> Found:  # noqa: ARG002
        shift, rotor, turn, way = self.run.from_nothing(placing)
        turn_last = turn + placing.turn(self.middle) - placing.turn(self.last)
        rotor_last = turned(turn_last)
        shift_last = placing.point(*self.at[0]) - rotor_last * placing.point(*self.at[1])
        here = shift + rotor * placing.point(self.middle, self.other[0])
        there = shift_last + rotor_last * placing.point(self.last, self.other[0])
        line = rotor_last * placing.way(self.last, self.other[1])
        travel, near = _across(line, there - here, way)
        return Found(((shift + travel * way, rotor, turn), (shift_last, rotor_last, turn_last)), near)


def _by_two_points(
    placing: Placing, a: Complexes, b: Complexes, ends: tuple[tuple[int, complex], tuple[int, complex]]
) -> tuple[Complexes, Complexes]:
    """Rotor and shift that bring a group's two points to a and, as far as its length allows, to b."""
    p, q = (placing.point(*end) for end in ends)
    rotor = unit(b - a) * np.conj(unit(q - p))
    return rotor, a - rotor * p
