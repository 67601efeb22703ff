"""Checks of published figures: what they measure is there, and their lengths and angles can be read."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from core.document import figure_sizes
from core.document.json_text import shown
from core.document.measured import OF, is_angle, is_of_something, moments_of, points_of, sequence_of
from core.document.names import Ids, ids_of, problem
from core.document.problem import Place, Problem
from core.document.project import Figure, Pivot, Project
from core.document.reference_checks import moment_problems
from core.errors import UnreadableQuantity
from core.units import Measure

OF_WORDS = {
    "travel": ("what travels", "pivot, slide or jack"),
    "stroke": ("whose stroke it is", "pivot, slide, slot or jack"),
    "length": ("what is so long", "rod or jack"),
    "diameter": ("whose diameter it is", "body"),
}
SPAN = 'such as [{"sequence": "retract", "at": "start"}, {"sequence": "retract", "after": "leg-up"}]'
ABOUT = 'none, or such as [{"body": "leg", "point": [0, -66]}], the body being the one that it is of'
MOMENT_WORDS = {
    "travel": ("a travel is between two moments", SPAN),
    "stroke": ("a stroke is used between two moments", SPAN),
    "length": (
        "a length is as made, or at one moment",
        'none, or such as [{"sequence": "retract", "at": "end"}]',
    ),
    "diameter": ("a diameter is of a whole body, or about a point of it", ABOUT),
}


def figure_problems(project: Project) -> Iterator[Problem]:
    if not project.figures:
        return
    ids = ids_of(project)
    for index, figure in enumerate(project.figures):
        path: Place = ("figures", index)
        if is_of_something(figure.quantity):
            yield from _of(ids, path, figure)
            yield from _moments(ids, path, figure)
        else:
            yield from _points(ids, path, figure)
        yield from _printed(project, ids, path, figure)


def _of(ids: Ids, path: Place, figure: Figure) -> Iterator[Problem]:
    what, sort = OF_WORDS[figure.quantity]
    things = ids.bodies.values() if figure.quantity == "diameter" else ids.connections.values()
    possible = {one.id for one in things if isinstance(one, OF[figure.quantity])}
    if figure.of is None:
        right = f"a {figure.quantity} is of a {sort}"
        yield problem(path, f"it is not said {what}: of is missing", right, thing=figure.id)
    elif figure.of not in possible:
        yield ids.unknown((*path, "of"), figure.of, possible, sort, figure.id)


def _moments(ids: Ids, path: Place, figure: Figure) -> Iterator[Problem]:
    """The moments that a figure of one thing is measured at."""
    here: Place = (*path, "between")
    try:
        moments = moments_of(figure)
    except msgspec.ValidationError:
        yield problem(here, *MOMENT_WORDS[figure.quantity], thing=figure.id)
        return
    for number, moment in enumerate(moments):
        yield from moment_problems(ids, (*here, number), moment, figure.id)
    sequences = {sequence_of(ids.sequences.values(), one) for one in moments}
    if figure.quantity == "stroke" and len(sequences) > 1:
        wrong = "its two moments lie in two sequences"
        yield problem(here, wrong, "a stroke is used in one sequence, between two moments of it", thing=figure.id)


def _points(ids: Ids, path: Place, figure: Figure) -> Iterator[Problem]:
    """Points that are named must be there. The format leaves open how points may be written: what is written in another
    way than `points_of` knows is no problem of the file, and the figure says that it was not measured."""
    try:
        points = points_of(figure)
    except msgspec.ValidationError:
        return
    pivots = {one.id for one in ids.connections.values() if isinstance(one, Pivot)}
    for number, point in enumerate(points):
        here: Place = (*path, "between", number)
        if point.pivot is not None and point.pivot not in pivots:
            yield ids.unknown((*here, "pivot"), point.pivot, pivots, "pivot", figure.id)
        if point.body is not None and point.body not in ids.bodies:
            yield ids.unknown((*here, "body"), point.body, set(ids.bodies), "body", figure.id)
        if point.at is not None:
            yield from moment_problems(ids, (*here, "at"), point.at, figure.id)


def _printed(project: Project, ids: Ids, path: Place, figure: Figure) -> Iterator[Problem]:
    angle = is_angle(figure, ids)
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
