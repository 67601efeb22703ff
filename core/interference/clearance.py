"""The least clearance of every reported pair that comes in sight, when, between which points, and whether it is
proved."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from core.interference.interference import Clearance, Contact
from core.interference.placement import moved
from core.interference.probe import Measure
from core.interference.refine import narrow, neighbours
from core.interference.samples import Samples

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

ENOUGH = 1e-5
"""Least clearances are narrowed down until they change by no more than this, mm."""


def refine_least(samples: Samples, which: Bools) -> None:
    """Narrow down the nearest moment of reported pairs (N,) that do not touch."""
    chosen = np.flatnonzero(which & (samples.least > 0.0) & np.isfinite(samples.least))
    if not len(chosen):
        return
    pair, times, _ = samples.all()
    own = samples.least_pair[chosen]
    low, high = neighbours(pair, times, own, samples.least_time[chosen])
    narrow(samples, own, low, high, _nearness, np.full(len(chosen), ENOUGH))


def _nearness(found: Measure) -> Floats:
    return -found.gap


def clearances(
    samples: Samples, contacts: tuple[Contact, ...], sight: float, unproved: Bools, unsure: Bools
) -> tuple[Clearance, ...]:
    """One for each reported pair that comes within `sight` mm; for one that touches, at its largest contact.

    `unproved` (N,) are pairs between whose moments something nearer may hide, which cannot matter to one that touches;
    `unsure` (N,) those whose motion itself is not known all the way.
    """
    pairs = samples.pairs
    worst: dict[tuple[str, str], Contact] = {}
    for one in sorted(contacts, key=lambda one: one.area):
        worst[one.parts] = one
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


def _shortest_lines(samples: Samples, which: NDArray[np.intp]) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """The nearest points of reported pairs at their nearest moments, the first on the first part, in the view."""
    pairs, pair = samples.pairs, samples.least_pair[which]
    if not len(which):
        return []
    posed = samples.track.between(samples.least_time[which])
    row = np.arange(len(which))
    first = moved(pairs.first_polygons[pair], posed[row, pairs.first[pair]])
    second = moved(pairs.second_polygons[pair], posed[row, pairs.second[pair]])
    ends = shapely.get_coordinates(shapely.shortest_line(first, second)).reshape(-1, 2, 2).tolist()
    return [((one[0], one[1]), (other[0], other[1])) for one, other in ends]
