"""Every connection's value, in its drive's terms, read off the poses."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.geometry.planar import Floats, dot, point_at
from core.mechanism.mechanism import Kind, Link, Mechanism


@dataclass(frozen=True, slots=True)
class ValuesBefore:
    """What was read off another motion of the same bodies."""

    links: tuple[Link, ...]
    poses: Floats
    values: Floats


def values_of(mechanism: Mechanism, poses: Floats, before: ValuesBefore | None = None) -> Floats:
    """(T, C) of poses (T, B, 3): pivots in degrees, slides, slots and jacks in mm of travel, rods in mm of length; NaN
    for gearings and latches. Those of the same links between bodies that stand as `before` are taken from there."""
    links, anew = mechanism.links, list(range(len(mechanism.links)))
    values = np.full((len(poses), len(links)), np.nan)
    if before is not None and before.poses.shape == poses.shape and len(before.links) == len(links):
        stands = (poses == before.poses).all(axis=0).all(axis=1).tolist()
        alike = [one == old for one, old in zip(links, before.links, strict=True)]
        anew = [at for at in anew if not (alike[at] and stands[links[at].first] and stands[links[at].second])]
        values[:] = before.values
    for number in anew:
        link = links[number]
        has_value = link.kind not in (Kind.GEARING, Kind.LATCH)
        values[:, number] = value_of(link, poses[:, link.first], poses[:, link.second]) if has_value else np.nan
    return values


def value_of(link: Link, first: Floats, second: Floats) -> Floats:
    """(T,) of the poses (T, 3) of its two bodies."""
    if link.kind is Kind.PIVOT:
        return np.asarray(np.rad2deg(second[:, 2] - first[:, 2]))
    gap = point_at(second, link.q) - point_at(first, link.p)
    if link.kind in (Kind.SLIDE, Kind.SLOT):
        return dot(np.exp(1j * first[:, 2]) * link.along, gap)
    return np.asarray(np.abs(gap) - (link.length if link.kind is Kind.JACK else 0.0))
