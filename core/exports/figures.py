"""Figures beside the model's as comma-separated values."""

from __future__ import annotations

from collections.abc import Sequence

from core.document.lengths import plain_number, plain_unit
from core.document.names import name_of
from core.document.project import Figure, Project
from core.exports.table import FINER, table
from core.figures.besides import besides_sentence
from core.figures.result import FigureResult, StrokeUse
from core.figures.words import measured_words
from core.units import Tolerance

HEADER = (
    "figure", "measured", "unit", "model", "published at model size", "off", "off at full size",
    "published below", "published above", "within published", "workshop below", "workshop above", "within workshop",
    "used", "available", "left at the lower end", "left at the upper end", "as printed", "source", "sheet",
    "how it is known", "note", "remark",
)  # fmt: skip


def figures_table(project: Project, results: Sequence[FigureResult]) -> str:
    """A row a figure, lengths in the aircraft's unit and angles in degrees; what is not known is left empty."""
    return table(HEADER, (_row(project, one) for one in results))


def _row(project: Project, result: FigureResult) -> list[str]:
    figure, use = result.figure, result.beside if isinstance(result.beside, StrokeUse) else None
    left = (None, None) if use is None or use.left is None else use.left
    numbers = (
        [result.model, result.wanted, result.off, result.off_full_size],
        _bounds(result.tolerance),
        _bounds(result.shop),
        [use.used if use is not None else None, use.available if use is not None else None, *left],
    )
    told, published, shop, stroke = ([_number(project, one, result.unit) for one in each] for each in numbers)
    return [
        name_of(figure), measured_words(project, figure),
        "deg" if result.unit == "deg" else plain_unit(project),
        *told, *published, _yes(result.within_published), *shop, _yes(result.within_shop), *stroke,
        _as_printed(figure), figure.source, figure.sheet, figure.confidence, figure.note,
        result.trouble or besides_sentence(result, project),
    ]  # fmt: skip


def _as_printed(figure: Figure) -> str:
    """The published size and its tolerance, as they are written, and at which size that is."""
    size = figure.published or ""
    apart = figure.plus_minus.lstrip("± ") if figure.plus_minus is not None else ""
    mark = "" if not apart or apart[0] in "+-" else "± "
    words = f"{size} {mark}{apart}".strip() if apart else size
    return f"{words}, full size" if words and figure.full_size and "full size" not in words else words


def _bounds(tolerance: Tolerance | None) -> list[float | None]:
    return [None, None] if tolerance is None else [tolerance.below, tolerance.above]


def _number(project: Project, value: float | None, unit: str) -> str:
    if value is None:
        return ""
    return f"{round(value, 4) + 0.0:.4f}" if unit == "deg" else plain_number(project, value, FINER)


def _yes(held: bool | None) -> str:
    return "" if held is None else "yes" if held else "no"
