"""How a motion's equations bound the parts that ride on its bodies, moment after moment as moments are added."""

from __future__ import annotations

import numpy as np

from core.geometry.planar import Floats, Ints
from core.interference.placement import Parts
from core.motion.motion import Motion
from core.motion.straying import Bar, Linkage
from core.motion.ways import Ways


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
        self._course, self._bars, self._which = motion.course, bars, which
        self._points = parts.centre[:, 0] + 1j * parts.centre[:, 1]
        self._linkage: Linkage | None = None
        self._times: Floats = np.zeros(0)
        self._ways: Ways | None = None

    def take_over(self, times: Floats, ways: Ways, same: Ints, poses: Floats, posed: Floats) -> None:
        """Take from an earlier motion the ways over the spans between moments (T,) of the parts that go as they did:
        `same` (P,) says which of the earlier parts each is, -1 for those that do not, which are bounded anew."""
        anew, place = np.flatnonzero(same < 0), np.arange(len(same))
        where = np.where(same < 0, np.minimum(place, ways.proved.shape[1] - 1), same)
        found = ways if np.array_equal(where, place) and len(place) == ways.proved.shape[1] else ways.of_discs(where)
        if len(anew):
            linkage = Linkage(self._course, self._bars, self._which[anew], self._points[anew], alone=True)
            every = np.concatenate([poses, posed[:, self._jointed]], axis=1)
            found = found.with_discs(
                anew, linkage.ways(times, every, np.arange(len(times) - 1), np.arange(1, len(times)))
            )
        self._times, self._ways = times, found

    def ways(self, times: Floats, poses: Floats, posed: Floats) -> Ways:
        """Between T moments, of poses (T, B, 3) of bodies and `posed` (T, P, 3) of parts. Spans that were asked for
        just before are kept."""
        before = self._ways
        if before is not None and np.array_equal(times, self._times):
            return before
        if self._linkage is None:
            self._linkage = Linkage(self._course, self._bars, self._which, self._points)
        every = np.concatenate([poses, posed[:, self._jointed]], axis=1)
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
