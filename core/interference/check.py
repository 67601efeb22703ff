"""Every checked pair over a whole motion: what touches, from when to when, how deep, and how near the rest come."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import shapely
from numpy.typing import NDArray

from core.errors import CheckCancelled
from core.interference.depth import depth_of_overlap
from core.interference.interference import Clearance, Contact, Interference
from core.interference.overlap import FIT, common_areas, point_in
from core.interference.pairs import Pairs
from core.interference.placement import Parts, moved, part_poses
from core.interference.probe import probe_of
from core.motion.motion import Motion

Floats = NDArray[np.float64]


def interfere(
    parts: Parts, pairs: Pairs, motion: Motion, *, cancelled: Callable[[], bool] | None = None
) -> Interference:
    """Check every pair at every frame."""
    frames, count = len(motion.times), len(pairs.first)
    probe = probe_of(parts, pairs)
    posed = part_poses(parts, motion.poses)
    touching = np.zeros((len(pairs), frames), dtype=bool)
    gaps = np.full((len(pairs), frames), np.inf)
    areas = np.zeros((count, frames))
    for k in range(count):
        if cancelled is not None and cancelled():
            raise CheckCancelled
        pair = np.full(frames, k)
        relative = probe.relative(pair, posed[:, probe.anchor[k]], posed[:, probe.mover[k]])
        found = probe.measure(pair, relative)
        n = pairs.reported[k]
        touching[n] |= found.touching
        gaps[n] = np.fmin(gaps[n], found.gap)
        areas[k] = found.area
    contacts, clearances = [], []
    for n, ids in enumerate(pairs.ids):
        contacts += _contacts(parts, pairs, motion, posed, n, touching[n], areas)
        at = int(np.argmin(gaps[n]))
        k = int(np.flatnonzero(pairs.reported == n)[0])
        first, second = _both(parts, pairs, posed, k, at)
        line = shapely.get_coordinates(shapely.shortest_line(first, second)).tolist()
        clearances.append(
            Clearance(
                parts=ids, view=pairs.views[n], least=float(gaps[n, at]), time=float(motion.times[at]),
                points=(tuple(line[0]), tuple(line[1])), wanted=float(pairs.wanted[n]), proved=False,
            )
        )
    return Interference(
        pairs=pairs.ids, touching=touching, gaps=gaps, contacts=tuple(contacts), clearances=tuple(clearances)
    )


def _both(parts, pairs, posed, k, at):
    first = moved(pairs.first_polygons[[k]], posed[at, pairs.first[[k]]])[0]
    second = moved(pairs.second_polygons[[k]], posed[at, pairs.second[[k]]])[0]
    return first, second


def _contacts(parts, pairs, motion, posed, n, touching, areas):
    rows = np.flatnonzero(pairs.reported == n)
    edges = np.flatnonzero(np.diff(np.concatenate([[0], touching.astype(int), [0]])))
    for begin, end in edges.reshape(-1, 2):
        k = rows[np.argmax(areas[rows, begin:end].max(axis=1))]
        worst = begin + int(np.argmax(areas[k, begin:end]))
        first, second = _both(parts, pairs, posed, k, worst)
        common = common_areas(np.array([first]), np.array([second]))[0]
        depth = depth_of_overlap(first, second, common)
        if depth > FIT:
            yield Contact(
                parts=pairs.ids[n], view=pairs.views[n], begin=float(motion.times[begin]),
                end=float(motion.times[end - 1]), worst=float(motion.times[worst]), area=float(common.area),
                depth=depth, at=point_in(common),
            )
