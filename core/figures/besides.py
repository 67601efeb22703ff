"""What is told beside a figure's size: what is left of a stroke, whether an outline is round, what a rod is made to."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from core.document.lengths import shown_amount
from core.document.names import by_id, name_of
from core.document.project import Jack, Project, Slot
from core.figures.result import FigureResult, MadeLength, Roundness, Sides, StrokeUse
from core.units import number

Amount = Callable[[float], str]
"""Millimetres or degrees for people."""


def to_json(result: FigureResult) -> dict[str, Any]:
    """The keys that a figure's element has beside the contract's; none of a figure that has nothing beside it."""
    match result.beside:
        case StrokeUse(used=used, available=available, left=left):
            told = {"used": number(used), "available": number(available)}
            return told | ({"left": [number(one) for one in left]} if left is not None else {})
        case Roundness(about=about, farthest=farthest, nearest=nearest) as one:
            hub = {"about": about} if about is not None else {}
            return {"round": one.is_round, "farthest": number(farthest), "nearest": number(nearest), **hub}
        case Sides(long=long, short=short):
            return {"long": number(long), "short": number(short)}
        case MadeLength(made=made, drawn=drawn):
            return {"made": number(made), "drawn": number(drawn)}
    return {}


def besides_sentence(result: FigureResult, project: Project) -> str:
    """One sentence; empty where nothing need be said."""

    def amount(value: float) -> str:
        return shown_amount(project, value, result.unit)

    match result.beside:
        case StrokeUse() as use:
            return _use(use, _ends(result, project), amount)
        case Roundness() as one if not one.is_round:
            pivots = {each.id: name_of(each) for each in project.connections}
            hub, far, near = pivots.get(one.about or "", "its middle"), amount(one.farthest), amount(one.nearest)
            return f"It is not round about {hub}: its outline reaches {far} at the farthest and {near} at the nearest."
        case Sides(long=long, short=short):
            return f"Its outline is {amount(long)} by {amount(short)}."
        case MadeLength(made=made, drawn=drawn):
            return f"It is made {amount(made)} long and drawn {amount(drawn)}."
    return ""


def beside_words(project: Project, result: FigureResult) -> str:
    """The same in a word or two, for a table; empty where nothing need be said."""
    match result.beside:
        case StrokeUse(used=used, available=available):
            if available is None:
                return "not limited"
            whole = result.figure.compared == "available"
            said = shown_amount(project, used if whole else available, result.unit)
            return f"{said} used" if whole else f"of {said}"
        case Roundness() as one if not one.is_round:
            return "not round"
        case Sides(short=short):
            return f"by {shown_amount(project, short, result.unit)}"
        case MadeLength(drawn=drawn):
            return f"drawn {shown_amount(project, drawn, result.unit)}"
    return ""


def _use(use: StrokeUse, ends: tuple[str, str], amount: Amount) -> str:
    if use.available is None or use.left is None:
        return f"It uses {amount(use.used)}, and nothing limits it."
    left = zip(use.left, ends, strict=True)
    said = [f"{amount(abs(one))} {'left' if one >= 0.0 else 'too far'} {end}" for one, end in left]
    return f"It uses {amount(use.used)} of {amount(use.available)}: {', '.join(said)}."


def _ends(result: FigureResult, project: Project) -> tuple[str, str]:
    """What the two ends of a travel are called."""
    one = by_id(project.connections, result.figure.of)
    if isinstance(one, Jack):
        return "when closed", "when open"
    return ("at its beginning", "at its end") if isinstance(one, Slot) else ("at its lower limit", "at its upper limit")
