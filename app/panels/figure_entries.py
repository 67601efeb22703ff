"""What can be typed and picked of a published figure."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from typing import Any, get_args

import msgspec
from msgspec.structs import replace

from app.panels.entry import Entry
from app.panels.figure_words import ACROSS, COMPARED
from app.panels.readings import maybe, read_text, reason_of, write_maybe
from app.widgets.offers import Offers
from app.widgets.value_field import Refused
from core.document.edits import Edit
from core.document.figure_edits import SetFigure, as_written
from core.document.figure_sizes import plus_minus, published, shop
from core.document.lengths import length_unit, plain_unit
from core.document.measured import centre_of, is_angle, measurable, moments_of, points_of, sequence_of
from core.document.names import ids_of, name_of
from core.document.project import Figure, FigurePoint, Made, Moment, Project
from core.errors import UnreadableQuantity
from core.motion.moments import moment_words, moments_in
from core.sizes.offer import lines_of
from core.sizes.offers import tolerances
from core.tolerance.workshop import tolerance_of
from core.units import with_unit

CONFIDENCE = (
    ("", "not said"),
    ("quoted", "quoted from the source"),
    ("measured", "measured off the drawing"),
    ("derived", "derived from others"),
    ("guessed", "guessed"),
)
_SIZES: dict[str, Callable[..., object]] = {"published": published, "plus_minus": plus_minus, "shop": shop}
"""How each of the sizes that are kept as text is read."""
SIZES = ((True, "at full size"), (False, "at model size"))
Choices = tuple[tuple[Any, str], ...]


def entries_of_figure(project: Project, figure: Figure) -> tuple[Entry, ...]:
    words = {
        "published": ("Published", "as printed"),
        "plus_minus": ("Tolerance", "where apart"),
        "shop": ("Workshop's ±", "at model size"),
    }
    sizes = tuple(
        _size(project, figure, key, label, note, _tolerances(project, figure) if key == "shop" else ())
        for key, (label, note) in words.items()
    )
    return (
        _words(figure, "name", empty=figure.id),
        *sizes,
        *(() if is_angle(figure, ids_of(project)) else (_choice(figure, "full_size", "Printed", SIZES),)),
        *_when(project, figure),
        _words(figure, "source"),
        _words(figure, "sheet"),
        _choice(figure, "confidence", "How it is known", _with(CONFIDENCE, figure.confidence)),
        dataclasses.replace(_words(figure, "note"), prose=True),
    )


def _tolerances(project: Project, figure: Figure) -> Offers:
    """What a workshop may hold of this size; of an angle nothing is offered."""
    if is_angle(figure, ids_of(project)):
        return ()
    try:
        size = published(project, figure, angle=False)
    except UnreadableQuantity:
        size = None
    made = {way: tolerance_of(project, way) for way in get_args(Made)}
    return lines_of(tolerances(size.value if size is not None else None, made, length_unit(project)))


# ---- rows -----------------------------------------------------------------------------------------------------------


def _change(figure: Figure, key: str) -> Callable[[Any], Edit]:
    return lambda value: SetFigure(replace(figure, **{key: value}))


def _words(figure: Figure, key: str, *, empty: str = "") -> Entry:
    return Entry(
        key=key, label=key.capitalize(), value=getattr(figure, key), words=True, empty=empty, read=read_text,
        edit=_change(figure, key),
    )  # fmt: skip


def _size(project: Project, figure: Figure, key: str, label: str, note: str, offers: Offers) -> Entry:
    """Kept as it is written; what cannot be read of it is refused with its place. In the file a number alone is in the
    project's unit, which would be feet where fields take it for inches: there it says its unit."""
    angle, sizes = is_angle(figure, ids_of(project)), _SIZES[key]

    def read(text: str) -> str:
        words = read_text(text)
        try:
            words = words if angle or length_unit(project) != "ft" else with_unit(words, plain_unit(project))
            sizes(project, replace(figure, **{key: words}), angle=angle)
        except UnreadableQuantity as error:
            raise Refused(reason_of(error), error.marked) from None
        return words

    def write(words: str) -> str:
        try:
            return words if angle or length_unit(project) != "ft" else with_unit(words, "ft")
        except UnreadableQuantity:
            return words

    return Entry(
        key=key, label=label, note=note, value=getattr(figure, key), words=True, empty="none", read=maybe(read),
        write=write_maybe(write), edit=_change(figure, key), offers=offers,
    )  # fmt: skip


