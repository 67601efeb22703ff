"""The least gaps of pairs in built models, about the moments at which the drawn ones are nearest."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.geometry.planar import Complexes, Floats, point_at
from core.interference.extrusions import Extrusions
from core.interference.interference import Clearance
from core.interference.pairs import Pairs
from core.interference.placement import Parts
from core.interference.probe import probe_of
from core.interference.samples import Measuring
from core.mechanism.mechanism import Link
from core.study import SequenceStudy, Study
from core.tolerance.built import Built
from core.tolerance.solve import BuiltMotion

SIGHT = 2.0
"""Millimetres: pairs that stay farther apart as drawn are not looked at."""
MOST_PAIRS = 24
"""The nearest ones."""
LOOKS = 3
"""Of the moments that are solved, so many of those at which a pair is nearest are measured in each model."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BuiltGap:
    parts: tuple[str, str]
    time: float
    drawn: float
    values: Floats
    """(S,) mm; overlaps are less than nought, by how thick they are."""
    seen: tuple[float, float]
    """How much of the gap lies in the view of either part: by so much of what its edges are off the gap changes."""


def near_pairs(sequence: SequenceStudy) -> list[Clearance]:
    """The pairs that come near as drawn and do not touch, within views and across them, the nearest first."""
    near = [one for one in sequence.interference.clearances if 0.0 < one.least <= SIGHT]
    return sorted(near, key=lambda one: one.least)[:MOST_PAIRS]


def gap_times(sequence: SequenceStudy) -> Floats:
    return np.array([one.time for one in near_pairs(sequence)])


def built_gaps(study: Study, sequence: SequenceStudy, models: Built, found: BuiltMotion) -> Iterator[BuiltGap]:
    for one in near_pairs(sequence):
        probe = _probe(study, one)
        frames = _nearest_frames(found, one.time)
        gaps = []
        for row in range(len(probe.anchor)):
            anchors, movers = (
                _part_poses(study.parts, int(part[row]), models, found.poses[frames])
                for part in (probe.anchor, probe.mover)
            )
            which = np.full(anchors.shape[:2], row).ravel()
            poses = probe.relative(which, anchors.reshape(-1, 3), movers.reshape(-1, 3))
            measure = probe.measure(which, poses)
            gaps.append(np.where(measure.gap > 0.0, measure.gap, -measure.thick).reshape(anchors.shape[:2]))
        values = np.min(np.concatenate(gaps), axis=0)
        yield BuiltGap(parts=one.parts, time=one.time, drawn=one.least, values=values, seen=_seen(one))


def _probe(study: Study, one: Clearance) -> Measuring:
    """What measures all pairs of parts that are reported as one."""
    if one.other_view is None:
        return probe_of(study.parts, study.pairs.of(_rows(study.pairs, one)))
    across = study.pairs.across
    assert across is not None, "a pair across views was checked"
    return Extrusions(study.parts, across.of(_rows(across.pairs, one)))


def _rows(pairs: Pairs, one: Clearance) -> NDArray[np.intp]:
    return np.flatnonzero(pairs.reported == pairs.ids.index(one.parts))


def _seen(one: Clearance) -> tuple[float, float]:
    """Across views each of the two sees the line between their nearest points from its own side, foreshortened."""
    if one.other_points is None:
        return (1.0, 1.0)
    first, second = (math.dist(*line) / one.least for line in (one.points, one.other_points))
    return (min(1.0, first), min(1.0, second))


def _nearest_frames(found: BuiltMotion, time: float) -> list[int]:
    at = int(np.searchsorted(found.times, time))
    first = max(0, min(at - LOOKS // 2, len(found.times) - LOOKS))
    return list(range(first, min(first + LOOKS, len(found.times))))


def _part_poses(parts: Parts, part: int, models: Built, poses: Floats) -> Floats:
    """(T, S, 3) of a part of models whose bodies are at (T, S, B, 3): a bar stands between its ends as built."""
    first, second = parts.bodies[part].tolist()
    if not parts.jointed[part]:
        return np.asarray(poses[:, :, first])
    here, there = _ends(parts, part, models)
    begin, end = point_at(poses[:, :, first], here), point_at(poses[:, :, second], there)
    return np.stack([begin.real, begin.imag, np.angle(end - begin)], axis=-1)


def _ends(parts: Parts, part: int, models: Built) -> tuple[complex, complex]:
    link: Link = models.mechanism.links[models.mechanism.link_of[parts.ids[part]]]
    forward = tuple(parts.bodies[part].tolist()) == link.bodies
    if link.first == link.second or not forward:
        forward = bool(forward and _is_at(parts.ends[part, 0], link.p))
    return (link.p, link.q) if forward else (link.q, link.p)


def _is_at(drawn: Floats, points: complex | Complexes) -> bool:
    return bool(abs(complex(*drawn) - complex(np.mean(points))) < 1.0)
