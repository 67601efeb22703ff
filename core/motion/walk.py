"""A knot walked along its frames, from where it stands at first.

A residual does not show that a frame jumped to another branch. So a frame is taken only where it is near what its
neighbours foretell, and where the determinant of its Jacobian has the neighbours' sign; in doubt the way there is
walked in smaller steps (continuation, e.g. E. L. Allgower, K. Georg, Numerical Continuation Methods). Past a frame that
cannot be reached, the next that goes together on the same branch, from where the knot last did, is where it goes on.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from core.geometry.planar import Bools, Floats
from core.motion.newton import Entry, Solution, Tangle, newton, relaxed, take
from core.motion.placing import Placing

Frames = NDArray[np.intp]
PlacingAt = Callable[[Floats], Placing]

NEAR = 0.35
"""By how much of the way between its neighbours a frame may be off what they foretell."""
SMALL = 0.02
"""Of the mechanism's size: a step as short as this needs no foretelling."""
DRAGGED = 0.1
"""The same of what is dragged, which has no branch to lose."""
FAR = 0.3
"""Of the mechanism's size: farther than this from its guess a frame past a jam is not believed."""
FINEST = 10
"""How often a step of the walk may be halved."""
MOST_STEPS = 80
"""Between two frames."""
MOST_NARROWED = 6
"""How often a bracket is narrowed to its finest step."""
COARSE = 8
"""Every how many frames are walked to before the others are filled in."""


@dataclass(frozen=True, slots=True)
class Stand:
    """A knot at one time."""

    time: float
    unknowns: Floats
    sense: float
    excess: float


@dataclass(frozen=True, slots=True)
class Walked:
    """A knot over T times; where it cannot be put together it stands as it last could."""

    times: Floats
    unknowns: Floats
    good: Bools
    sense: Floats
    excess: Floats

    def after(self, frame: int) -> Walked:
        """Without the first few frames."""
        some = slice(frame, None)
        return Walked(self.times[some], self.unknowns[some], self.good[some], self.sense[some], self.excess[some])

    def stand(self, frame: int) -> Stand:
        return Stand(
            float(self.times[frame]), self.unknowns[frame], float(self.sense[frame]), float(self.excess[frame])
        )

    def joined(self, more: Walked) -> Walked:
        """With other times, of which those that are here already stand as here."""
        new = ~np.isin(more.times, self.times)
        times = np.concatenate([self.times, more.times[new]])
        order = np.argsort(times)

        def both(here: NDArray[Entry], there: NDArray[Entry]) -> NDArray[Entry]:
            return np.concatenate([here, there[new]])[order]

        return Walked(
            times[order], both(self.unknowns, more.unknowns), both(self.good, more.good), both(self.sense, more.sense),
            both(self.excess, more.excess),
        )  # fmt: skip

    def with_stands(self, stands: Sequence[Stand]) -> Walked:
        """With some more times at which it holds together."""
        if not stands:
            return self
        return self.joined(Walked(
            np.array([one.time for one in stands]), np.array([one.unknowns for one in stands]),
            np.ones(len(stands), dtype=bool), np.array([one.sense for one in stands]),
            np.array([one.excess for one in stands]),
        ))  # fmt: skip

    def seeds(self, times: Floats) -> tuple[Floats, Frames]:
        """What the grid foretells of other times, (T, K, 3), and the nearest of its frames to say so.

        Between two good moments it is a cubic through those about it, beside a single one what the knot is there.
        """
        after = np.clip(np.searchsorted(self.times, times), 0, len(self.times) - 1)
        before = np.where(self.times[after] > times, np.maximum(after - 1, 0), after)
        between = self.good[before] & self.good[after]
        origin = np.where(self.good[before], before, after)
        guess = self.unknowns[origin]
        if between.any():
            known = np.flatnonzero(self.good)
            guess[between] = foretold(self.times[known], self.unknowns[known], times[between])
        return guess, origin


