"""What is printed of a figure: its size, the tolerance printed with it, and the shop's."""

from __future__ import annotations

from functools import lru_cache

from msgspec.structs import replace

from core.document.lengths import length_unit
from core.document.measured import is_angle
from core.document.names import ids_of
from core.document.project import Figure, Project
from core.errors import UnreadableQuantity
from core.units import (
    Measure,
    Tolerance,
    parse_angle_tolerance,
    parse_length_tolerance,
    parse_measured_angle,
    parse_measured_length,
    with_unit,
)

KEPT = 512
"""Sizes and tolerances that are read once: every proposal of the hand has all figures checked."""
_length = lru_cache(maxsize=KEPT)(parse_measured_length)
_length_tolerance = lru_cache(maxsize=KEPT)(parse_length_tolerance)


def published(project: Project, figure: Figure, *, angle: bool) -> Measure | None:
    """The printed size at model size, with its tolerance where that is printed beside it; None where none is.

    Raises UnreadableQuantity where it is not understood.
    """
    if figure.published is None:
        return None
    if angle:
        return parse_measured_angle(figure.published)
    return _length(figure.published, unit=length_unit(project), scale=_scale(project), full_size=figure.full_size)


def plus_minus(project: Project, figure: Figure, *, angle: bool) -> Tolerance | None:
    """The tolerance that is printed on its own, brought to model size like the figure."""
    return _tolerance(project, figure.plus_minus, angle=angle, full_size=figure.full_size)


def shop(project: Project, figure: Figure, *, angle: bool) -> Tolerance | None:
    """How far the workshop may be off, at model size unless it says otherwise."""
    return _tolerance(project, figure.shop, angle=angle, full_size=False)


def printed_tolerance(project: Project, figure: Figure, *, angle: bool) -> Tolerance | None:
    """The published tolerance, wherever it is written."""
    size = published(project, figure, angle=angle)
    own = size.tolerance if size is not None else None
    apart = plus_minus(project, figure, angle=angle)
    if own is not None and apart is not None:
        text = figure.plus_minus or ""
        wrong, right = "the tolerance is written twice", "beside the published size, or here"
        raise UnreadableQuantity(text, 0, len(text), wrong, right)
    return own or apart


def in_another_unit(project: Project, unit: str) -> tuple[Figure, ...]:
    """The figures as they are written where lengths are in another unit: those that rest on the old one say it."""
    ids, there = ids_of(project), replace(project, length_unit=unit)
    return tuple(one if is_angle(one, ids) else _saying_its_unit(project, there, one) for one in project.figures)


def _saying_its_unit(project: Project, there: Project, figure: Figure) -> Figure:
    said = {}
    for key, read in (("published", published), ("plus_minus", plus_minus), ("shop", shop)):
        try:
            if read(project, figure, angle=False) != read(there, figure, angle=False):
                said[key] = with_unit(getattr(figure, key), length_unit(project))
        except UnreadableQuantity:
            continue  # what is not understood is told where it stands
    return replace(figure, **said) if said else figure


def _scale(project: Project) -> float:
    """A scale of nothing is a problem of its own, told where it stands."""
    return project.aircraft.scale if project.aircraft.scale > 0.0 else 1.0


def _tolerance(project: Project, text: str | None, *, angle: bool, full_size: bool) -> Tolerance | None:
    if text is None:
        return None
    if angle:
        return parse_angle_tolerance(text)
    return _length_tolerance(text, unit=length_unit(project), scale=_scale(project), full_size=full_size)
