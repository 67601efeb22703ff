"""A knot after a small edit, from where it went before: all moments at once, and not one after another.

Newton from where the knot stood before the edit finds the position that is its continuation, unless a dead centre lies
between the two. So all of it is taken, or nothing: where the knot begins just as it is walked from its start, where all
through it keeps the sign and about the size of its determinant, and where what the edit moves changes no faster along
the sequence than the knot goes. In doubt it is walked anew.
"""

from __future__ import annotations

import numpy as np

from core.geometry.planar import Floats
from core.motion.newton import Tangle, newton, take
from core.motion.phase import Branch
from core.motion.placing import Placing
from core.motion.walk import NEAR, Walked, length

FARTHEST = 0.05
"""Of the mechanism's size: what moves the knot farther at any moment is no small edit."""
STEADY = 0.5
"""The least part of its former determinant that a knot keeps."""
ALIKE = 1e-7
"""Of the mechanism's size: one start is another."""


def walked_as_before(tangle: Tangle, placing: Placing, start: Floats, before: Branch | None) -> Walked | None:
    """The knot through all times of `placing`; None where it has to be walked. `start` (K, 3) is where it begins, and
    `before` its branch before the edit."""
    walked = _seeds(tangle, placing, before)
    if walked is None or not len(placing.times):
        return None
    found = newton(tangle, placing, walked.unknowns)
    begun = newton(tangle, take(placing, np.array([0])), start[None])
    size = tangle.mechanism.size
    if (
        not (found.good.all() and begun.good[0])
        or length(begun.unknowns - found.unknowns[:1], tangle)[0] > ALIKE * size
    ):
        return None
    share = found.sense / walked.sense
    moved = found.unknowns - walked.unknowns
    went = length(np.diff(walked.unknowns, axis=0), tangle)
    if (
        (share < STEADY).any()
        or (share > 1.0 / STEADY).any()
        or (length(moved, tangle) > FARTHEST * size).any()
        or (length(np.diff(moved, axis=0), tangle) > NEAR * went + ALIKE * size).any()
    ):
        return None
    return Walked(placing.times, found.unknowns, found.good, found.sense, found.excess)


def _seeds(tangle: Tangle, placing: Placing, before: Branch | None) -> Walked | None:
    """Where the same knot stood at the same times, if it held together at all of them."""
    if before is None or before.walked is None or before.tangle is None or tangle.slack:
        return None
    walked, former = before.walked, before.tangle
    if (former.links, former.groups, former.kept) != (tangle.links, tangle.groups, tangle.kept):
        return None
    frames = np.searchsorted(walked.times, placing.times).clip(0, len(walked.times) - 1)
    if not np.array_equal(walked.times[frames], placing.times) or not walked.good[frames].all():
        return None
    return Walked(
        placing.times, walked.unknowns[frames], walked.good[frames], walked.sense[frames], walked.excess[frames]
    )
