"""The least clearance of every reported pair that comes in sight, when, between which points, and whether it is
proved."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from core.geometry.planar import Bools, Floats
from core.interference.interference import Clearance, Contact
from core.interference.placement import moved
from core.interference.probe import Measure
from core.interference.refine import climb, neighbours
from core.interference.samples import Measuring, Samples

ENOUGH = 1e-5
"""Least clearances that are near are narrowed down until they change by no more than this, mm."""
ENOUGH_SHARE = 0.00005
"""And those that are not, until they change by no more than this part of them."""


def refine_least(samples: Samples[Measuring], near: Floats, sight: float, which: Bools) -> None:
    """Narrow down the nearest moment of reported pairs (N,): exactly where it is `near` (N,) or less, and elsewhere
    where a parabola through the measured moments about it says that much is to be gained."""
    chosen = np.flatnonzero(which & (samples.least > 0.0) & (samples.least <= sight))
    if not len(chosen):
        return
    pair, times, found = samples.all()
    own, least = samples.least_pair[chosen], samples.least[chosen]
    before, here, after = neighbours(pair, times, own, samples.least_time[chosen])
    enough = np.where(least <= near[chosen], ENOUGH, np.maximum(ENOUGH, ENOUGH_SHARE * least))
    gain = _dip(times[before], times[here], times[after], found.gap[before], found.gap[here], found.gap[after])
    going = (least <= near[chosen]) | (gain > enough)
    before, here, after = before[going], here[going], after[going]
    climb(
        samples, own[going], times[before], times[here], times[after],
        (-found.gap[before], -found.gap[here], -found.gap[after]), _nearness, enough[going],
    )  # fmt: skip


def _dip(*of_three: Floats) -> Floats:
    """How far a parabola through three moments and their gaps dips below the middle one."""
    t0, t1, t2, g0, g1, g2 = of_three
    back, forth = np.maximum(t1 - t0, 1e-300), np.maximum(t2 - t1, 1e-300)
    falling, rising = (g1 - g0) / back, (g2 - g1) / forth
    bend = (rising - falling) / (back + forth)
    slope = (falling * forth + rising * back) / (back + forth)
    return np.divide(slope**2, 4.0 * bend, out=np.zeros_like(bend), where=(bend > 0.0) & (t2 > t1) & (t1 > t0))


def _nearness(found: Measure) -> Floats:
    return -found.gap


def clearances(
    samples: Samples[Measuring], contacts: tuple[Contact, ...], sight: float, unproved: Bools, unsure: Bools
) -> tuple[Clearance, ...]:
    """One for each reported pair that comes within `sight` mm; for one that touches, at its largest contact.

    `unproved` (N,) are pairs between whose moments something nearer may hide, which cannot matter to one that touches;
    `unsure` (N,) those whose motion itself is not known all the way.
    """
    pairs, worst = samples.pairs, worst_contacts(contacts)
    seen = np.flatnonzero(samples.least <= sight)
    lines = _shortest_lines(samples, seen)
    found = []
    for n, line in zip(seen.tolist(), lines, strict=True):
        contact = worst.get(pairs.ids[n])
        found.append(
            Clearance(
                parts=pairs.ids[n],
                view=pairs.views[n],
                least=0.0 if contact else float(samples.least[n]),
                time=contact.worst if contact else float(samples.least_time[n]),
                points=(contact.at, contact.at) if contact else line,
                wanted=float(pairs.wanted[n]),
                proved=not unsure[n] and (contact is not None or not unproved[n]),
            )
        )
    return tuple(found)


def worst_contacts(contacts: tuple[Contact, ...]) -> dict[tuple[str, str], Contact]:
    """The contact of the largest common area of every pair that touches."""
    return {one.parts: one for one in sorted(contacts, key=lambda one: one.area + (one.other_area or 0.0))}


def _shortest_lines(
    samples: Samples[Measuring], which: NDArray[np.intp]
) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """The nearest points of reported pairs at their nearest moments, the first on the first part, in the view."""
    pairs, pair = samples.pairs, samples.least_pair[which]
    if not len(which):
        return []
    parts = np.concatenate([pairs.first[pair], pairs.second[pair]])
    posed = samples.track.between(samples.least_time[which], parts)
    row = np.arange(len(which))
    first = moved(pairs.first_polygons[pair], posed[row, pairs.first[pair]])
    second = moved(pairs.second_polygons[pair], posed[row, pairs.second[pair]])
    ends = shapely.get_coordinates(shapely.shortest_line(first, second)).reshape(-1, 2, 2).tolist()
    return [((one[0], one[1]), (other[0], other[1])) for one, other in ends]
