"""Findings of one sequence, gathered from its motion, its interference and its targets, worst first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

import numpy as np

from core.document.project import Latch, Pivot, Project, Sequence
from core.findings import sentences
from core.findings.acceptance import with_acceptances
from core.findings.finding import Finding, Kind
from core.findings.needs import Unmet, unmet_needs
from core.findings.targets import measure_targets
from core.geometry.places import Places
from core.geometry.planar import Floats
from core.interference.interference import Interference
from core.interference.placement import Parts
from core.motion.looseness import friction_joints
from core.motion.motion import Motion
from core.motion.schedule import active_step
from core.motion.surplus import fights_in, surplus_of
from core.motion.trouble import DeadCentre, Jam, LatchMiss, Loose, Redundant, TravelPassed, Trouble

_GRAVITY = {kind: order for order, kind in enumerate(Kind)}


def collect(
    project: Project, sequence: Sequence, motion: Motion, interference: Interference, parts: Parts | None = None
) -> tuple[Finding, ...]:
    """All findings, by gravity of their kind and, within a kind, the larger trouble first; the accepted ones last. The
    project's `parts`, where they are known, lend outlines."""
    gatherer = _Gatherer(project, sequence, motion)
    findings = [
        *gatherer.of_motion(motion.troubles),
        *gatherer.of_interference(interference),
        *gatherer.of_needs(),
        *gatherer.of_targets(parts),
    ]
    return tuple(sorted(with_acceptances(project, findings), key=_weight))


def _weight(finding: Finding) -> tuple[bool, int, float, float]:
    # The nearer a tight pair and a dead centre, the worse; of everything else more is worse.
    nearer_is_worse = finding.kind in (Kind.TIGHT, Kind.DEAD_CENTRE)
    amount = finding.amount if nearer_is_worse else -abs(finding.amount)
    return (finding.accepted is not None, _GRAVITY[finding.kind], amount, finding.time or 0.0)


def _middle(points: tuple[tuple[float, float], tuple[float, float]]) -> tuple[float, float]:
    (x1, y1), (x2, y2) = points
    return ((x1 + x2) / 2, (y1 + y2) / 2)


