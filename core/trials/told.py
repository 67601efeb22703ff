"""What trials come to, in plain words and in JSON."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from core.document.names import name_of
from core.document.project import Project, Step
from core.findings.sentences import joined, seconds
from core.report import finding_to_json
from core.trials.fault import Back, Fault, Late, NotEngaging, NotReleasing, Slow, Stuck, Together, parts_of
from core.trials.trying import Outcome
from core.units import number

Json = dict[str, Any]
PAIR = 2
SOME, MINUTES = 10.0, 95.0
"""Seconds from which on tens are told, and minutes."""


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
    told = {} if one.together is None else {"together": [finding_to_json(finding) for finding in one.together]}
    return {
        "fault": fault_to_json(one.trial.fault),
        "waits": one.trial.waits,
        "words": one.words,
        "seconds": number(one.seconds),
        "new": [finding_to_json(finding) for finding in compared.new],
        "worse": [finding_to_json(each.finding) | {"was": finding_to_json(each.was)} for each in compared.worse],
        "gone": [finding_to_json(finding) for finding in compared.gone],
        **told,
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
        case Together():
            return {"kind": "together", "faults": [fault_to_json(one) for one in fault.faults]}


def to_text(project: Project, tried: Iterable[Tried]) -> str:
    """A paragraph a sequence: what brings anything with all that it brings, and the rest in a line each."""
    heading = f"{project.aircraft.name}, scale 1:{project.aircraft.scale:g}"
    return "\n\n".join([heading, *(_paragraph(one, project) for one in tried)]) + "\n"


def _paragraph(tried: Tried, project: Project) -> str:
    sequence = next(one for one in project.sequences if one.id == tried.sequence)
    lines = [f"{name_of(sequence)}: {_count(tried.outcomes)}"]
    for place, one in enumerate(tried.outcomes, 1):
        lines.append(f"  {place}. {one.words} ({seconds(one.seconds)}): {verdict(one)}.")
        lines += [f"     {line}" for line in _findings(one)]
        if one.never:
            lines.append(f"     never begins: {joined(_steps(one, sequence.steps))}")
    return "\n".join(lines)


def _count(outcomes: Sequence[Outcome]) -> str:
    """How many were tried, and how many bring anything; of several at once, anything that none of them brings alone."""
    several = any(each.together is not None for each in outcomes)
    pairs = all(len(parts_of(one.trial.fault)) == PAIR for one in outcomes)
    one, many = ("pair of faults", "pairs of faults") if pairs else ("fault", "faults")
    harmful = sum(bool(each.compared.harmful if each.together is None else each.together) for each in outcomes)
    count = f"1 {one} tried" if len(outcomes) == 1 else f"{len(outcomes)} {many} tried"
    brings = "none brings" if harmful == 0 else "1 brings" if harmful == 1 else f"{harmful} bring"
    return f"{count}, {brings} " + ("anything that neither fault brings alone" if several else "anything new")


def _findings(one: Outcome) -> list[str]:
    """All that a fault brings; of several at once what they bring only together, and how much else."""
    if one.together is not None:
        told = [f"only together, {finding.kind}: {finding.sentence}" for finding in one.together]
        rest = len(one.compared.harmful) - len(one.together)
        return [*told, *([f"and {rest} that one of them brings alone"] if rest > 0 else [])]
    told = [f"new, {finding.kind}: {finding.sentence}" for finding in one.compared.new]
    return told + [
        f"worse, {each.finding.kind}: {each.finding.sentence} Without the fault: {each.was.sentence}"
        for each in one.compared.worse
    ]


def _steps(one: Outcome, steps: tuple[Step, ...]) -> list[str]:
    return [name_of(step) for step in steps if step.id in one.never]


def duration_words(wanted: float) -> str:
    """How long something takes, as well as one knows beforehand."""
    if wanted < SOME:
        return f"about {max(1, round(wanted))} s"
    return f"about {10 * round(wanted / 10.0)} s" if wanted < MINUTES else f"about {round(wanted / 60.0)} min"


def verdict(one: Outcome) -> str:
    """In a few words: how many findings are new, worse and gone, and how many of these come only of several faults."""
    compared = one.compared
    counts = ((len(compared.new), "new"), (len(compared.worse), "worse"), (len(compared.gone), "gone"))
    told = ", ".join(f"{count} {word}" for count, word in counts if count) or "nothing new"
    return f"{told}; {len(one.together)} only together" if one.together else told
