"""Findings that say the same of several sequences, told once."""

from __future__ import annotations

from dataclasses import dataclass

from core.findings.finding import Finding, Kind
from core.study import Study


@dataclass(frozen=True, slots=True)
class Group:
    """One or more findings with the same sentence, each of another sequence."""

    findings: tuple[Finding, ...]

    @property
    def kind(self) -> Kind:
        return self.findings[0].kind

    @property
    def accepted(self) -> str | None:
        """Why it is lived with; None where it is not."""
        answer = self.findings[0].accepted
        return None if answer is None else answer.why

    @property
    def sentence(self) -> str:
        return self.findings[0].sentence

    def of(self, sequence: str | None) -> Finding:
        """The one of a sequence; the first where that has none."""
        return next((one for one in self.findings if one.sequence == sequence), self.findings[0])


def all_findings(study: Study) -> tuple[Finding, ...]:
    """Of every sequence, by gravity of their kinds; those of one kind in the order of their sequences."""
    gravity = {kind: order for order, kind in enumerate(Kind)}
    findings = (finding for one in study.sequences for finding in one.findings)
    return tuple(sorted(findings, key=lambda finding: gravity[finding.kind]))


def groups_of(study: Study) -> tuple[Group, ...]:
    """Worst first. What is loose in one sequence is mostly loose in all, and is one thing to mend."""
    return _grouped(all_findings(study))


def accepted_groups(study: Study) -> tuple[Group, ...]:
    """What the builder lives with, in the same way."""
    return _grouped(tuple(finding for one in study.sequences for finding in one.accepted))


def figures_off(study: Study) -> str:
    """How many published figures the model misses by more than their tolerance, in words; empty where none."""
    count = sum(one.is_off for one in study.figures)
    return "" if count == 0 else "1 figure off" if count == 1 else f"{count} figures off"


def _grouped(findings: tuple[Finding, ...]) -> tuple[Group, ...]:
    together: dict[tuple[Kind, str, str], list[Finding]] = {}
    for finding in findings:
        why = finding.accepted.why if finding.accepted is not None else ""
        together.setdefault((finding.kind, finding.sentence, why), []).append(finding)
    return tuple(Group(tuple(alike)) for alike in together.values())