def _choice(figure: Figure, key: str, label: str, choices: Choices) -> Entry:
    return Entry(key=key, label=label, value=getattr(figure, key), choices=choices, edit=_change(figure, key))


def _with(choices: Choices, value: Any) -> Choices:
    """The choices, and what stands in the file where it is none of them."""
    return choices if any(one == value for one, _ in choices) else (*choices, (value, str(value)))


def _when(project: Project, figure: Figure) -> tuple[Entry, ...]:
    """Of what and at which moments it is measured, where the file says that in a way known here."""
    try:
        return _WHEN.get(figure.quantity, _moment)(project, figure)
    except msgspec.ValidationError:
        return ()


def _of(project: Project, figure: Figure) -> Entry:
    able = tuple((one.id, name_of(one)) for one in measurable(project, figure.quantity))
    return _choice(figure, "of", f"{figure.quantity.capitalize()} of", _with(able, figure.of))


def _travel(project: Project, figure: Figure) -> tuple[Entry, ...]:
    return (_of(project, figure), *_span(figure, lambda at: _moments(project, at)))


def _stroke(project: Project, figure: Figure) -> tuple[Entry, ...]:
    """Of one sequence, so that both moments change with it."""
    named = sequence_of(project.sequences, moments_of(figure)[0])
    sequences = tuple((one.id, name_of(one)) for one in project.sequences)

    def whole(sequence: str) -> Edit:
        return _between(figure, (Moment(sequence=sequence, at="start"), Moment(sequence=sequence, at="end")))

    within = tuple(one for one in moments_in(project) if one.sequence == named)
    return (
        _of(project, figure),
        _choice(figure, "compared", "Compared", COMPARED),
        Entry(key="sequence", label="Used in", value=named, choices=_with(sequences, named), edit=whole),
        *_span(figure, lambda at: _worded(project, within, at)),
    )


def _span(figure: Figure, choices: Callable[[Moment], Choices]) -> tuple[Entry, ...]:
    first, second = moments_of(figure)
    begin: Callable[[Moment], Edit] = lambda at: _between(figure, (at, second))  # noqa: E731, a row's edit
    end: Callable[[Moment], Edit] = lambda at: _between(figure, (first, at))  # noqa: E731, a row's edit
    return (
        Entry(key="first", label="From", value=first, choices=choices(first), edit=begin),
        Entry(key="second", label="To", value=second, choices=choices(second), edit=end),
    )


def _length(project: Project, figure: Figure) -> tuple[Entry, ...]:
    at = next(iter(moments_of(figure)), None)
    made: Choices = ((None, "as it is made"),)
    change = lambda at: _between(figure, () if at is None else (at,))  # noqa: E731, a row's edit
    choices = made + _moments(project, at)
    return (_of(project, figure), Entry(key="at", label="Measured", value=at, choices=choices, edit=change))


def _diameter(project: Project, figure: Figure) -> tuple[Entry, ...]:
    if centre_of(figure) is None:
        return (_of(project, figure), _choice(figure, "across", "Across", ACROSS))
    whole: Callable[[str], Edit] = lambda of: SetFigure(replace(figure, of=of, between=None))  # noqa: E731, a row's edit
    return (dataclasses.replace(_of(project, figure), edit=whole),)


def _moment(project: Project, figure: Figure) -> tuple[Entry, ...]:
    points = points_of(figure)
    if any(one.at != points[0].at for one in points):
        return ()
    drawn: Choices = ((None, "in the drawn position"),)
    choices = drawn + _moments(project, points[0].at)
    change = lambda at: _between(figure, tuple(replace(one, at=at) for one in points))  # noqa: E731, a row's edit
    return (Entry(key="at", label="Measured", value=points[0].at, choices=choices, edit=change),)


def _moments(project: Project, now: Moment | None) -> Choices:
    return _worded(project, moments_in(project), now)


def _worded(project: Project, known: tuple[Moment, ...], now: Moment | None) -> Choices:
    """Moments by what they are called, and the one that stands in the file where it is none of them."""
    every = known if now is None or now in known else (now, *known)
    return tuple((one, moment_words(project, one)) for one in every)


def _between(figure: Figure, ends: tuple[Moment | FigurePoint, ...]) -> Edit:
    return SetFigure(replace(figure, between=as_written(ends)))


_WHEN: dict[str, Callable[[Project, Figure], tuple[Entry, ...]]] = {
    "travel": _travel,
    "stroke": _stroke,
    "length": _length,
    "diameter": _diameter,
}
"""What is not here is between points."""
