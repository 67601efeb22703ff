"""A file of a newer version: what makes no sense to this one is set aside, and said, rather than refused.

What is set aside is kept in `extra` (see `kept`) and written back. Whatever refers to it, a drive on a connection of an
unknown kind, say, makes no sense without it and is set aside as well, and so on until the rest stands by itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from msgspec.structs import FieldInfo, replace

from core.document import kept
from core.document.checks import all_problems
from core.document.problem import Place, place_text
from core.document.project import VERSION, Project, Value

SHOWN = 5


def settled(project: Project) -> Project:
    """The project without what makes no sense in it; problems that nothing can be set aside for are left."""
    while True:
        found = tuple(all_problems(project))
        places = {place for one in found if (place := removable(project, one.path)) is not None}
        # The last first, so that the others stay where they are; what lies in something set aside goes with it.
        outermost = [place for place in places if not any(place[:n] in places for n in range(len(place)))]
        if not outermost:
            return project
        for place in sorted(outermost, key=_order, reverse=True):
            project = without(project, place)


def not_understood(project: Project) -> tuple[str, ...]:
    """Where a newer version wrote what this one has set aside; empty for a file of this version."""
    return tuple(_aside(project, ())) if project.version > VERSION else ()


def notice(project: Project) -> str:
    """One line for whoever opens a file that says more than this version understands; empty where it does not."""
    places = not_understood(project)
    if not places:
        return ""
    shown = ", ".join(places[:SHOWN]) + (f" and {len(places) - SHOWN} more" if len(places) > SHOWN else "")
    return (
        f"{project.aircraft.name} was saved by a newer version, and this one leaves out what it does not understand, "
        f"though saving keeps it: {shown}"
    )


def removable(value: Value, path: Place) -> Place | None:
    """The innermost part on the way to a place that the rest can do without; None where there is none.

    That is an element of a list of values, an entry of a table of numbers, or a key that may be left out and is not.
    """
    about = kept.file_fields(type(value)).get(str(path[0])) if path else None
    if about is None:
        return None
    held = getattr(value, about.name)
    if kept.is_list(about):
        if len(path) < 2:
            return None
        inner = removable(held[int(path[1])], path[2:])
        return path[:2] if inner is None else (*path[:2], *inner)
    if isinstance(held, dict) and len(path) > 1:
        return path[:2]
    inner = removable(held, path[1:]) if isinstance(held, Value) else None
    if inner is not None:
        return (path[0], *inner)
    return None if about.required or kept.is_default(about, held) else path[:1]


def without(value: Value, path: Place) -> Any:
    """The value with what stands at a removable place set aside."""
    about = kept.file_fields(type(value))[str(path[0])]
    held = getattr(value, about.name)
    if kept.is_list(about):
        return _without_element(value, about, int(path[1]), path[2:])
    if isinstance(held, dict) and len(path) > 1:
        aside = value.extra.get(about.encode_name, {}) | {path[1]: held[path[1]]}
        left = {key: number for key, number in held.items() if key != path[1]}
        return _with(value, about, left, aside)
    if len(path) > 1:
        return replace(value, **{about.name: without(held, path[1:])})
    return _with(value, about, kept.default_of(about), kept.plain(held))


def _without_element(value: Value, about: FieldInfo, index: int, path: Place) -> Any:
    held = getattr(value, about.name)
    before, after = held[:index], held[index + 1 :]
    if path:
        return replace(value, **{about.name: (*before, without(held[index], path), *after)})
    aside = value.extra.get(about.encode_name, [])
    stood = index
    for earlier, _ in aside:  # in order
        if earlier <= stood:
            stood += 1
    aside = sorted([*aside, (stood, kept.spread(held[index]))], key=lambda pair: pair[0])
    return _with(value, about, before + after, aside)


def _with(value: Value, about: FieldInfo, held: Any, aside: Any) -> Any:
    return replace(value, **{about.name: held}, extra=value.extra | {about.encode_name: aside})


def _order(place: Place) -> list[tuple[bool, int, str]]:
    return [(isinstance(key, int), key if isinstance(key, int) else 0, str(key)) for key in place]


def _aside(value: Value, path: Place, thing: str = "") -> Iterator[str]:
    """With the id of the thing that each place belongs to."""
    thing = getattr(value, "id", thing)
    for key, about in kept.file_fields(type(value)).items():
        aside = value.extra.get(key)
        held = getattr(value, about.name)
        if kept.is_list(about) and isinstance(aside, list | None):
            yield from _aside_in_list(held, dict(aside or ()), (*path, key), thing)
        elif aside is not None:
            yield place_text((*path, key), thing)
        elif isinstance(held, Value):
            yield from _aside(held, (*path, key), thing)


def _aside_in_list(held: tuple[Value, ...], aside: dict[int, Any], path: Place, thing: str) -> Iterator[str]:
    """By the places that the elements have in the file."""
    understood = iter(held)
    for index in range(len(held) + len(aside)):
        if index in aside:
            tree = aside[index]
            yield place_text((*path, index), str(tree.get("id", thing)) if isinstance(tree, dict) else thing)
        elif (element := next(understood, None)) is not None:
            yield from _aside(element, (*path, index), thing)
