"""Checks of published figures: what they measure is there, and their lengths and angles can be read."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from core.document import figure_sizes
from core.document.json_text import shown
from core.document.names import DRIVEN, Names, names_of, problem
from core.document.problem import Place, Problem
from core.document.project import Figure, FigurePoint, Moment, Pivot, Project
from core.document.reference_checks import moment_problems
from core.errors import UnreadableQuantity
from core.units import Measure

POINTS = {"distance": (2,), "angle": (2, 3, 4), "gap": (2,)}


def figure_problems(project: Project) -> Iterator[Problem]:
    names = names_of(project)
    for index, figure in enumerate(project.figures):
        path: Place = ("figures", index)
        if figure.quantity == "travel":
            yield from _travel(names, path, figure)
        else:
            yield from _points(names, path, figure)
        yield from _printed(project, names, path, figure)


def moments_of(figure: Figure) -> tuple[Moment, Moment]:
    """The two moments of a travel; raises msgspec.ValidationError for anything else."""
    return msgspec.convert(figure.between, tuple[Moment, Moment], strict=True)


def points_of(figure: Figure) -> tuple[FigurePoint, ...]:
    """The points of a distance or an angle; raises msgspec.ValidationError for anything else."""
    written = msgspec.convert(figure.between, tuple[str | FigurePoint, ...], strict=True)
    points = tuple(FigurePoint(pivot=one) if isinstance(one, str) else one for one in written)
    if len(points) not in POINTS[figure.quantity]:
        raise msgspec.ValidationError(f"a {figure.quantity} is not between {len(points)} points")
    if figure.quantity == "gap":
        if not all(point.body is not None and point.point is None and point.pivot is None for point in points):
            raise msgspec.ValidationError("a gap is between two bodies")
    elif not all(_is_clear(point) for point in points):
        raise msgspec.ValidationError("a point is a body and a point of it, or a pivot")
    return points


def _is_clear(point: FigurePoint) -> bool:
    """Whether it can be told which point is meant: a body and a point of it, or a pivot."""
    return (point.pivot is None) == (point.body is not None) == (point.point is not None)


def is_angle(figure: Figure, names: Names) -> bool:
    """Whether a figure is measured in degrees: an angle, or the travel of a pivot."""
    return figure.quantity == "angle" or (
        figure.quantity == "travel" and isinstance(names.connections.get(figure.of or ""), Pivot)
    )


def _travel(names: Names, path: Place, figure: Figure) -> Iterator[Problem]:
    possible = {one.id for one in names.connections.values() if isinstance(one, DRIVEN)}
    if figure.of is None:
        right = "a travel is of a pivot, a slide or a jack"
        yield problem(path, "it is not said what travels: of is missing", right, thing=figure.id)
    elif figure.of not in possible:
        yield names.unknown((*path, "of"), figure.of, possible, "pivot, slide or jack", figure.id)
    try:
        moments = moments_of(figure)
    except msgspec.ValidationError:
        right = 'such as [{"sequence": "retract", "at": "start"}, {"sequence": "retract", "after": "leg-up"}]'
        yield problem((*path, "between"), "a travel is between two moments", right, thing=figure.id)
        return
    for number, moment in enumerate(moments):
        yield from moment_problems(names, (*path, "between", number), moment, figure.id)


def _points(names: Names, path: Place, figure: Figure) -> Iterator[Problem]:
    """Points that are named must be there. The format leaves open how points may be written: what is written in another
    way than `points_of` knows is no problem of the file, and the figure says that it was not measured."""
    try:
        points = points_of(figure)
    except msgspec.ValidationError:
        return
    pivots = {one.id for one in names.connections.values() if isinstance(one, Pivot)}
    for number, point in enumerate(points):
        here: Place = (*path, "between", number)
        if point.pivot is not None and point.pivot not in pivots:
            yield names.unknown((*here, "pivot"), point.pivot, pivots, "pivot", figure.id)
        if point.body is not None and point.body not in names.bodies:
            yield names.unknown((*here, "body"), point.body, set(names.bodies), "body", figure.id)
        if point.at is not None:
            yield from moment_problems(names, (*here, "at"), point.at, figure.id)


def _printed(project: Project, names: Names, path: Place, figure: Figure) -> Iterator[Problem]:
    angle = is_angle(figure, names)
    for key, read in (
        ("published", figure_sizes.published),
        ("shop", figure_sizes.shop),
        ("plus_minus", figure_sizes.printed_tolerance),
    ):
        try:
            size = read(project, figure, angle=angle)
        except UnreadableQuantity as error:
            yield problem((*path, key), f"{shown(error.marked)}: {error.wrong}", error.right, thing=figure.id)
            return
        if isinstance(size, Measure) and size.value < 0.0 and figure.quantity != "angle":
            wrong = f"{shown(figure.published)} is less than nothing"
            yield problem((*path, key), wrong, "a size of 0 or more", thing=figure.id)
