"""What becomes of a sequence when the model is built, in plain words and in JSON."""

from __future__ import annotations

from typing import Any

from core.document.lengths import shown_length
from core.document.project import Gearing, Project
from core.findings.sentences import Names, seconds
from core.tolerance.dimensions import Dimension, Sort
from core.tolerance.measures import What
from core.tolerance.spread import Cause, Spread, Spreads
from core.tolerance.workshop import turns, usual_of, workshop_of
from core.units import format_angle, number

NOTHING = 5e-4
"""Millimetres: less reads as nought."""
ENOUGH = 0.95
"""A sequence of which fewer models work is told as something found."""
DROWNS = "It drowns in what it may be off: set it by a stop."


def holds_up(found: Spreads) -> bool:
    """Whether nothing clashes as drawn, enough models would work, and no over-centre offset drowns."""
    return found.works >= ENOUGH and not found.clashes and not any(one.drowns for one in found.spreads)


def to_json(found: Spreads) -> dict[str, Any]:
    return {
        "id": found.sequence,
        "models": found.models,
        "together": number(found.together),
        "works": number(found.works),
        "error": number(found.error),
        "clashes": found.clashes,
        **({} if found.jams is None else {"jams": number(found.jams)}),
        "matters": None if found.matters is None else _cause_json(found.matters),
        "spreads": [_spread_json(one) for one in found.spreads],
    }


def _spread_json(one: Spread) -> dict[str, Any]:
    told: dict[str, Any] = {"what": str(one.what), "of": list(one.of)}
    told |= {key: number(getattr(one, key)) for key in ("time", "drawn", "worst", "usual", "low", "high")}
    told |= {key: getattr(one, key) for key in ("least", "most") if getattr(one, key) is not None}
    return told | {
        "works": number(one.works),
        "error": number(one.error),
        "drowns": one.drowns,
        "causes": [_cause_json(cause) for cause in one.causes],
    }


def _cause_json(cause: Cause) -> dict[str, Any]:
    one = cause.dimension
    told = {"sort": str(one.sort), "of": one.of, "body": one.body, "within": number(one.within)}
    if one.degrees:
        told |= {"unit": "deg"}
    return told | {"share": number(cause.share)}


def to_text(project: Project, found: Spreads) -> str:
    """A paragraph, the things that have to be so, the weakest first, and where parts come to stand."""
    names = Names(project)
    judged = [one for one in found.spreads if one.what is not What.PLACE]
    places = [one for one in found.spreads if one.what is What.PLACE]
    lines = [summary(project, found), *(f"  {sentence(one, project)}" for one in judged)]
    if places:
        lines.append("  At the end, of 97 models in 100:")
        lines += [
            f"    {names(one.of[0])} stands within {shown_length(project, one.high)} of its place." for one in places
        ]
    return "\n".join(lines)


def summary(project: Project, found: Spreads) -> str:
    """How many models would work, give or take one standard error, and on what it hangs."""
    if found.jams is not None:
        return f"It jams as drawn at {seconds(found.jams)}, so that no model would work: put that right first."
    give = f", give or take {round(found.error * found.models)}" if found.error * found.models >= 0.5 else ""
    said = [f"Of {found.models} models {_count(found.works, found.models)} would work as drawn{give}."]
    if found.clashes:
        clash = "a clash" if found.clashes == 1 else f"{found.clashes} clashes"
        said = [f"As drawn it has {clash}, to be put right first; but for that, {_lower(said[0])}"]
    if apart := round((1.0 - found.together) * found.models):
        which = f"{apart} could not" if apart < found.models else "None of them could"
        said.append(f"{which} be put together and driven all the way.")
    if found.matters is not None:
        share = round(100 * found.matters.share)
        said.append(f"Most hangs on {dimension_words(found.matters.dimension, project)} ({share} %).")
    return " ".join(said)


def _lower(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]


def _count(share: float, models: int) -> str:
    count = round(share * models)
    return "all" if count == models else "none" if count == 0 else str(count)


