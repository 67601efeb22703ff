"""Keeping what this version does not know: from the file's tree into each value's `extra`, and back to where it stood.

Keys that a value does not have go into its `extra` as they are. In a file of a newer version a known key may hold
something not known, a new kind of connection, say. That is set aside in `extra` under the very same key:
for a list of values, the elements not understood as pairs (where in the list, what was written); for anything else what
was written, while the value itself has its default. On writing it goes back where it stood, unless the value has since
been given another.
"""

from __future__ import annotations

import functools
import types
from collections.abc import Mapping
from typing import Annotated, Any, Union, get_args, get_origin

import msgspec
from msgspec import NODEFAULT
from msgspec.structs import FieldInfo, fields

from core.document.project import Value

ALWAYS_WRITTEN = frozenset({"length_unit", "least_clearance", "scale", "opacity", "reach", "within"})
"""Numbers and units that mean something when nobody chose them: they are written even so."""


# ---- from the tree ------------------------------------------------------------------------------------------------


def gather(tree: Any, classes: tuple[type[Value], ...], *, newer: bool) -> Any:
    """The tree of one value with its unknown keys under `extra`, ready to convert; anything wrong is left to that.

    With `newer`, what cannot be converted is set aside as well.
    """
    cls = class_for(tree, classes)
    if cls is None:
        return tree
    known = file_fields(cls)
    tag = tag_field(cls)
    made: dict[str, Any] = {}
    extra: dict[str, Any] = {}
    for key, value in tree.items():
        if key == tag:
            made[key] = value
        elif key not in known:
            extra[key] = value
        else:
            _gather_field(known[key], value, made, extra, newer=newer)
    made["extra"] = extra
    return made


def _gather_field(about: FieldInfo, value: Any, made: dict[str, Any], extra: dict[str, Any], *, newer: bool) -> None:
    key = about.encode_name
    classes = value_classes(about.type)
    if classes and isinstance(value, list):
        elements = [gather(element, classes, newer=newer) for element in value]
        if newer:
            understood = [_converts(element, Union[classes]) for element in elements]  # noqa: UP007, built at run time
            extra |= _not_understood(key, value, understood)
            elements = [element for element, fine in zip(elements, understood, strict=True) if fine]
        made[key] = elements
        return
    gathered = gather(value, classes, newer=newer) if classes else value
    if newer and not about.required and not _converts(gathered, about.type):
        extra[key] = value
    else:
        made[key] = gathered


def _not_understood(key: str, value: list[Any], understood: list[bool]) -> dict[str, Any]:
    aside = [(index, value[index]) for index, fine in enumerate(understood) if not fine]
    return {key: aside} if aside else {}


def _converts(tree: Any, wanted: Any) -> bool:
    try:
        msgspec.convert(tree, wanted, strict=True)
    except msgspec.ValidationError:
        return False
    return True


# ---- back to the tree -----------------------------------------------------------------------------------------------


def spread(value: Value) -> dict[str, Any]:
    """The tree of one value as the file has it: id first, kind next, defaults left out, `extra` put back."""
    known = file_fields(type(value))
    made: dict[str, Any] = {}
    tag = tag_field(type(value))
    if "id" in known:
        made["id"] = value.id  # type: ignore[attr-defined]
    if tag is not None:
        made[tag] = value.__struct_config__.tag
    for key, about in known.items():
        held = getattr(value, about.name)
        aside = value.extra.get(key)
        if isinstance(aside, list) and is_list(about):
            made[key] = _put_back(plain(held), aside)
        elif isinstance(aside, dict) and isinstance(held, dict):
            made[key] = aside | plain(held)
        elif aside is not None and is_default(about, held):
            made[key] = aside
        elif about.required or key in ALWAYS_WRITTEN or not is_default(about, held):
            made[key] = plain(held)
    return made | {key: held for key, held in value.extra.items() if key not in known}


def plain(held: Any) -> Any:
    """Dicts, lists, texts and numbers; a whole number is written without a point."""
    if isinstance(held, Value):
        return spread(held)
    if isinstance(held, Mapping):
        return {key: plain(value) for key, value in held.items()}
    if isinstance(held, (tuple, list)):
        return [plain(element) for element in held]
    if isinstance(held, float) and held.is_integer() and abs(held) < 1e15:
        return int(held)
    return held


def _put_back(elements: list[Any], aside: list[tuple[int, Any]]) -> list[Any]:
    for index, element in sorted(aside, key=lambda pair: pair[0]):
        elements.insert(index, element)
    return elements


def is_list(about: FieldInfo) -> bool:
    """Whether a field is a list of values, of which one can be set aside."""
    return bool(value_classes(about.type)) and get_origin(about.type) is tuple


def is_default(about: FieldInfo, held: Any) -> bool:
    return not about.required and bool(held == default_of(about))


def default_of(about: FieldInfo) -> Any:
    """What a key that may be left out then means."""
    return about.default if about.default_factory is NODEFAULT else about.default_factory()


# ---- what the types say ---------------------------------------------------------------------------------------------


@functools.cache
def file_fields(cls: type[Value]) -> dict[str, FieldInfo]:
    """The keys of a value in the file, in the order they are written."""
    return {about.encode_name: about for about in fields(cls) if about.name != "extra"}


def tag_field(cls: type[Value]) -> str | None:
    config = cls.__struct_config__
    return config.tag_field if config.tag is not None else None


def class_for(tree: Any, classes: tuple[type[Value], ...]) -> type[Value] | None:
    """Which of these classes an object of the file is, by its kind where there are several."""
    if not isinstance(tree, dict):
        return None
    for cls in classes:
        tag = tag_field(cls)
        if tag is None or tree.get(tag) == cls.__struct_config__.tag:
            return cls
    return None


def value_classes(wanted: Any) -> tuple[type[Value], ...]:
    """The classes of values in a field, several where a kind tells them apart; none where it holds no values."""
    if isinstance(wanted, type) and issubclass(wanted, Value):
        return (wanted,)
    origin, inner = get_origin(wanted), get_args(wanted)
    if origin is Annotated:
        return value_classes(inner[0])
    if origin in (Union, types.UnionType, tuple):
        return tuple(cls for part in inner if part is not Ellipsis for cls in value_classes(part))
    return ()
