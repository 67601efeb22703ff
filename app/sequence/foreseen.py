"""Where on a changed time ruler things are to be looked for that were found before the change."""

from __future__ import annotations

import numpy as np

from core.geometry.planar import Floats
from core.motion.schedule import Schedule


def foreseen(times: Floats, before: Schedule, after: Schedule) -> Floats:
    """Moments (T,) of one schedule as they lie in another: each step takes along what lies in it.

    Where steps lap and are moved apart, no order of moments is turned round. It is a guess of a place and of nothing
    else: what is found there is only known when it has been checked anew.
    """
    there = {step.id: step for step in after.steps}
    ends = [(0.0, 0.0)]
    for step in before.steps:
        if step.id in there:
            ends += [(step.begin, there[step.id].begin), (step.end, there[step.id].end)]
    ends.append((max(before.seconds, *(old for old, _ in ends)), after.seconds))
    old, new = np.array(sorted(ends)).T
    return np.asarray(np.interp(times, old, np.minimum(np.maximum.accumulate(new), after.seconds)))