def sentence(one: Spread, project: Project) -> str:
    """What is drawn, how far it may be off, and in how many models it is as it has to be."""
    said = f"{what_words(one, project)}: {drawn_words(one, project)}; {_off(one, project)}"
    if one.drowns:
        return f"{said}. {DROWNS}"
    return f"{said}. {_share(one)}"


def what_words(one: Spread, project: Project) -> str:
    """`Brace elbow past the line, 0.00 s`."""
    names = Names(project)
    match one.what:
        case What.GAP:
            return f"{names.listed(one.of)}, {seconds(one.time)}"
        case What.LATCH:
            return f"{names(one.of[0])} takes hold, {seconds(one.time)}"
        case What.TARGET:
            return f"{names(one.of[1])} where it ought to be, {seconds(one.time)}"
        case What.OVER_CENTRE:
            return f"{names(one.of[0])} past the line, {seconds(one.time)}"
        case What.PLACE:
            return f"{names(one.of[0])} at the end"


def drawn_words(one: Spread, project: Project) -> str:
    """How it is as drawn, and how it has to be."""
    match one.what:
        case What.GAP:
            return f"{shown_length(project, one.drawn)} apart"
        case What.OVER_CENTRE:
            return f"by {shown_length(project, one.drawn)}"
        case _:
            off = "in place" if one.drawn < NOTHING else f"{shown_length(project, one.drawn)} off"
            return off + (f", {shown_length(project, one.most)} allowed" if one.most else "")


def _off(one: Spread, project: Project) -> str:
    return f"as built ±{shown_length(project, one.usual)}, at the very worst ±{shown_length(project, one.worst)}"


def _share(one: Spread) -> str:
    return "Every model has it so." if one.works == 1.0 else f"{share_words(one)} models in 100 have it so."


def share_words(one: Spread) -> str:
    """How many models in 100, and one standard error of that: `92.4 ± 0.8`."""
    return f"{100 * one.works:.1f}" + (f" ± {100 * one.error:.1f}" if one.error > 0.0 else "")


def dimension_words(one: Dimension, project: Project) -> str:
    """`the hole of Brace jack in Keel and bay walls`, `the length of Door rod`."""
    names = Names(project)
    match one.sort:
        case Sort.HOLE:
            return f"the hole of {names(one.of)} in {names(one.body)}"
        case Sort.PLAY:
            return f"the play of {names(one.of)}"
        case Sort.LENGTH:
            return f"the length of {names(one.of)}"
        case Sort.BACKLASH:
            return f"the backlash of {names(one.of)}"
        case Sort.RESOLUTION | Sort.HYSTERESIS:
            return f"the {one.sort} of {names(one.of)}"
        case Sort.EDGE:
            return f"the edges of {names(one.of)}"


def workshop_words(project: Project) -> str:
    """On what it rests."""
    return " ".join(one for one in (_made_words(project), _driven_words(project)) if one)


def _driven_words(project: Project) -> str:
    """How exactly gearings and drives are taken to come to a value, where there are any of which nothing is said."""
    said = []
    if any(isinstance(one, Gearing) and one.backlash is None for one in project.connections):
        said.append(f"gearings have {format_angle(workshop_of(project).backlash)} of backlash")
    silent = [one for one in project.drives if None in (one.resolution, one.hysteresis)]
    for degrees in (True, False):
        kind = [one for one in silent if turns(project, one) is degrees]
        if kind:
            usual = usual_of(project, kind[0])
            steps, both = (_term(project, one, degrees=degrees) for one in (usual.resolution, usual.hysteresis))
            what = "drives of pivots" if degrees else "drives of jacks and slides"
            said.append(f"{what} come to a value in steps of {steps} and differ by {both} between both sides")
    if not said:
        return ""
    words = "; ".join(said)
    return f"{words[:1].upper()}{words[1:]} where nothing else is said."


def _term(project: Project, value: float, *, degrees: bool) -> str:
    return format_angle(value) if degrees else shown_length(project, value)


def _made_words(project: Project) -> str:
    workshop = workshop_of(project)
    play = shown_length(project, workshop.play)
    return (
        f"Holes and edges are {workshop.made} and pins have {play} of play where nothing else is said; what is made "
        "scatters normally, three standard deviations to its tolerance, and a pin lies against its hole on a side that "
        "is not known."
    )
