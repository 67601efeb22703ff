"""How a motion's equations bound the parts that ride on its bodies, moment after moment as moments are added."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.interference.placement import Parts
from core.motion.motion import Motion
from core.motion.straying import Bar, Linkage
from core.motion.ways import Ways

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]


class Riding:
    """P parts on a solved motion's bodies."""

    def __init__(self, parts: Parts, motion: Motion) -> None:
        assert motion.course is not None
        self._jointed = np.flatnonzero(parts.jointed)
        ends = parts.ends[..., 0] + 1j * parts.ends[..., 1]
        bars = [
            Bar(bodies=(int(first), int(second)), ends=(complex(here), complex(there)))
            for (first, second), (here, there) in zip(parts.bodies[self._jointed], ends[self._jointed], strict=True)
        ]
        which = parts.bodies[:, 0].copy()
        which[self._jointed] = len(motion.bodies) + np.arange(len(bars))
        self._linkage = Linkage(motion.course, bars, which, parts.centre[:, 0] + 1j * parts.centre[:, 1])
        self._times: Floats = np.zeros(0)
        self._ways: Ways | None = None

    def ways(self, times: Floats, poses: Floats, posed: Floats) -> Ways:
        """Between T moments, of poses (T, B, 3) of bodies and `posed` (T, P, 3) of parts. Spans that were asked for
        just before are kept."""
        every = np.concatenate([poses, posed[:, self._jointed]], axis=1)
        before = self._ways
        if before is None:
            found = self._linkage.ways(times, every, np.arange(len(times) - 1), np.arange(1, len(times)))
        else:
            place = np.searchsorted(self._times, times[:-1]).clip(0, len(self._times) - 2)
            same = (self._times[place] == times[:-1]) & (self._times[place + 1] == times[1:])
            anew = np.flatnonzero(~same)
            place[anew] = before.proved.shape[0] + np.arange(len(anew))
            found = before.with_others(self._linkage.ways(times, every, anew, anew + 1)).taken(place)
        self._times, self._ways = times, found
        return found