class _Gatherer:
    def __init__(self, project: Project, sequence: Sequence, motion: Motion) -> None:
        self._project, self._sequence, self._motion = project, sequence, motion
        self._places = Places(project)
        self._names = sentences.Names(project)
        self._latches = {one.id: one for one in project.connections if isinstance(one, Latch)}
        self._pivots = {one.id for one in project.connections if isinstance(one, Pivot)}

    # ---- of the motion -------------------------------------------------------------------------------------------

    def of_motion(self, troubles: Iterable[Trouble]) -> Iterator[Finding]:
        for trouble in troubles:
            match trouble:
                case Jam():
                    yield self._jam(trouble)
                case DeadCentre():
                    yield self._dead_centre(trouble)
                case TravelPassed():
                    yield self._travel(trouble)
                case LatchMiss():
                    yield self._latch(trouble)
                case Loose():
                    yield self._loose(trouble)
                case Redundant():
                    yield self._redundant(trouble)

    def _poses(self, time: float) -> Floats:
        """(B, 3) at a moment."""
        return self._motion.poses_at(np.array([time]))[0]

    def _step(self, time: float, *of: str | None) -> str | None:
        """At a moment, rather one that works these drives and latches."""
        return active_step(self._motion.schedule, time, of)

    def _on_connection(self, connections: tuple[str, ...], time: float) -> dict[str, Any]:
        if not connections:
            return {}
        first = connections[0]
        return {"view": self._places.view_of_connection(first), "at": self._places.connection(first, self._poses(time))}

    def _jam(self, jam: Jam) -> Finding:
        return Finding(
            kind=Kind.JAMMED, sequence=self._sequence.id, sentence=self._jam_sentence(jam),
            bodies=jam.bodies, connections=jam.connections, begin=jam.begin, end=jam.end, time=jam.time,
            amount=jam.short_by, unit=jam.unit, step=self._step(jam.time),
            **self._on_connection(jam.connections, jam.time),
        )  # fmt: skip

    def _jam_sentence(self, jam: Jam) -> str:
        said = sentences.jam(jam, self._names)
        fights = fights_in(self._motion, jam) if self._motion.course is not None else ()
        return " ".join([said, *(sentences.fight(drives, self._names) for drives in fights)])

    def _dead_centre(self, dead: DeadCentre) -> Finding:
        return Finding(
            kind=Kind.DEAD_CENTRE, sequence=self._sequence.id, sentence=sentences.dead_centre(dead, self._names),
            drive=dead.drive, connections=dead.connections, time=dead.time, amount=dead.distance,
            step=self._step(dead.time, dead.drive), **self._on_connection(dead.connections, dead.time),
        )  # fmt: skip

    def _travel(self, passed: TravelPassed) -> Finding:
        drives = [drive.id for drive in self._project.drives if drive.on == passed.connection]
        return Finding(
            kind=Kind.TRAVEL, sequence=self._sequence.id, sentence=sentences.travel(passed, self._names, self._project),
            connections=(passed.connection,), time=passed.time, limits=passed.limits, amount=passed.value,
            unit="deg" if passed.connection in self._pivots else "mm", step=self._step(passed.time, *drives),
            **self._on_connection((passed.connection,), passed.time),
        )  # fmt: skip

    def _latch(self, missed: LatchMiss) -> Finding:
        latch = self._latches[missed.connection]
        return Finding(
            kind=Kind.LATCH, sequence=self._sequence.id, sentence=sentences.latch(missed, latch.reach, self._names),
            bodies=latch.bodies, connections=(missed.connection,), time=missed.time, amount=missed.miss,
            step=self._step(missed.time, missed.connection),
            **self._on_connection((missed.connection,), missed.time),
        )  # fmt: skip

    def _loose(self, loose: Loose) -> Finding:
        first = loose.bodies[0]
        return Finding(
            kind=Kind.LOOSE, sequence=self._sequence.id, sentence=self._loose_sentence(loose),
            bodies=loose.bodies, begin=loose.begin, end=loose.end, time=loose.begin, count=loose.freedoms,
            amount=loose.freedoms, unit="", step=self._step(loose.begin),
            view=self._places.view_of_body(first), at=self._places.body(first, self._poses(loose.begin)),
        )  # fmt: skip

    def _loose_sentence(self, loose: Loose) -> str:
        joints = friction_joints(self._motion, loose)
        in_all = self._motion.schedule.seconds
        return sentences.loose(loose, self._names, seconds_in_all=in_all, joints=joints)

    def _redundant(self, redundant: Redundant) -> Finding:
        return Finding(
            kind=Kind.REDUNDANT, sequence=self._sequence.id, sentence=self._redundant_sentence(redundant),
            connections=redundant.connections, count=redundant.count, amount=redundant.count, unit="", time=0.0,
            **self._on_connection(redundant.connections, 0.0),
        )  # fmt: skip

    def _redundant_sentence(self, redundant: Redundant) -> str:
        """With the drives among it, which then have to agree to the last hair."""
        said = sentences.redundant(redundant, self._names)
        among = set(redundant.connections)
        sets = surplus_of(self._motion) if self._motion.course is not None else ()
        agree = [one.drives for one in sets if len(one.drives) > 1 and among & set(one.connections)]
        return " ".join([said, *(sentences.agreeing(drives, self._names) for drives in dict.fromkeys(agree))])

    # ---- of the interference -------------------------------------------------------------------------------------

    def of_interference(self, interference: Interference) -> Iterator[Finding]:
        touching = set()
        for contact in interference.contacts:
            touching.add(frozenset(contact.parts))
            yield Finding(
                kind=Kind.CLASH, sequence=self._sequence.id, sentence=sentences.clash(contact, self._names),
                bodies=contact.parts, begin=contact.begin, end=contact.end, time=contact.worst, area=contact.area,
                amount=contact.depth, view=contact.view, at=contact.at, step=self._step(contact.worst),
                other_view=contact.other_view, other_at=contact.other_at,
            )  # fmt: skip
        for clearance in interference.clearances:
            if clearance.least >= clearance.wanted or frozenset(clearance.parts) in touching:
                continue
            yield Finding(
                kind=Kind.TIGHT, sequence=self._sequence.id, sentence=sentences.tight(clearance, self._names),
                bodies=clearance.parts, time=clearance.time, amount=clearance.least, wanted=clearance.wanted,
                view=clearance.view, at=_middle(clearance.points), step=self._step(clearance.time),
                other_view=clearance.other_view,
                other_at=None if clearance.other_points is None else _middle(clearance.other_points),
            )  # fmt: skip

    # ---- of what steps need --------------------------------------------------------------------------------------

    def of_needs(self) -> Iterator[Finding]:
        on = {one.id: one.on for one in self._project.drives}
        for unmet in unmet_needs(self._project, self._sequence, self._motion):
            drive, latch = unmet.need.drive, unmet.need.latch
            place = latch if latch is not None else on[drive or ""]
            unit = "s" if latch is not None else "deg" if place in self._pivots else "mm"
            yield Finding(
                kind=Kind.EARLY, sequence=self._sequence.id, sentence=self._early_sentence(unmet, unit), drive=drive,
                connections=() if latch is None else (latch,), time=unmet.time, amount=unmet.short_by, unit=unit,
                step=unmet.step, need=unmet.need, value=unmet.value, holds_at=unmet.holds_at,
                **self._on_connection((place,), unmet.time),
            )  # fmt: skip

    def _early_sentence(self, unmet: Unmet, unit: str) -> str:
        return sentences.early(unmet, self._names, unit)

    # ---- of the targets ------------------------------------------------------------------------------------------

    def of_targets(self, parts: Parts | None) -> Iterator[Finding]:
        for result in measure_targets(self._project, self._sequence, self._motion, parts):
            if result.met:
                continue
            yield Finding(
                kind=Kind.TARGET, sequence=self._sequence.id, sentence=sentences.target(result, self._names),
                bodies=(result.target.body,), target=result.target.id, time=result.time, amount=result.miss,
                view=self._places.view_of_body(result.target.body), at=result.at,
                step=result.target.at.after or self._step(result.time),
            )  # fmt: skip
