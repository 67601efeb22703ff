"""Which findings the builder has accepted, and which of those have become worse since."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from core.document.lengths import fixed_length
from core.document.project import Acceptance, Project
from core.findings.finding import Finding, Kind
from core.findings.sentences import seconds
from core.units import format_angle, format_number

NOTICED = 0.01
"""What is accepted may get worse by so much, in mm, degrees or freedoms, or by this part of it, before it is told
anew: less is what a small edit elsewhere changes."""
LESS_IS_WORSE = (Kind.TIGHT, Kind.DEAD_CENTRE)


def acceptance_of(finding: Finding, why: str, *, everywhere: bool = False) -> Acceptance:
    """What accepts a finding as it is now, in its sequence or in every one."""
    return Acceptance(
        kind=str(finding.kind),
        bodies=finding.bodies,
        connections=finding.connections,
        drive=finding.drive,
        target=finding.target,
        step=finding.begun,
        sequence=None if everywhere else finding.sequence,
        amount=badness(finding),
        why=why,
    )


def badness(finding: Finding) -> float:
    """By how much a finding is wrong, in the terms that an acceptance keeps; of a travel, how far beyond its end."""
    if finding.kind is Kind.TRAVEL and finding.limits is not None:
        low, high = finding.limits
        return max(low - finding.amount, finding.amount - high, 0.0)
    return finding.amount


def with_acceptances(project: Project, findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings, those that are accepted marked; one that has become worse is not, and says so."""
    return tuple(_answered(project, finding) for finding in findings)


def unused(project: Project, findings: Iterable[Finding]) -> tuple[Acceptance, ...]:
    """Acceptances of what is found no longer; `findings` are of every sequence."""
    found = tuple(findings)
    return tuple(one for one in project.accepted if not any(covers(one, finding) for finding in found))


def covers(accepted: Acceptance, finding: Finding) -> bool:
    """Whether an acceptance is of this finding, however bad that is."""
    return (
        accepted.kind == finding.kind
        and accepted.sequence in (None, finding.sequence)
        and (accepted.drive, accepted.target, accepted.step) == (finding.drive, finding.target, finding.begun)
        and frozenset(accepted.bodies) == frozenset(finding.bodies)
        and frozenset(accepted.connections) == frozenset(finding.connections)
    )


def _answered(project: Project, finding: Finding) -> Finding:
    answers = [one for one in project.accepted if covers(one, finding)]
    if not answers:
        return finding
    # Where one is of this sequence and one of all, the one that allows more counts.
    best = min(answers, key=lambda one: _worse_by(one, finding))
    if _worse_by(best, finding) <= max(NOTICED, NOTICED * abs(best.amount)):
        return replace(finding, accepted=best)
    was, more = (_told(one, finding, project) for one in (best.amount, _worse_by(best, finding)))
    return replace(finding, sentence=f"{finding.sentence} It was accepted at {was}, and is worse by {more} now.")


def _worse_by(accepted: Acceptance, finding: Finding) -> float:
    more = badness(finding) - accepted.amount
    return -more if finding.kind in LESS_IS_WORSE else more


def _told(amount: float, finding: Finding, project: Project) -> str:
    if finding.unit == "mm":
        return fixed_length(project, amount)
    if finding.unit == "s":
        return seconds(amount)
    return format_angle(amount) if finding.unit == "deg" else format_number(amount)
