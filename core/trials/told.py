"""What trials come to, in plain words and in JSON."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from core.document.names import name_of
from core.document.project import Project, Step
from core.findings.sentences import joined, seconds
from core.report import finding_to_json, number
from core.trials.every import Outcome
from core.trials.fault import Back, Fault, Late, NotEngaging, NotReleasing, Slow, Stuck

Json = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """What was tried of one sequence."""

    sequence: str
    outcomes: Sequence[Outcome]


def to_json(project: Project, tried: Iterable[Tried]) -> Json:
    """The object that `trials --json` prints."""
    return {
        "project": project.aircraft.name,
        "sequences": [
            {"id": one.sequence, "trials": [_outcome(outcome) for outcome in one.outcomes]} for one in tried
        ],
    }  # fmt: skip


def _outcome(one: Outcome) -> Json:
    compared = one.compared
    return {
        "fault": fault_to_json(one.trial.fault),
        "waits": one.trial.waits,
        "words": one.words,
        "seconds": number(one.seconds),
        "new": [finding_to_json(finding) for finding in compared.new],
        "worse": [finding_to_json(each.finding) | {"was": finding_to_json(each.was)} for each in compared.worse],
        "gone": [finding_to_json(finding) for finding in compared.gone],
        **({"never": list(one.never)} if one.never else {}),
    }


def fault_to_json(fault: Fault) -> Json:
    match fault:
        case Late():
            return {"kind": "late", "drive": fault.drive, "by": number(fault.seconds)}
        case Slow():
            return {"kind": "slow", "drive": fault.drive, "share": number(fault.share)}
        case Stuck():
            return {"kind": "stuck", "drive": fault.drive, "at": number(fault.at)}
        case NotEngaging():
            return {"kind": "not-engaging", "latch": fault.latch}
        case NotReleasing():
            return {"kind": "not-releasing", "latch": fault.latch}
        case Back():
            return {"kind": "back", "at": number(fault.at)}


def to_text(project: Project, tried: Iterable[Tried]) -> str:
    """A paragraph a sequence: what brings anything with all that it brings, and the rest in a line each."""
    heading = f"{project.aircraft.name}, scale 1:{project.aircraft.scale:g}"
    return "\n\n".join([heading, *(_paragraph(one, project) for one in tried)]) + "\n"


def _paragraph(tried: Tried, project: Project) -> str:
    sequence = next(one for one in project.sequences if one.id == tried.sequence)
    harmful = sum(bool(one.compared.harmful) for one in tried.outcomes)
    count = "1 fault tried" if len(tried.outcomes) == 1 else f"{len(tried.outcomes)} faults tried"
    brings = "none brings" if harmful == 0 else "1 brings" if harmful == 1 else f"{harmful} bring"
    lines = [f"{name_of(sequence)}: {count}, {brings} anything new"]
    for place, one in enumerate(tried.outcomes, 1):
        lines.append(f"  {place}. {one.words} ({seconds(one.seconds)}): {verdict(one)}.")
        lines += [f"     new, {finding.kind}: {finding.sentence}" for finding in one.compared.new]
        lines += [
            f"     worse, {each.finding.kind}: {each.finding.sentence} Without the fault: {each.was.sentence}"
            for each in one.compared.worse
        ]
        if one.never:
            lines.append(f"     never begins: {joined(_steps(one, sequence.steps))}")
    return "\n".join(lines)


def _steps(one: Outcome, steps: tuple[Step, ...]) -> list[str]:
    return [name_of(step) for step in steps if step.id in one.never]


def verdict(one: Outcome) -> str:
    """In a few words: how many findings are new, worse and gone."""
    compared = one.compared
    counts = ((len(compared.new), "new"), (len(compared.worse), "worse"), (len(compared.gone), "gone"))
    return ", ".join(f"{count} {word}" for count, word in counts if count) or "nothing new"
