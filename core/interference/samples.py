"""What has been measured so far, of which pair of parts and when, and how near each reported pair has been seen to
come."""

from __future__ import annotations

from collections.abc import Callable
from typing import Generic, Protocol, TypeVar

import numpy as np

from core.errors import CheckCancelled
from core.geometry.planar import Floats, Ints
from core.interference.pairs import Pairs
from core.interference.probe import Measure, joined
from core.interference.track import Track

BATCH = 4096


class Measuring(Protocol):
    """Pairs of parts, ready to be measured; poses of a pair have as many numbers as it takes."""

    @property
    def anchor(self) -> Ints: ...
    @property
    def mover(self) -> Ints: ...
    def relative(self, pair: Ints, anchor_poses: Floats, mover_poses: Floats, /) -> Floats: ...
    def straight_path(self, pair: Ints, relative: Floats, /) -> Floats: ...
    def strayed(self, pair: Ints, ends: Floats, between: Floats, share: Floats, /) -> Floats: ...
    def measure(self, pair: Ints, relative: Floats, /) -> Measure: ...


P_co = TypeVar("P_co", bound=Measuring, covariant=True)


class Samples(Generic[P_co]):
    """The measurements of one check; it grows while the check runs and belongs to it alone."""

    def __init__(self, track: Track, pairs: Pairs, probe: P_co, cancelled: Callable[[], bool] | None = None) -> None:
        self.track, self.pairs, self.probe = track, pairs, probe
        self._cancelled = cancelled
        self._taken: list[tuple[Ints, Floats, Measure]] = []
        self._in_order: tuple[Ints, Floats, Measure] | None = None
        self.least = np.full(len(pairs), np.inf)
        """(N,) the smallest gap of each reported pair so far, mm."""
        self.least_time = np.zeros(len(pairs))
        self.least_pair = np.zeros(len(pairs), dtype=np.intp)
        """(N,) the pair of parts it was found between."""

    def take(self, pair: Ints, times: Floats, relative: Floats) -> Measure:
        """Measure pairs of parts (M,) at times (M,), where they stand at relative poses (M, ...)."""
        parts = []
        for begin in range(0, max(len(pair), 1), BATCH):
            self.stop_if_cancelled()
            batch = slice(begin, begin + BATCH)
            parts.append(self.probe.measure(pair[batch], relative[batch]))
        found = joined(parts)
        self._taken.append((pair, times, found))
        self._in_order = None
        self._note_least(pair, times, found)
        return found

    def take_between(self, pair: Ints, times: Floats) -> tuple[Floats, Measure]:
        """Solve moments between the track's, and measure there; also the relative poses (M, ...)."""
        moments, index = np.unique(times, return_inverse=True)
        anchor, mover = self.probe.anchor[pair], self.probe.mover[pair]
        posed = self.track.between(moments, np.unique(np.concatenate([anchor, mover])))
        anchors, movers = posed[index, anchor], posed[index, mover]
        relative = self.probe.relative(pair, anchors, movers)
        return relative, self.take(pair, times, relative)

    def put(self, pair: int, times: Floats, found: Measure, index: int) -> None:
        """Note a measurement of one pair of parts as true of other moments too."""
        self._taken.append((np.full(len(times), pair), times, found.at(np.full(len(times), index))))
        self._in_order = None

    def all(self) -> tuple[Ints, Floats, Measure]:
        """Everything measured, in order of pair and time, each moment of a pair once."""
        if self._in_order is None:
            pair = np.concatenate([np.zeros(0, dtype=np.intp), *(taken[0] for taken in self._taken)])
            times = np.concatenate([np.zeros(0), *(taken[1] for taken in self._taken)])
            order = np.lexsort((times, pair))
            new = np.ones(len(order), dtype=bool)
            new[1:] = (np.diff(pair[order]) != 0) | (np.diff(times[order]) > 0.0)
            order = order[new]
            self._in_order = pair[order], times[order], joined([taken[2] for taken in self._taken]).at(order)
        return self._in_order

    def stop_if_cancelled(self) -> None:
        if self._cancelled is not None and self._cancelled():
            raise CheckCancelled("the interference check was stopped")

    def _note_least(self, pair: Ints, times: Floats, found: Measure) -> None:
        known = np.flatnonzero(np.isfinite(found.gap))
        if not len(known):
            return
        reported = self.pairs.reported[pair[known]]
        # With the smallest gaps last, the last of each reported pair is its smallest; of equals the earliest moment.
        order = np.lexsort((-times[known], -found.gap[known], reported))
        last = np.append(np.flatnonzero(np.diff(reported[order])), len(order) - 1)
        chosen = known[order[last]]
        which = self.pairs.reported[pair[chosen]]
        less = found.gap[chosen] < self.least[which]
        chosen, which = chosen[less], which[less]
        self.least[which], self.least_time[which], self.least_pair[which] = (
            found.gap[chosen],
            times[chosen],
            pair[chosen],
        )
