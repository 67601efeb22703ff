"""What differs between two states of an aircraft, told in lines."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from core.document import kept
from core.document.names import kind_of
from core.document.project import Project, Sequence, Value

LISTS = (
    ("views", "view"),
    ("bodies", "body"),
    ("connections", ""),
    ("drives", "drive"),
    ("sequences", "sequence"),
    ("targets", "target"),
    ("figures", "figure"),
)
"""What has ids, and what each of it is called; a connection by its kind."""
ALONE = ("length_unit", "inch_fraction", "least_clearance")


def differences(mine: Project, theirs: Project) -> tuple[str, ...]:
    """One line for each thing that only one has, or that has other values in each: what is here, and in the file."""
    found = [*_values("aircraft", mine.aircraft, theirs.aircraft)]
    found += [
        _both(_words(key), getattr(mine, key), getattr(theirs, key)) for key in ALONE if _differ(mine, theirs, key)
    ]
    for key, called in LISTS:
        found += _things(getattr(mine, key), getattr(theirs, key), called)
    told = {key for key, _ in LISTS} | {*ALONE, "aircraft", "version"}
    others = (key for key in kept.file_fields(Project) if key not in told)
    found += [f"{_words(key)} differ" for key in others if _differ(mine, theirs, key)]
    return tuple(found)


def _differ(mine: Project, theirs: Project, key: str) -> bool:
    return bool(getattr(mine, key) != getattr(theirs, key))


def _both(called: str, mine: object, theirs: object) -> str:
    return f"{called}: {_short(mine)} here, {_short(theirs)} in the file"


def _things(mine: tuple[Any, ...], theirs: tuple[Any, ...], called: str) -> Iterator[str]:
    ours, other = {one.id: one for one in mine}, {one.id: one for one in theirs}
    for one in mine:
        if one.id not in other:
            yield f"{_called(one, called)} is only here"
        else:
            yield from _values(_called(one, called), one, other[one.id])
    yield from (f"{_called(one, called)} is only in the file" for one in theirs if one.id not in ours)
    both = [one.id for one in mine if one.id in other]
    if both != [one.id for one in theirs if one.id in ours]:
        yield f"{called or 'connection'} order: they stand in another order"


def _values(called: str, mine: Value, theirs: Value) -> Iterator[str]:
    """The keys that differ, with both values where these are short; the steps of a sequence one by one."""
    if mine == theirs:
        return
    if isinstance(mine, Sequence) and isinstance(theirs, Sequence):
        yield from _things(mine.steps, theirs.steps, f"{called}, step")
        if (mine.name, mine.start) != (theirs.name, theirs.start):
            yield f"{called}: its name or its start differs"
        return
    if type(mine) is not type(theirs):
        yield f"{called} is of another kind in the file"
        return
    for key, about in kept.file_fields(type(mine)).items():
        ours, others = getattr(mine, about.name), getattr(theirs, about.name)
        if ours != others:
            plain = all(isinstance(one, str | float | int | bool) or one is None for one in (ours, others))
            what = f"{called}, {_words(key)}"
            yield _both(what, ours, others) if plain else f"{what} differs"


def _called(one: Any, called: str) -> str:
    name = one.name if getattr(one, "name", "") else one.id
    return f"{called or kind_of(one)} {name}"


def _words(key: str) -> str:
    return key.replace("_", " ")


def _short(value: object) -> str:
    if value is None:
        return "nothing"
    return f"{value:g}" if isinstance(value, float) else str(value)