def foretold(known: Floats, values: Floats, times: Floats) -> Floats:
    """Cubic Hermite through values (N, K, 3) at known times; beyond them the nearest value."""
    if len(known) < 2:
        return np.repeat(values[:1], len(times), axis=0)
    inside = np.clip(times, known[0], known[-1])
    at = np.clip(np.searchsorted(known, inside) - 1, 0, len(known) - 2)
    slope = _slopes(known, values)
    span = (known[at + 1] - known[at])[:, None, None]
    share = (inside - known[at])[:, None, None] / span
    a, b, c, d = values[at], values[at + 1], slope[at] * span, slope[at + 1] * span
    square, cube = share**2, share**3
    return np.asarray(
        a * (2 * cube - 3 * square + 1)
        + b * (3 * square - 2 * cube)
        + c * (cube - 2 * square + share)
        + d * (cube - square)
    )


def _slopes(known: Floats, values: Floats) -> Floats:
    steps = np.diff(values, axis=0) / np.diff(known)[:, None, None]
    if len(steps) == 1:
        return np.repeat(steps, 2, axis=0)
    weight = np.diff(known)
    inner = (steps[1:] * weight[:-1, None, None] + steps[:-1] * weight[1:, None, None]) / (
        (weight[1:] + weight[:-1])[:, None, None]
    )
    return np.concatenate([steps[:1], inner, steps[-1:]])


def walk(
    tangle: Tangle, placing: Placing, placing_at: PlacingAt, start: Floats, *, allowed: Bools, resume: bool = True
) -> Walked:
    """From `start` (K, 3) at the first time through all of them, forwards or backwards; nothing is asked of times that
    are not `allowed`.

    `placing_at` says where the world's bodies are at any times, for steps between those of `placing`. Without `resume`
    the first time that cannot be reached is where it ends.
    """
    walker = _Walker(tangle, placing, placing_at, start, allowed)
    walker.coarse(resume=resume)
    walker.fill()
    return walker.result()


def farthest(tangle: Tangle, placing_at: PlacingAt, stand: Stand, bad: float, narrow: float) -> Stand:
    """How a knot stands at the last moment that can be walked to from a good one towards one that cannot."""
    for _ in range(MOST_NARROWED):
        if abs(bad - stand.time) <= narrow:
            break
        times = np.array([stand.time, bad])
        walker = _Walker(tangle, placing_at(times), placing_at, stand.unknowns, np.asarray(True))
        here, way = _Here(0.0, stand.unknowns, stand.sense, excess=stand.excess), np.sign(bad - stand.time)
        here.rate = np.zeros_like(here.place)
        if walker.go(here, 1) is not None:
            break
        stand = Stand(stand.time + way * here.at, here.place, here.sense, here.excess)
        if here.stuck:
            bad = stand.time + way * min(here.finest, abs(bad - stand.time))
    return stand


@dataclass(slots=True)
class _Here:
    """How far a walk has come."""

    at: float
    place: Floats
    sense: float
    rate: Floats = field(default_factory=lambda: np.zeros(1))
    finest: float = 0.0
    excess: float = 0.0
    stuck: bool = False
    """Whether not even the finest step could be taken."""


