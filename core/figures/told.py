"""A figure's result in the contract's JSON, and as a sentence a builder understands."""

from __future__ import annotations

from functools import partial
from typing import Any

from core.document.project import Project
from core.figures.besides import besides_sentence
from core.figures.besides import to_json as beside_to_json
from core.figures.conflicts import Conflict, Kind
from core.figures.result import FigureResult
from core.units import DECIMALS, format_angle, format_length


def to_json(result: FigureResult) -> dict[str, Any]:
    """One element of the `figures` that `check --json` prints; `trouble` stands only where there is no value."""
    told: dict[str, Any] = {
        "id": result.figure.id,
        "model": _number(result.model),
        "wanted": _number(result.wanted),
        "off": _number(result.off),
        "off_full_size": _number(result.off_full_size),
        "within_published": result.within_published,
        "within_shop": result.within_shop,
    }
    allowed = {"tolerance": result.tolerance, "shop": result.shop}
    told |= {key: [_number(one.below), _number(one.above)] for key, one in allowed.items() if one is not None}
    told |= beside_to_json(result, _number)
    return told | ({"trouble": result.trouble} if result.trouble else {})


def both_units(value: float, result: FigureResult, *, scale: float = 1.0) -> str:
    """A value in millimetres and inches, at full size where `scale` says so: `26.38 mm, 1.039 in`."""
    if result.unit == "deg":
        return format_angle(value, decimals=3)
    return f"{format_length(value * scale, decimals=3)}, {format_length(value * scale, unit='in', decimals=4)}"


def sentence(result: FigureResult, project: Project) -> str:
    """What the model has, what was published, how far off that is at both sizes, whether either allows it, and what has
    to be known beside it."""
    beside = besides_sentence(result, project, partial(_shown, result=result, project=project))
    return f"{_compared(result, project)} {beside}".rstrip()


def _compared(result: FigureResult, project: Project) -> str:
    name = result.figure.name or result.figure.id
    if result.model is None:
        return f"{name} cannot be measured. {result.trouble}"
    model = _shown(result.model, result, project)
    if result.wanted is None or result.off is None:
        return f"{name} is {model}."
    off = _shown(abs(result.off), result, project, finer=1)
    if off == _shown(0.0, result, project):
        return f"{name} is {model}, as published."
    way = "more than" if result.off > 0.0 else "short of"
    if result.unit == "mm":
        off += f" ({_besides(result, project)})"
    wanted = _shown(result.wanted, result, project)
    return f"{name} is {model}, {off} {way} {wanted}{_verdict(result)}."


def conflict_to_json(conflict: Conflict) -> dict[str, Any]:
    """One element of `figure_conflicts`."""
    return {
        "kind": str(conflict.kind),
        "figures": list(conflict.figures),
        "off": _number(conflict.off),
        "allowed": _number(conflict.allowed),
    }


def conflict_sentence(conflict: Conflict, project: Project) -> str:
    """What two or more figures contradict each other in."""
    figures = {one.id: one for one in project.figures}
    names = [figures[one].name or one for one in conflict.figures if one in figures]
    off, allowed = (_amount(value, conflict.unit, project) for value in (abs(conflict.off), conflict.allowed))
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
    other = "mm" if project.length_unit in ("in", "ft") else "in"

    def elsewhere(value: float, *, finer: int) -> str:
        return format_length(abs(value), unit=other, decimals=DECIMALS[other] + finer)

    said = elsewhere(result.off or 0.0, finer=1)
    if result.off_full_size is None or not result.figure.full_size:
        return said
    full = _shown(abs(result.off_full_size), result, project)
    return f"{said}; {full}, {elsewhere(result.off_full_size, finer=0)} at full size"


def _verdict(result: FigureResult) -> str:
    tolerances = (("the published tolerance", result.within_published), ("the workshop's", result.within_shop))
    said = [f"{'within' if held else 'outside'} {what}" for what, held in tolerances if held is not None]
    return ": " + ", ".join(said) if said else ""


def _shown(value: float, result: FigureResult, project: Project, *, finer: int = 0) -> str:
    """In the project's unit, to as many places as it is read in, or `finer` places more."""
    return _amount(value, result.unit, project, finer=finer)


def _amount(value: float, unit: str, project: Project, *, finer: int = 1) -> str:
    if unit == "deg":
        return format_angle(value, decimals=2 + finer)
    return format_length(value, unit=project.length_unit, decimals=DECIMALS[project.length_unit] + finer)


def _number(value: float | None) -> float | None:
    """A millionth is finer than anything here is known, and there is no minus nought."""
    return None if value is None else round(value, 6) + 0.0
