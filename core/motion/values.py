"""Every connection's value, in its drive's terms, read off the poses."""

from __future__ import annotations

import numpy as np

from core.geometry.planar import Floats, dot, point_at
from core.mechanism.mechanism import Kind, Link, Mechanism


def values_of(mechanism: Mechanism, poses: Floats) -> Floats:
    """(T, C) of poses (T, B, 3): pivots in degrees, slides, slots and jacks in mm of travel, rods in mm of length; NaN
    for gearings and latches."""
    values = np.full((len(poses), len(mechanism.links)), np.nan)
    for number, link in enumerate(mechanism.links):
        if link.kind not in (Kind.GEARING, Kind.LATCH):
            values[:, number] = value_of(link, poses[:, link.first], poses[:, link.second])
    return values


def value_of(link: Link, first: Floats, second: Floats) -> Floats:
    """(T,) of the poses (T, 3) of its two bodies."""
    if link.kind is Kind.PIVOT:
        return np.asarray(np.rad2deg(second[:, 2] - first[:, 2]))
    gap = point_at(second, link.q) - point_at(first, link.p)
    if link.kind in (Kind.SLIDE, Kind.SLOT):
        return dot(np.exp(1j * first[:, 2]) * link.along, gap)
    return np.asarray(np.abs(gap) - (link.length if link.kind is Kind.JACK else 0.0))
