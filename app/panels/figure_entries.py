"""What can be typed and picked of a published figure, and what it measures in words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, get_args

import msgspec
from msgspec.structs import replace

from app.panels.entry_form import Entry
from app.panels.readings import lines_of, maybe, read_text, write_maybe
from app.widgets.offers import Offers
from core.document.edits import Edit
from core.document.figure_edits import SetFigure, as_written
from core.document.figure_sizes import published
from core.document.measured import is_angle, moments_of, points_of
from core.document.names import DRIVEN, name_of, names_of
from core.document.project import Figure, FigurePoint, Made, Moment, Project
from core.errors import UnreadableQuantity
from core.motion.moments import moment_words, moments_in
from core.sizes.offers import tolerances
from core.tolerance.workshop import tolerance_of
from core.units import format_number

CONFIDENCE = (
    ("", "not said"),
    ("quoted", "quoted from the source"),
    ("measured", "measured off the drawing"),
    ("derived", "derived from others"),
    ("guessed", "guessed"),
)
SIZES = ((True, "at full size"), (False, "at model size"))
Choices = tuple[tuple[Any, str], ...]


def entries_of_figure(project: Project, figure: Figure) -> tuple[Entry, ...]:
    words = {
        "published": ("Published", "as printed"),
        "plus_minus": ("Tolerance", "where apart"),
        "shop": ("Workshop's ±", "at model size"),
    }
    sizes = tuple(
        _words(figure, key, label, note, empty="none", offers=_tolerances(project, figure) if key == "shop" else ())
        for key, (label, note) in words.items()
    )
    return (
        _words(figure, "name", "Name", "", empty=figure.id, needed=True),
        *sizes,
        _choice(figure, "full_size", "Printed", SIZES),
        *_when(project, figure),
        _words(figure, "source", "Source", "", needed=True),
        _words(figure, "sheet", "Sheet", "", needed=True),
        _choice(figure, "confidence", "How it is known", _with(CONFIDENCE, figure.confidence)),
        _words(figure, "note", "Note", "", needed=True),
    )


def measured_words(project: Project, figure: Figure) -> str:
    """What a figure measures, in words: `distance from Leg pivot to Nose leg at 0, −66`."""
    names = {one.id: name_of(one) for one in (*project.bodies, *project.connections)}
    if figure.quantity == "travel":
        return f"travel of {names.get(figure.of or '', figure.of or 'nothing')}"
    try:
        points = points_of(figure)
    except msgspec.ValidationError:
        return f"{figure.quantity}; between what is not clear"
    return f"{figure.quantity} from {' to '.join(_point_words(names, one) for one in points)}"


def _point_words(names: dict[str, str], point: FigurePoint) -> str:
    name = names.get(point.pivot or point.body or "", "?")
    if point.point is None:
        return name
    return f"{name} at {', '.join(format_number(one) for one in point.point)}"


def _tolerances(project: Project, figure: Figure) -> Offers:
    """What a workshop may hold of this size; of an angle nothing is offered."""
    if is_angle(figure, names_of(project)):
        return ()
    try:
        size = published(project, figure, angle=False)
    except UnreadableQuantity:
        size = None
    made = {way: tolerance_of(project, way) for way in get_args(Made)}
    return lines_of(tolerances(size.value if size is not None else None, made))


# ---- rows -----------------------------------------------------------------------------------------------------------


def _change(figure: Figure, key: str) -> Callable[[Any], Edit]:
    return lambda value: SetFigure(replace(figure, **{key: value}))


def _words(
    figure: Figure, key: str, label: str, note: str, *, empty: str = "", needed: bool = False, offers: Offers = ()
) -> Entry:
    read = read_text if needed else maybe(read_text)
    return Entry(
        key=key, label=label, note=note, value=getattr(figure, key), words=True, empty=empty, read=read,
        write=write_maybe(str), edit=_change(figure, key), offers=offers,
    )  # fmt: skip


def _choice(figure: Figure, key: str, label: str, choices: Choices) -> Entry:
    return Entry(key=key, label=label, value=getattr(figure, key), choices=choices, edit=_change(figure, key))


def _with(choices: Choices, value: Any) -> Choices:
    """The choices, and what stands in the file where it is none of them."""
    return choices if any(one == value for one, _ in choices) else (*choices, (value, str(value)))


def _when(project: Project, figure: Figure) -> tuple[Entry, ...]:
    """At which moments it is measured, where the file says that in a way known here."""
    try:
        return _travel(project, figure) if figure.quantity == "travel" else _moment(project, figure)
    except msgspec.ValidationError:
        return ()


def _travel(project: Project, figure: Figure) -> tuple[Entry, ...]:
    first, second = moments_of(figure)
    able = tuple((one.id, name_of(one)) for one in project.connections if isinstance(one, DRIVEN))
    ends = (("first", "From", first), ("second", "To", second))
    changes: dict[str, Callable[[Moment], Edit]] = {
        "first": lambda at: _between(figure, (at, second)),
        "second": lambda at: _between(figure, (first, at)),
    }
    return (
        _choice(figure, "of", "Travel of", _with(able, figure.of)),
        *(
            Entry(key=key, label=label, value=at, choices=_moments(project, at), edit=changes[key])
            for key, label, at in ends
        ),
    )


def _moment(project: Project, figure: Figure) -> tuple[Entry, ...]:
    points = points_of(figure)
    if any(one.at != points[0].at for one in points):
        return ()
    drawn: Choices = ((None, "in the drawn position"),)
    choices = drawn + _moments(project, points[0].at)
    change = lambda at: _between(figure, tuple(replace(one, at=at) for one in points))  # noqa: E731, a row's edit
    return (Entry(key="at", label="Measured", value=points[0].at, choices=choices, edit=change),)


def _moments(project: Project, now: Moment | None) -> Choices:
    known = [*moments_in(project)]
    if now is not None and now not in known:
        known.insert(0, now)
    return tuple((one, moment_words(project, one)) for one in known)


def _between(figure: Figure, ends: tuple[Moment | FigurePoint, ...]) -> Edit:
    return SetFigure(replace(figure, between=as_written(ends)))
