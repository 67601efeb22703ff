"""A figure's row in the table: the model's beside what was published, at both sizes and in both unit families."""

from __future__ import annotations

from core.document.lengths import small_unit
from core.document.names import name_of
from core.document.project import Figure, Project
from core.figures.besides import beside_words
from core.figures.result import FigureResult
from core.figures.told import FINE, both_units
from core.units import Tolerance, format_tolerance

HEADINGS = ("Figure", "Model", "Published", "Off", "Off, full size", "Published ±", "Workshop ±")
UNKNOWN = "…"
NONE = "–"


def row_of(project: Project, figure: Figure, result: FigureResult | None) -> tuple[str, ...]:
    """The texts under the headings; what is not known yet is dotted."""
    name = name_of(figure)
    if result is None:
        return (name, *(UNKNOWN,) * (len(HEADINGS) - 1))
    scale = 1.0 if result.unit == "deg" else project.aircraft.scale
    return (
        name,
        _model(project, result),
        _told(project, result.wanted, result),
        _told(project, result.off, result),
        _told(project, result.off, result, scale),
        _verdict(project, result, result.tolerance, held=result.within_published),
        _verdict(project, result, result.shop, held=result.within_shop),
    )


def _model(project: Project, result: FigureResult) -> str:
    """What the model has, and in a word what has to be known of it."""
    beside = beside_words(project, result)
    return _told(project, result.model, result) + (f"\n{beside}" if beside else "")


def _told(project: Project, value: float | None, result: FigureResult, scale: float = 1.0) -> str:
    return NONE if value is None else both_units(project, value, result, scale=scale).replace(", ", "\n")


def _verdict(project: Project, result: FigureResult, tolerance: Tolerance | None, *, held: bool | None) -> str:
    """`within` or `outside`, and of what."""
    if tolerance is None:
        return "none given"
    unit = "deg" if result.unit == "deg" else small_unit(project)
    verdict = NONE if held is None else "✓ within" if held else "✗ outside"
    return f"{verdict}\n{format_tolerance(tolerance, unit=unit, decimals=FINE[unit])}"
