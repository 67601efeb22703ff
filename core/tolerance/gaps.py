"""The least gaps of pairs in built models, about the moments at which the drawn ones are nearest."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from core.geometry.planar import Complexes, Floats, point_at
from core.interference.interference import Clearance
from core.interference.placement import Parts
from core.interference.probe import probe_of
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


def near_pairs(sequence: SequenceStudy) -> list[Clearance]:
    """The pairs within a view that come near as drawn and do not touch, the nearest first."""
    near = [one for one in sequence.interference.clearances if one.other_view is None and 0.0 < one.least <= SIGHT]
    return sorted(near, key=lambda one: one.least)[:MOST_PAIRS]


def gap_times(sequence: SequenceStudy) -> Floats:
    return np.array([one.time for one in near_pairs(sequence)])


def built_gaps(study: Study, sequence: SequenceStudy, models: Built, found: BuiltMotion) -> Iterator[BuiltGap]:
    for one in near_pairs(sequence):
        rows = np.flatnonzero(study.pairs.reported == study.pairs.ids.index(one.parts))
        pairs = study.pairs.of(rows)
        probe = probe_of(study.parts, pairs)
        frames = _nearest_frames(found, one.time)
        gaps = []
        for row in range(len(rows)):
            anchors, movers = (
                _part_poses(study.parts, int(part[row]), models, found.poses[frames])
                for part in (probe.anchor, probe.mover)
            )
            which = np.full(anchors.shape[:2], row).ravel()
            measure = probe.measure(which, probe.relative(which, anchors.reshape(-1, 3), movers.reshape(-1, 3)))
            gaps.append(np.where(measure.gap > 0.0, measure.gap, -measure.thick).reshape(anchors.shape[:2]))
        values = np.min(np.concatenate(gaps), axis=0)
        yield BuiltGap(parts=one.parts, time=one.time, drawn=one.least, values=values)


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
