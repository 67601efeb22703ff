"""How discs that ride on bodies go between moments, bounded by the linkage's equations."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any, Self

import numpy as np
from numpy.typing import NDArray

from core.geometry.planar import Bools, Complexes, Floats, Ints
from core.motion.bends import Bends


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ways:
    """P discs over S spans; rates and derivatives count a span as one. What is not proved has no meaning here."""

    proved: Bools
    """(S, P) whether the equations bound it."""
    placed: Bools
    """(S, P) whether there are equations that place it, and its poses solve them at one end at least."""
    calm: Bools
    """(S, P) whether it and all that it stands on look alike at both ends."""
    place: Complexes
    """(2, S, P) the centre at both ends."""
    rate: Complexes
    """(2, S, P) of the centre."""
    turn: Floats
    turn_rate: Floats
    """(2, S, P)"""
    bends: Floats
    """(4, S, P) bounds of the centre's first to fourth derivatives, in the guessed course."""
    wheel: Floats
    """(4, S, P) the same of exp(i turn)."""
    turn_bend: Floats
    """(S, P) of the turn's second derivative."""
    off: Floats
    """(S, P) how far the centre is from the guessed course at most, mm."""
    off_turn: Floats
    """(S, P) radians."""

    @classmethod
    def of(
        cls,
        *,
        proved: Bools,
        placed: Bools,
        calm: Bools,
        place: Complexes,
        rate: Complexes,
        turn: Floats,
        turn_rate: Floats,
        arms: Complexes,
        off: Floats,
        off_turn: Floats,
    ) -> Ways:
        """Of discs at `arms` (P,) from points whose course is a cubic with these values and rates at both ends, but for
        `off` and `off_turn`."""
        far = np.abs(arms)
        spoke = np.exp(1j * turn) * arms
        hub, turned = Bends.of(place, rate), Bends.of(turn, turn_rate)
        wheel = np.stack(turned.of_unit()[:4])
        bends = far * wheel
        bends[:3] += (hub.first, hub.second, hub.third)
        return cls(
            proved=proved,
            placed=placed,
            calm=calm,
            place=place + spoke,
            rate=rate + 1j * spoke * turn_rate,
            turn=turn,
            turn_rate=turn_rate,
            bends=bends,
            wheel=wheel,
            turn_bend=turned.second,
            off=off + far * off_turn,
            off_turn=off_turn,
        )

    def taken(self, spans: Ints) -> Self:
        return type(self)(**{one.name: getattr(self, one.name)[..., spans, :] for one in fields(self)})

    def at(self, spans: Ints, discs: Ints) -> Self:
        """Single discs over single spans, by two arrays that go together, whose shape takes the place of (S, P)."""
        flat = spans * self.proved.shape[1] + discs

        def taken(values: NDArray[Any]) -> NDArray[Any]:
            return np.take(values.reshape(*values.shape[:-2], -1), flat, axis=-1)

        return type(self)(**{one.name: taken(getattr(self, one.name)) for one in fields(self)})

    def with_others(self, others: Self) -> Self:
        """More spans after these."""
        return type(self)(**{
            one.name: np.concatenate([getattr(self, one.name), getattr(others, one.name)], axis=-2)
            for one in fields(self)
        })  # fmt: skip

    def of_discs(self, discs: Ints) -> Self:
        """Some discs, or some several times, over the same spans."""
        return type(self)(**{one.name: getattr(self, one.name)[..., discs] for one in fields(self)})

    def with_discs(self, discs: Ints, others: Self) -> Self:
        """With other ways for some discs, over the same spans."""

        def put(name: str) -> NDArray[Any]:
            values = getattr(self, name).copy()
            values[..., discs] = getattr(others, name)
            return values

        return type(self)(**{one.name: put(one.name) for one in fields(self)})

    def stray(self, radius: Floats) -> tuple[Floats, Floats]:
        """How far any point of discs of a radius (P,) strays from its straight way, (S, P) mm, as two parts: one that
        falls with the square of the length of a piece of the span, and one that does not fall: what both the piece's
        ends and its middle may be off the guessed course.

        The straight way takes the centre along its chord while the disc turns steadily; its points go off their own
        chords by an eighth of the radius times the square of the turn, which is in the first part.
        """
        falls = _bow(self.place, self.rate, self.bends[3])
        falls = falls + radius * (self.turn_bend + (self.turn[1] - self.turn[0]) ** 2) / 8.0
        return falls, 2.0 * (self.off + radius * self.off_turn)

    def upright(self, which: Bools) -> Self:
        """Some of them, (S, P), as if they did not turn."""
        turning = np.where(which, 0.0, 1.0)
        return replace(
            self,
            turn=self.turn * turning,
            turn_rate=self.turn_rate * turning,
            wheel=self.wheel * turning,
            turn_bend=self.turn_bend * turning,
            off_turn=self.off_turn * turning,
        )

    def seen_from(self, others: Self, radius: Floats) -> tuple[Floats, Floats]:
        """As `stray`, of discs as seen from `others`, each in the frame of one that turns."""
        back = np.exp(-1j * others.turn)
        apart, nears = self.place - others.place, self.rate - others.rate
        place = back * apart
        rate = back * (nears - 1j * others.turn_rate * apart)
        most, both, wheel = np.abs(apart).max(axis=0), self.bends + others.bends, others.wheel
        most = most + 0.5 * both[0]
        fourth = both[3] + 4.0 * (both[2] * wheel[0] + both[0] * wheel[2]) + 6.0 * both[1] * wheel[1] + most * wheel[3]
        turn, turn_rate = self.turn - others.turn, self.turn_rate - others.turn_rate
        falls = _bow(place, rate, fourth)
        falls = falls + radius * (Bends.of(turn, turn_rate).second + (turn[1] - turn[0]) ** 2) / 8.0
        off = self.off + others.off + most * others.off_turn + radius * (self.off_turn + others.off_turn)
        return falls, 2.0 * off


def _bow(place: Complexes, rate: Complexes, fourth: Floats) -> Floats:
    """How far points with these values and rates at both ends, and a fourth derivative of no more than `fourth`
    between, stray from their chord: an eighth of their second derivative, from which that of the cubic with the same
    ends is off by `fourth` / 12 (G. Birkhoff, A. Priver, Hermite interpolation errors for derivatives, 1967; from
    memory)."""
    return np.asarray((Bends.of(place, rate).second + fourth / 12.0) / 8.0)
