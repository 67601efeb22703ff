"""A figure's result in the contract's JSON, and as a sentence a builder understands."""

from __future__ import annotations

from types import MappingProxyType
from typing import Any

from core.document.lengths import other_unit, shown_amount, shown_elsewhere, shown_length, small_unit
from core.document.names import name_of
from core.document.project import Project
from core.figures.besides import besides_sentence
from core.figures.besides import to_json as beside_to_json
from core.figures.conflicts import Conflict, Kind
from core.figures.result import FigureResult
from core.units import format_angle, format_length, number

FINE = MappingProxyType({"mm": 3, "in": 4, "deg": 3})
"""Decimals of sizes that stand beside each other to be compared."""


def to_json(result: FigureResult) -> dict[str, Any]:
    """One element of the `figures` that `check --json` prints; `trouble` stands only where there is no value."""
    told: dict[str, Any] = {
        "id": result.figure.id,
        "model": number(result.model),
        "wanted": number(result.wanted),
        "off": number(result.off),
        "off_full_size": number(result.off_full_size),
        "within_published": result.within_published,
        "within_shop": result.within_shop,
    }
    allowed = {"tolerance": result.tolerance, "shop": result.shop}
    told |= {key: [number(one.below), number(one.above)] for key, one in allowed.items() if one is not None}
    told |= beside_to_json(result)
    return told | ({"trouble": result.trouble} if result.trouble else {})


def both_units(project: Project, value: float, result: FigureResult, *, scale: float = 1.0) -> str:
    """A value in millimetres and inches, the aircraft's own family first, at full size where `scale` says so:
    `26.38 mm, 1.0386 in`."""
    if result.unit == "deg":
        return format_angle(value, decimals=FINE["deg"])
    units = (small_unit(project), other_unit(project))
    return ", ".join(format_length(value * scale, unit=unit, decimals=FINE[unit]) for unit in units)


def sentence(result: FigureResult, project: Project) -> str:
    """What the model has, what was published, how far off that is at both sizes, whether either allows it, and what has
    to be known beside it."""
    return f"{_compared(result, project)} {besides_sentence(result, project)}".rstrip()


def _compared(result: FigureResult, project: Project) -> str:
    name = name_of(result.figure)
    if result.model is None:
        return f"{name} cannot be measured. {result.trouble}"
    model = shown_amount(project, result.model, result.unit)
    if result.wanted is None or result.off is None:
        return f"{name} is {model}."
    off = shown_amount(project, abs(result.off), result.unit, finer=1)
    if off == shown_amount(project, 0.0, result.unit):
        return f"{name} is {model}, as published."
    way = "more than" if result.off > 0.0 else "short of"
    if result.unit == "mm":
        off += f" ({_besides(result, project)})"
    wanted = shown_amount(project, result.wanted, result.unit)
    return f"{name} is {model}, {off} {way} {wanted}{_verdict(result)}."


def conflict_to_json(conflict: Conflict) -> dict[str, Any]:
    """One element of `figure_conflicts`."""
    return {
        "kind": str(conflict.kind),
        "figures": list(conflict.figures),
        "off": number(conflict.off),
        "allowed": number(conflict.allowed),
    }


def conflict_sentence(conflict: Conflict, project: Project) -> str:
    """What two or more figures contradict each other in."""
    figures = {one.id: one for one in project.figures}
    names = [figures[one].name or one for one in conflict.figures if one in figures]
    amounts = (abs(conflict.off), conflict.allowed)
    off, allowed = (shown_amount(project, value, conflict.unit, finer=1) for value in amounts)
    beyond = f"{off} apart, and their figures allow {allowed}"
    match conflict.kind:
        case Kind.CHAIN:
            way = "more" if conflict.off > 0.0 else "less"
            together = f"{' + '.join(names[1:])} come to {off} {way} than the overall {names[0]}"
            return f"{together}; their figures allow {allowed}."
        case Kind.SIDES:
            return f"{' and '.join(names)} differ between left and right: {beyond}."
    sources = [figures[one].source for one in conflict.figures if one in figures and figures[one].source]
    said = f" ({' against '.join(sources)})" if len(sources) == 2 else ""
    return f"Two figures of one size differ{said}: {' and '.join(names)} are {beyond}."


def _besides(result: FigureResult, project: Project) -> str:
    """How far it is off in the other unit family, and on the prototype in both where that is what was published."""
    said = shown_elsewhere(project, abs(result.off or 0.0), finer=1)
    if result.off_full_size is None or not result.figure.full_size:
        return said
    full = abs(result.off_full_size)
    return f"{said}; {shown_length(project, full)}, {shown_elsewhere(project, full)} at full size"


def _verdict(result: FigureResult) -> str:
    tolerances = (("the published tolerance", result.within_published), ("the workshop's", result.within_shop))
    said = [f"{'within' if held else 'outside'} {what}" for what, held in tolerances if held is not None]
    return ": " + ", ".join(said) if said else ""
