"""What a check says of one moment: what overlaps, what is loose, jammed or held, and the narrowest place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from core.findings.acceptance import NOTICED
from core.findings.finding import Finding, Kind
from core.geometry.planar import Floats
from core.interference.across import overlaps_in_all_views
from core.interference.interference import Clearance, Overlap
from core.interference.overlap import KeptOverlaps
from core.interference.pairs import Pairs
from core.interference.placement import Parts
from core.motion.holding import held_at
from core.motion.motion import Motion
from core.motion.trouble import Jam, LatchMiss, Loose
from core.study import SequenceStudy


@dataclass(frozen=True, slots=True, kw_only=True)
class Situation:
    """What is to be drawn of a moment besides where everything stands."""

    overlaps: tuple[Overlap, ...] = ()
    accepted: frozenset[frozenset[str]] = frozenset()
    """Pairs among them that the builder lets overlap so far: they are drawn more quietly."""
    loose: frozenset[str] = frozenset()
    """Bodies that nothing drives or holds."""
    jammed: frozenset[str] = frozenset()
    """Connections that cannot hold together."""
    held: frozenset[str] = frozenset()
    """Latches that hold."""
    missed: frozenset[str] = frozenset()
    """Latches that were to hold, and could not take hold."""
    gap: Clearance | None = None
    """The narrowest place of a pair, drawn as a dimension."""
    finding: Finding | None = None


def situation_at(
    study: SequenceStudy,
    parts: Parts,
    pairs: Pairs,
    poses: Floats,
    time: float,
    *,
    finding: Finding | None = None,
    kept: KeptOverlaps | None = None,
) -> Situation:
    """What a checked sequence says of `time`, when the bodies stand at (B, 3) `poses`; `kept` are the overlaps of a
    moment that was told of before."""
    troubles = study.motion.troubles
    loose = {body for one in troubles if isinstance(one, Loose) and one.begin <= time <= one.end for body in one.bodies}
    jammed = {
        connection
        for one in troubles
        if isinstance(one, Jam) and one.begin <= time <= one.end
        for connection in one.connections
    }
    asked = held_at(study.schedule, time)
    missed = asked & {one.connection for one in troubles if isinstance(one, LatchMiss) and one.time <= time}
    overlaps = overlaps_in_all_views(parts, pairs, poses, kept) if np.isfinite(poses).all() else ()
    return Situation(
        overlaps=overlaps,
        accepted=_accepted(study, overlaps),
        loose=frozenset(loose),
        jammed=frozenset(jammed),
        held=asked - missed,
        missed=missed,
        gap=_gap(study, finding, time),
        finding=finding if finding is None or finding.sequence == study.sequence.id else None,
    )


def brought_back(hidden: frozenset[str], told: Situation, chosen: str | None = None) -> frozenset[str]:
    """Of what is hidden that which has to be seen even so: what is chosen, and whatever something is wrong with."""
    if not hidden:
        return hidden
    wrong = {part for overlap in told.overlaps for part in overlap.parts} | told.loose | told.jammed | told.missed
    finding = told.finding
    if finding is not None:
        wrong |= {*finding.bodies, *finding.connections}
    return hidden & (wrong | {chosen})


def _accepted(study: SequenceStudy, overlaps: tuple[Overlap, ...]) -> frozenset[frozenset[str]]:
    """The pairs that overlap no deeper here than they do at the worst of an accepted clash."""
    deepest = {frozenset(one.bodies): one.amount for one in study.accepted if one.kind is Kind.CLASH}
    pairs = ((frozenset(one.parts), one.depth) for one in overlaps)
    return frozenset(pair for pair, depth in pairs if depth <= deepest.get(pair, -NOTICED) + NOTICED)


def poses_between(motion: Motion, time: float) -> Floats:
    """(B, 3) solved poses at any moment; beyond the ends those of the ends."""
    poses: Floats = poses_at_each(motion, (time,))[0]
    return poses


def poses_at_each(motion: Motion, times: Sequence[float]) -> Floats:
    """(T, B, 3) the same at many moments, which takes hardly longer than at one."""
    return motion.poses_at(np.clip(np.array(times), motion.times[0], motion.times[-1]))


def _gap(study: SequenceStudy, finding: Finding | None, time: float) -> Clearance | None:
    """The narrowest place of the pair that a finding is about, while its moment is looked at."""
    if finding is None or finding.kind is not Kind.TIGHT or finding.time is None or abs(time - finding.time) > 1e-3:
        return None
    pair = frozenset(finding.bodies)
    return next((one for one in study.interference.clearances if frozenset(one.parts) == pair), None)
