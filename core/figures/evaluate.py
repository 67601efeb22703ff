"""Published figures against the model: what it has in their place, and how far off that is."""

from __future__ import annotations

import math

import msgspec

from core.document import figure_sizes
from core.document.measured import is_angle, moments_of, points_of
from core.document.names import Ids, ids_of
from core.document.project import Figure, Project
from core.errors import BayfoldError
from core.figures.diameters import diameter_of
from core.figures.gaps import gap_between
from core.figures.lengths import length_of
from core.figures.measure import (
    MotionFor,
    NotMeasured,
    angle_between,
    link_of,
    point_at,
    poses_at,
    value_at,
)
from core.figures.result import Beside, FigureResult
from core.figures.strokes import stroke_of
from core.units import Tolerance

ROUNDING = 1e-9
"""How far, in millimetres or degrees, calculating may put a figure beyond a tolerance that it just meets."""


def evaluate(project: Project, motion_for: MotionFor) -> tuple[FigureResult, ...]:
    """Every figure of the project, in its order; `motion_for` gives the solved motion of a sequence by its id.

    A figure that the model has no value for says why in `trouble`.
    """
    ids = ids_of(project)
    return tuple(_evaluated(project, ids, figure, motion_for) for figure in project.figures)


def _evaluated(project: Project, ids: Ids, figure: Figure, motion_for: MotionFor) -> FigureResult:
    angle = is_angle(figure, ids)
    unit = "deg" if angle else "mm"
    try:
        size = figure_sizes.published(project, figure, angle=angle)
        tolerance = figure_sizes.printed_tolerance(project, figure, angle=angle)
        shop = figure_sizes.shop(project, figure, angle=angle)
    except BayfoldError as error:
        return FigureResult(figure=figure, unit=unit, trouble=f"It cannot be read: {error}.")
    model, beside, trouble = _measured(project, ids, figure, motion_for)
    wanted = size.value if size is not None else None
    off = _difference(model, wanted, angle=angle) if model is not None and wanted is not None else None
    return FigureResult(
        figure=figure,
        unit=unit,
        model=model,
        wanted=wanted,
        off=off,
        off_full_size=off if angle or off is None else off * project.aircraft.scale,
        tolerance=tolerance,
        shop=shop,
        rounding=size.rounding if size is not None else 0.0,
        within_published=_within(off, tolerance),
        within_shop=_within(off, shop),
        beside=beside,
        trouble=trouble,
    )


def _measured(
    project: Project, ids: Ids, figure: Figure, motion_for: MotionFor
) -> tuple[float | None, Beside | None, str]:
    """What the model has and what is told beside it, or why it has not."""
    try:
        return *_model(project, ids, figure, motion_for), ""
    except NotMeasured as reason:
        return None, None, str(reason)
    except msgspec.ValidationError:
        return None, None, "It is not clear between which points or moments it is measured."
    except BayfoldError as error:
        return None, None, f"{error}."


def _model(project: Project, ids: Ids, figure: Figure, motion_for: MotionFor) -> tuple[float, Beside | None]:
    match figure.quantity:
        case "travel":
            return _travel(project, figure, motion_for), None
        case "stroke":
            return stroke_of(project, figure, motion_for)
        case "diameter":
            return diameter_of(project, figure)
        case "length":
            return length_of(project, ids, figure, motion_for)
        case "gap":
            return gap_between(project, *points_of(figure), motion_for=motion_for), None
    points = [point_at(project, point, motion_for) for point in points_of(figure)]
    return (math.dist(*points[:2]) if figure.quantity == "distance" else angle_between(points)), None


def _travel(project: Project, figure: Figure, motion_for: MotionFor) -> float:
    """How far the connection goes from the one moment to the other, whichever way: published strokes have no sign."""
    link, bodies = link_of(project, figure.of)
    begin, end = (value_at(link, poses_at(project, one, bodies, motion_for)) for one in moments_of(figure))
    return abs(end - begin)


def _difference(model: float, wanted: float, *, angle: bool) -> float:
    """Model less wanted; a direction of 179° is 2° from one of -179°."""
    off = model - wanted
    return (off + 180.0) % 360.0 - 180.0 if angle and abs(off) > 180.0 else off


def _within(off: float | None, tolerance: Tolerance | None) -> bool | None:
    return None if off is None or tolerance is None else tolerance.holds(off, ROUNDING)
