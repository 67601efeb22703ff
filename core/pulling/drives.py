"""What drives read where bodies were pulled to."""

from __future__ import annotations

import numpy as np

from core.geometry.planar import Floats
from core.mechanism.mechanism import Kind, Mechanism
from core.motion.values import value_of
from core.pulling.grab import rolling

LITTLE = 0.02
"""Of what the drive that went farthest has gone: one that has gone less has not been pulled."""


def drive_values(mechanism: Mechanism, poses: Floats) -> Floats:
    """(D,) every drive's value in its terms, when the bodies stand at (B, 3) `poses`."""
    links = [mechanism.links[number] for number in mechanism.driven]
    return np.array([float(value_of(one, poses[None, one.first], poses[None, one.second])[0]) for one in links])


def values_moved(mechanism: Mechanism, poses: Floats, before: Floats) -> Floats:
    """(D,) as `drive_values` at `poses`, but of drives that only a little of the pull went into those of `before`.

    Least change gives a thousandth to what need not move at all; nobody who pulls a leg means to roll its wheel. A
    wheel that is pulled round by its rim turns far, and makes nothing of what else moves little.
    """
    now, then = drive_values(mechanism, poses), drive_values(mechanism, before)
    pivots = [mechanism.links[number].kind is Kind.PIVOT for number in mechanism.driven]
    gone = np.abs(now - then) * np.where(pivots, np.deg2rad(mechanism.size), 1.0)
    rolls = rolling(mechanism)
    rolled = np.array([drive in rolls for drive in mechanism.drives], dtype=bool)
    farthest = np.where(rolled, gone.max(initial=0.0), gone.max(initial=0.0, where=~rolled))
    return np.where(gone >= LITTLE * farthest, now, then)
