"""Published figures against the model: what it has in their place, and how far off that is."""

from __future__ import annotations

import math

import msgspec

from core.document.figure_checks import is_angle, moments_of, points_of
from core.document.names import Names, names_of
from core.document.project import Figure, Project
from core.errors import BayfoldError
from core.figures.measure import MotionFor, NotMeasured, angle_between, connection_value, point_at, poses_at
from core.figures.result import FigureResult
from core.units import parse_angle, parse_length

ROUNDING = 1e-9
"""How far, in millimetres or degrees, calculating may put a figure beyond a tolerance that it just meets."""


def evaluate(project: Project, motion_for: MotionFor) -> tuple[FigureResult, ...]:
    """Every figure of the project, in its order; `motion_for` gives the solved motion of a sequence by its id.

    A figure that the model has no value for says why in `trouble`.
    """
    names = names_of(project)
    return tuple(_evaluated(project, names, figure, motion_for) for figure in project.figures)


def _evaluated(project: Project, names: Names, figure: Figure, motion_for: MotionFor) -> FigureResult:
    angle = is_angle(figure, names)
    unit = "deg" if angle else "mm"
    try:
        wanted = _printed(project, figure.published, angle=angle, full_size=figure.full_size)
        plus_minus = _printed(project, figure.plus_minus, angle=angle, full_size=figure.full_size)
        shop = _printed(project, figure.shop, angle=angle, full_size=False)
    except BayfoldError as error:
        return FigureResult(figure=figure, unit=unit, trouble=f"It cannot be read: {error}.")
    try:
        model = _model(project, names, figure, motion_for)
    except NotMeasured as reason:
        return FigureResult(figure=figure, unit=unit, wanted=wanted, trouble=str(reason))
    except msgspec.ValidationError:
        trouble = "It is not clear between which points or moments it is measured."
        return FigureResult(figure=figure, unit=unit, wanted=wanted, trouble=trouble)
    except BayfoldError as error:
        return FigureResult(figure=figure, unit=unit, wanted=wanted, trouble=f"{error}.")
    if wanted is None:
        return FigureResult(figure=figure, unit=unit, model=model)
    off = _difference(model, wanted, angle=angle)
    return FigureResult(
        figure=figure,
        unit=unit,
        model=model,
        wanted=wanted,
        off=off,
        off_full_size=off if angle else off * project.aircraft.scale,
        within_published=_within(off, plus_minus),
        within_shop=_within(off, shop),
    )


def _printed(project: Project, text: str | None, *, angle: bool, full_size: bool) -> float | None:
    """A printed size at model size; one that says "full size" itself is the prototype's too."""
    if text is None:
        return None
    if angle:
        return parse_angle(text)
    millimetres = parse_length(text, unit=project.length_unit, scale=project.aircraft.scale)
    says_so = millimetres != parse_length(text, unit=project.length_unit)
    return millimetres / project.aircraft.scale if full_size and not says_so else millimetres


def _model(project: Project, names: Names, figure: Figure, motion_for: MotionFor) -> float:
    if figure.quantity == "travel":
        return _travel(project, names, figure, motion_for)
    points = [point_at(project, point, motion_for) for point in points_of(figure)]
    if figure.quantity == "distance":
        return math.dist(*points[:2])
    return angle_between(points)


def _travel(project: Project, names: Names, figure: Figure, motion_for: MotionFor) -> float:
    """How far the connection goes from the one moment to the other, whichever way: published strokes have no sign."""
    connection = names.connections.get(figure.of or "")
    bodies = getattr(connection, "bodies", None)
    if connection is None or bodies is None:
        raise NotMeasured("There is nothing of that name that travels.")
    values = []
    for moment in moments_of(figure):
        first, second = poses_at(project, moment, bodies, motion_for)
        values.append(connection_value(connection, first, second))
    return abs(values[1] - values[0])


def _difference(model: float, wanted: float, *, angle: bool) -> float:
    """Model less wanted; a direction of 179° is 2° from one of -179°."""
    off = model - wanted
    return (off + 180.0) % 360.0 - 180.0 if angle and abs(off) > 180.0 else off


def _within(off: float, tolerance: float | None) -> bool | None:
    return None if tolerance is None else abs(off) <= tolerance + ROUNDING
