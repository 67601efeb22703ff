"""A study told in JSON, to the letter of the file format's contract, and in plain words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from core.document.kept import plain
from core.document.names import name_of
from core.document.project import Acceptance, Project
from core.figures.conflicts import conflicts
from core.figures.result import FigureResult
from core.figures.told import conflict_sentence, conflict_to_json, sentence
from core.figures.told import to_json as figure_to_json
from core.findings.acceptance import unused
from core.findings.finding import Finding, Kind
from core.findings.remedies import cures_for, remedy_sentence
from core.findings.remedies import to_json as cure_to_json
from core.findings.sentences import Names, seconds
from core.interference.interference import Clearance
from core.motion.looseness import friction_joints
from core.motion.surplus import fights_in
from core.motion.trouble import Jam, Loose
from core.study import SequenceStudy, Study
from core.units import number

Json = dict[str, Any]
NEAREST_SHOWN = 5


def to_json(study: Study) -> Json:
    """The object that `check --json` prints."""
    return {
        "project": study.project.aircraft.name,
        "sequences": [_sequence(one) for one in study.sequences],
        **figures_to_json(study.project, study.figures),
        **({"accepted_in_vain": [_in_vain(one) for one in gone]} if (gone := _gone(study)) else {}),
    }


def figures_to_json(project: Project, results: Sequence[FigureResult]) -> Json:
    """The keys of what the figures came to, and of what they contradict each other in."""
    against = conflicts(project, results)
    told: Json = {"figures": [figure_to_json(one) for one in results]}
    return told | ({"figure_conflicts": [conflict_to_json(one) for one in against]} if against else {})


def _gone(study: Study) -> tuple[Acceptance, ...]:
    """Acceptances of what is found no longer; not known where only some sequences were studied."""
    if len(study.sequences) < len(study.project.sequences):
        return ()
    return unused(study.project, (finding for one in study.sequences for finding in (*one.findings, *one.accepted)))


def _in_vain(one: Acceptance) -> Json:
    named = {"bodies": list(one.bodies), "connections": list(one.connections), "drive": one.drive,
             "target": one.target, "step": one.step, "sequence": one.sequence}  # fmt: skip
    return {"kind": one.kind, **{key: value for key, value in named.items() if value}, "why": one.why}


def _sequence(study: SequenceStudy) -> Json:
    return {
        "id": study.sequence.id,
        "seconds": number(study.schedule.seconds),
        "frames": len(study.motion.times),
        "findings": [
            finding_to_json(finding) | _cures(study, finding) | _friction(study, finding) | _fighting(study, finding)
            for finding in study.findings
        ],
        **({"accepted": [_accepted(finding) for finding in study.accepted]} if study.accepted else {}),
        "clearances": [_clearance(one) for one in study.interference.clearances],
        **({"without_depth": list(unchecked)} if (unchecked := study.interference.without_depth) else {}),
    }


def _cures(study: SequenceStudy, finding: Finding) -> Json:
    cures = cures_for(study.motion, finding)
    return {"cures": [cure_to_json(one) for one in cures]} if cures else {}


def _friction(study: SequenceStudy, finding: Finding) -> Json:
    """The joints whose friction alone would hold what is loose."""
    for one in study.motion.troubles:
        if isinstance(one, Loose) and finding.kind is Kind.LOOSE and one.bodies == finding.bodies:
            joints = friction_joints(study.motion, one) if one.begin == finding.begin else ()
            if joints:
                return {"friction_at": list(joints)}
    return {}


def _fighting(study: SequenceStudy, finding: Finding) -> Json:
    """The drives that move one freedom and cannot agree, of a jam."""
    for one in study.motion.troubles:
        if isinstance(one, Jam) and finding.kind is Kind.JAMMED and one.time == finding.time:
            known = one.connections == finding.connections and study.motion.course is not None
            if fights := fights_in(study.motion, one) if known else ():
                return {"fighting": [list(drives) for drives in fights]}
    return {}


def _place(at: tuple[float, float] | None) -> list[float | None] | None:
    return None if at is None else [number(at[0]), number(at[1])]


def _clearance(one: Clearance) -> Json:
    return {"bodies": list(one.parts), "least": number(one.least), "time": number(one.time), "proved": one.proved}


def _accepted(finding: Finding) -> Json:
    """A finding that is lived with, and why."""
    return finding_to_json(finding) | {"why": finding.accepted.why if finding.accepted is not None else ""}


def finding_to_json(finding: Finding) -> Json:
    """One finding with the keys its kind has."""
    return {"kind": str(finding.kind), **_KEYS[finding.kind](finding)}


def _clash(one: Finding) -> Json:
    return {
        "bodies": list(one.bodies), "from": number(one.begin), "to": number(one.end), "worst": number(one.time),
        "overlap": number(one.area), "depth": number(one.amount), "at": _place(one.at), "step": one.step,
        **_other_view(one),
    }  # fmt: skip


def _other_view(one: Finding) -> Json:
    """Both views, and the place in the second, of two bodies that are drawn in different ones."""
    if one.other_view is None:
        return {}
    return {"views": [one.view, one.other_view], "other_at": _place(one.other_at)}


def _tight(one: Finding) -> Json:
    return {
        "bodies": list(one.bodies), "clearance": number(one.amount), "wanted": number(one.wanted),
        "time": number(one.time), "at": _place(one.at), "step": one.step, **_other_view(one),
    }  # fmt: skip


def _loose(one: Finding) -> Json:
    return {"bodies": list(one.bodies), "freedoms": one.count, "from": number(one.begin), "to": number(one.end)}


def _jammed(one: Finding) -> Json:
    return {
        "connections": list(one.connections), "bodies": list(one.bodies), "time": number(one.time),
        "to": number(one.end), "short_by": number(one.amount), "step": one.step,
    }  # fmt: skip


def _dead_centre(one: Finding) -> Json:
    return {
        "drive": one.drive, "connections": list(one.connections), "time": number(one.time),
        "distance": number(one.amount),
    }  # fmt: skip


def _travel(one: Finding) -> Json:
    limits = [number(limit) for limit in one.limits or ()]
    return {"connection": one.connections[0], "value": number(one.amount), "limits": limits, "time": number(one.time)}


def _redundant(one: Finding) -> Json:
    return {"connections": list(one.connections), "count": one.count}


def _latch(one: Finding) -> Json:
    return {"connection": one.connections[0], "miss": number(one.amount), "time": number(one.time)}


def _target(one: Finding) -> Json:
    return {"target": one.target, "body": one.bodies[0], "miss": number(one.amount), "time": number(one.time)}


def _early(one: Finding) -> Json:
    stands = {} if one.value is None else {"value": number(one.value), "short_by": number(one.amount)}
    needs = {} if one.need is None else {"needs": plain(one.need)}
    return {"step": one.step, **needs, **stands, "time": number(one.time), "holds_at": number(one.holds_at)}


_KEYS: dict[Kind, Callable[[Finding], Json]] = {
    Kind.CLASH: _clash,
    Kind.TIGHT: _tight,
    Kind.LOOSE: _loose,
    Kind.JAMMED: _jammed,
    Kind.DEAD_CENTRE: _dead_centre,
    Kind.TRAVEL: _travel,
    Kind.REDUNDANT: _redundant,
    Kind.LATCH: _latch,
    Kind.EARLY: _early,
    Kind.TARGET: _target,
}


def to_text(study: Study) -> str:
    """The same in plain words, a paragraph a sequence and one for the figures."""
    project = study.project
    names = Names(project)
    heading = f"{project.aircraft.name}, scale 1:{project.aircraft.scale:g}"
    paragraphs = [heading, *(_paragraph(one, project) for one in study.sequences)]
    paragraphs += figures_to_text(project, study.figures)
    if gone := _gone(study):
        paragraphs.append(
            "\n".join(["Accepted, and found no longer:", *(f"  {_vain_line(one, names)}" for one in gone)])
        )
    return "\n\n".join(paragraphs) + "\n"


def figures_to_text(project: Project, results: Sequence[FigureResult]) -> list[str]:
    """A paragraph of what the figures came to, and one of what they contradict each other in, where there are any."""
    told = [sentence(one, project) for one in results]
    against = [conflict_sentence(one, project) for one in conflicts(project, results)]
    headed = (("Published figures:", told), ("Published figures that contradict each other:", against))
    return ["\n".join([heading, *(f"  {line}" for line in lines)]) for heading, lines in headed if lines]


def _vain_line(one: Acceptance, names: Names) -> str:
    who = (*one.bodies, *one.connections, *(thing for thing in (one.drive, one.target) if thing is not None))
    return f"{Kind(one.kind).words}: {names.listed(who)} ({one.why})"


def _paragraph(study: SequenceStudy, project: Project) -> str:
    names = Names(project)
    frames = len(study.motion.times)
    title = name_of(study.sequence)
    lines = [
        f"{title}: {seconds(study.schedule.seconds)}, {frames} frames, {len(study.interference.pairs)} pairs checked"
    ]
    if study.interference.without_depth:
        who = names.listed(study.interference.without_depth)
        lines.append(f"  Not checked against what other views draw, since no depth is given: {who}.")
    if not study.findings:
        lines.append("  Nothing found.")
    for at, finding in enumerate(study.findings, 1):
        lines.append(f"  {at}. {finding.kind.words}: {finding.sentence}")
        if said := remedy_sentence(cures_for(study.motion, finding), study.motion, project):
            lines[-1] += f" {said}"
    if study.accepted:
        lines.append("  Accepted:")
        lines += [f"    {one.kind.words}: {one.sentence} {_reason(one)}" for one in study.accepted]
    clear = sorted(
        (one for one in study.interference.clearances if one.least > 0 and one.least >= one.wanted),
        key=lambda one: one.least,
    )
    if clear:
        lines.append("  Nearest that stay clear:")
        lines += [_clearance_line(one, names) for one in clear[:NEAREST_SHOWN]]
    return "\n".join(lines)


def _reason(finding: Finding) -> str:
    return f"Accepted: {finding.accepted.why}" if finding.accepted is not None else ""


def _clearance_line(one: Clearance, names: Names) -> str:
    proved = "proved between frames" if one.proved else "at the frames only"
    return f"    {names.length(one.least):>10}  {names.listed(one.parts)}, at {seconds(one.time)} ({proved})"