class _Walker:
    def __init__(self, tangle: Tangle, placing: Placing, placing_at: PlacingAt, start: Floats, allowed: Bools) -> None:
        self._tangle, self._placing, self._placing_at = tangle, placing, placing_at
        frames = len(placing.times)
        self._begin, self._way = float(placing.times[0]), 1.0 if placing.times[-1] >= placing.times[0] else -1.0
        self._path = np.abs(placing.times - self._begin)
        self._allowed = np.broadcast_to(allowed, (frames,))
        self._tried = ~self._allowed
        self._unknowns = np.repeat(start[None], frames, axis=0)
        self._good = np.zeros(frames, dtype=bool)
        self._sense, self._excess = np.zeros(frames), np.zeros(frames)

    def result(self) -> Walked:
        return Walked(self._placing.times, self._unknowns, self._good, self._sense, self._excess)

    def coarse(self, *, resume: bool) -> None:
        """Walk to every few frames; where that fails, to each, and past a jam to the first that goes together again."""
        last = self._first()
        while last is not None and last < len(self._tried) - 1:
            stop = min(last + COARSE, len(self._tried) - 1)
            if self._advance(last, stop):
                last = stop
                continue
            while last + 1 < len(self._tried) and self._advance(last, last + 1):
                last += 1
            if resume:
                last = self._resume(last)
            else:
                self._tried[last + 1 :] = True
                return

    def _first(self) -> int | None:
        """The first frame that can be had from the start as it is."""
        left = np.flatnonzero(~self._tried)
        taken = self._try(left[:1], self._unknowns[left[:1]], np.zeros(1))
        if taken is None:
            self._tried[left[:1]] = True
            taken = self._among(left[1:])
        return taken

    def _resume(self, last: int) -> int | None:
        """The first frame past a jam that goes together on the branch that the knot was on."""
        left = last + 1 + np.flatnonzero(~self._tried[last + 1 :])
        self._unknowns[last + 1 :] = self._unknowns[last]
        found = self._among(left)
        if found is not None:
            self._backwards(found, last)
        return found

    def _backwards(self, found: int, last: int) -> None:
        """From the first frame found past a jam back to where the jam ends, which that frame may have missed."""
        path = np.arange(found, last, -1)
        if len(path) > 1:
            way = walk(
                self._tangle, take(self._placing, path), self._placing_at, self._unknowns[found],
                allowed=np.asarray(True), resume=False,
            )  # fmt: skip
            good = way.good & self._allowed[path]
            frames = path[good]
            self._unknowns[frames], self._good[frames] = way.unknowns[good], True
            self._sense[frames], self._excess[frames] = way.sense[good], way.excess[good]

    def _among(self, left: Frames) -> int | None:
        """The first of some frames that goes together; those before it do not.

        Drives mostly come back the way they went, so that each is begun from the good frame whose drives are nearest.
        """
        for some in np.array_split(left, max(1, len(left) // 64)):
            guess, sense = self._unknowns[some], np.zeros(len(some))
            known = np.flatnonzero(self._good)[::-1]
            if len(known):
                drives, here = self._placing.drives[known], self._placing.drives[some]
                apart = np.abs(here[:, None] - drives[None]).sum(axis=2)
                nearest = known[np.argmin(np.round(apart, 9), axis=1)]
                guess, sense = self._unknowns[nearest], self._sense[nearest]
            taken = self._try(some, guess, sense)
            self._tried[some if taken is None else some[some < taken]] = True
            if taken is not None:
                return taken
        return None

    def _try(self, frames: Frames, guess: Floats, sense: Floats) -> int | None:
        """Newton at some frames; takes and answers the first that comes to rest, near its guess and on its branch."""
        if not len(frames):
            return None
        solution = newton(self._tangle, take(self._placing, frames), guess)
        near = (sense == 0.0) | (length(solution.unknowns - guess, self._tangle) <= FAR * self._tangle.mechanism.size)
        fine = np.flatnonzero(solution.good & near & (solution.sense * sense >= 0.0))
        if not len(fine):
            return None
        self._put(frames[fine[:1]], solution, fine[:1])
        return int(frames[fine[0]])

    def fill(self) -> None:
        """The frames between, all at once; those in doubt are walked to from the frame before."""
        known, left = np.flatnonzero(self._good), np.flatnonzero(~self._tried)
        if len(known) >= 2 and len(left):
            guess = foretold(self._path[known], self._unknowns[known], self._path[left])
            solution = newton(self._tangle, take(self._placing, left), guess)
            after = np.clip(np.searchsorted(known, left), 1, len(known) - 1)
            low, high = known[after - 1], known[after]
            way = length(self._unknowns[high] - self._unknowns[low], self._tangle)
            off = length(solution.unknowns - guess, self._tangle)
            sure = solution.good & (off <= NEAR * way + 1e-9 * self._tangle.mechanism.size)
            sure &= (solution.sense * self._sense[low] > 0) & (solution.sense * self._sense[high] > 0)
            self._put(left[sure], solution, sure)
        for frame in np.flatnonzero(~self._tried):
            before = np.flatnonzero(self._good[:frame])
            if not len(before) or not self._advance(int(before[-1]), int(frame)):
                self._tried[frame] = True

    def _put(self, frames: Frames, solution: Solution, which: NDArray[np.generic]) -> None:
        self._unknowns[frames] = solution.unknowns[which]
        self._sense[frames], self._excess[frames] = solution.sense[which], solution.excess[which]
        self._good[frames] = self._tried[frames] = True

    def _advance(self, origin: int, frame: int) -> bool:
        """Walk from a solved frame to another; False where it cannot be reached."""
        if self._tried[frame]:
            return bool(self._good[frame])
        solution = self._step(origin, frame)
        if solution is None:
            self._unknowns[frame] = self._unknowns[origin]
            return False
        self._put(np.array([frame]), solution, np.array([0]))
        return True

    def _step(self, origin: int, frame: int) -> Solution | None:
        """Steps as long as they are beyond doubt, halved where they are not."""
        here = _Here(float(self._path[origin]), self._unknowns[origin], float(self._sense[origin]))
        here.rate = self._rate(origin, here.place)
        solution = self.go(here, frame)
        if solution is None and here.stuck and self._tangle.slack:
            return self._around(take(self._placing, np.array([frame])), here.place)
        return solution

    def go(self, here: _Here, frame: int) -> Solution | None:
        """From one place on to a frame; where that cannot be, `here` is how far it went."""
        target, end = take(self._placing, np.array([frame])), float(self._path[frame])
        step = end - here.at
        here.finest = step / 2**FINEST
        for _ in range(MOST_STEPS):
            steps = _halved(step, here.finest)
            reached = self._reached(here, steps[:1], target if here.at + step >= end else None)
            if reached is None and len(steps) > 1:
                reached = self._reached(here, steps[1:], None)
            if reached is None:
                here.stuck = True
                return None
            step, solution = reached
            if here.at + step >= end:
                return solution
            here.rate = (solution.unknowns[0] - here.place) / step
            here.at, here.place, here.sense = here.at + step, solution.unknowns[0], float(solution.sense[0])
            here.excess = float(solution.excess[0])
            step = min(2.0 * step, end - here.at)
        return None

    def _reached(self, here: _Here, steps: Floats, there: Placing | None) -> tuple[float, Solution] | None:
        """The longest of some steps, all tried at once, that is beyond doubt."""
        if there is None:
            there = self._placing_at(self._begin + self._way * (here.at + steps))
        guess = here.place + here.rate * steps[:, None, None]
        solution = newton(self._tangle, there, guess)
        sure = np.flatnonzero(
            self._sure(solution, guess, here.place, here.sense, strict=steps > here.finest * (1.0 + 1e-9))
        )
        return (float(steps[sure[0]]), solution.taken(sure[:1])) if len(sure) else None

    def _around(self, target: Placing, place: Floats) -> Solution | None:
        """Where what is dragged cannot be brought straight on: by the damped way, which goes round a dead centre."""
        solution = newton(self._tangle, target, relaxed(self._tangle, target, place)[None])
        near = length(solution.unknowns - place, self._tangle)[0] <= 2.0 * DRAGGED * self._tangle.mechanism.size
        return solution if near and solution.good[0] else None

    def _rate(self, origin: int, place: Floats) -> Floats:
        """How the unknowns moved lately, per second; what is only dragged does not go on by itself."""
        if self._tangle.slack or origin == 0 or not self._good[:origin].any():
            return np.zeros_like(place)
        before = int(np.flatnonzero(self._good[:origin])[-1])
        gap = self._path[origin] - self._path[before]
        return np.asarray((place - self._unknowns[before]) / gap) if gap > 0 else np.zeros_like(place)

    def _sure(self, solution: Solution, guess: Floats, place: Floats, sense: float, *, strict: Bools) -> Bools:
        """(T,) whether steps from one place are beyond doubt.

        The smallest steps may go through a dead centre, where the sign changes, if they go straight on: at a limit,
        where the other branch begins as well, they would be back.
        """
        way, off = length(solution.unknowns - place, self._tangle), length(solution.unknowns - guess, self._tangle)
        straight = off <= NEAR * way
        small = way <= (DRAGGED if self._tangle.slack else SMALL) * self._tangle.mechanism.size
        changes = solution.sense * sense <= 0.0
        return np.asarray(solution.good & np.where(changes, ~strict & straight, straight | small))


def _halved(step: float, finest: float) -> Floats:
    """A step and its halves, down to the first that is no longer than the finest."""
    count = 1 if step <= finest else 1 + int(np.ceil(np.log2(step / finest) - 1e-9))
    return np.asarray(step * 0.5 ** np.arange(float(count)))


def length(change: Floats, tangle: Tangle) -> Floats:
    """(T,) the largest movement of any unknown, a turn counted as an arc."""
    arcs: Floats = np.abs(change * np.array([1.0, 1.0, tangle.mechanism.size])).max(axis=(1, 2))
    return arcs
