"""What would help against a finding, in words and in JSON: which number, changed to what."""

from __future__ import annotations

from typing import Any

from core.document.project import Project
from core.findings.finding import Finding, Kind
from core.findings.sentences import Names
from core.mechanism.mechanism import Kind as Link
from core.motion.chains import course_of
from core.motion.cures import Cure, Part, cures_of
from core.motion.motion import Motion
from core.motion.trouble import Jam, TravelPassed

Json = dict[str, Any]


def cures_for(motion: Motion, finding: Finding) -> tuple[Cure, ...]:
    """What was tried and helps; none for findings of other kinds than jams and travels. It solves again each time."""
    if motion.course is None or finding.kind not in (Kind.JAMMED, Kind.TRAVEL):
        return ()
    for trouble in motion.troubles:
        if isinstance(trouble, Jam | TravelPassed) and _tells_of(finding, trouble):
            return cures_of(motion, trouble)
    return ()


def _tells_of(finding: Finding, trouble: Jam | TravelPassed) -> bool:
    if isinstance(trouble, TravelPassed):
        return finding.kind is Kind.TRAVEL and finding.connections == (trouble.connection,)
    same = (trouble.connections, trouble.bodies) == (finding.connections, finding.bodies)
    return finding.kind is Kind.JAMMED and same and trouble.time == finding.time


def remedy_sentence(cures: tuple[Cure, ...], motion: Motion, project: Project) -> str:
    """One sentence with all that helps; empty where nothing is known to."""
    if not cures:
        return ""
    names = Names(project)
    said = [_change(cure, motion, names) for cure in cures]
    return f"It would just go through {', or '.join(said)}."


def _change(cure: Cure, motion: Motion, names: Names) -> str:
    mechanism = course_of(motion).mechanism
    kind, name = mechanism.links[mechanism.link_of[cure.connection]].kind, names(cure.connection)
    to, by = names.amount(cure.to, cure.unit, 1), names.amount(abs(cure.by), cure.unit, 1)
    match cure.part:
        case Part.LENGTH:
            change = "longer" if cure.by > 0.0 else "shorter"
            closed = " when closed" if kind is Link.JACK else ""
            return f"with {name} {by} {change}{closed} ({to})"
        case Part.STROKE:
            return f"with a stroke of {to} in {name}"
        case Part.ASKED:
            step = next((one.name for one in motion.schedule.steps if one.id == cure.step), cure.step)
            return f"if {step} asked {names(cure.drive or '')} for {to} and no more"
        case Part.LOW if kind is Link.SLOT:
            return f"with the slot of {name} begun {by} sooner"
        case Part.HIGH if kind is Link.SLOT:
            return f"with a slot {to} long in {name}"
        case Part.LOW:
            return f"if {name} might go down to {to}"
        case Part.HIGH:
            return f"if {name} might go up to {to}"


def to_json(cure: Cure) -> Json:
    """The keys that a cure has; numbers are told as finely as a cure is."""
    asked = {"drive": cure.drive, "step": cure.step} if cure.part is Part.ASKED else {}
    return {
        "connection": cure.connection, "change": str(cure.part), "to": round(cure.to, 6), "by": round(cure.by, 6),
        "unit": cure.unit, **asked,
    }  # fmt: skip
