"""What the converter says about a tree that does not fit, in the words of the format."""

from __future__ import annotations

import re
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from core.document import kept
from core.document.json_text import shown
from core.document.problem import Place, nearest
from core.document.project import Project, Value

_TYPES = (
    ("array", "a list in [ ]"),
    ("object", "an object in { }"),
    ("float", "a number"),
    ("int", "a whole number"),
    ("str", "a text"),
    ("bool", "true or false"),
    ("null", "null"),
)


def explained(message: str, tree: Any, root: type[Value] = Project) -> tuple[Place, str, str]:
    """The place, what is wrong there and what would be right, of the converter's message about the tree, which is to
    become a `root`."""
    what, _, where = message.partition(" - at `")
    path = _path(where.rstrip("`"), tree)
    found = _at(tree, path)
    wanted = _wanted(path, tree, root)
    if match := re.fullmatch(r"Object missing required field `(.+)`", what):
        return path, f"{match[1]!r} is missing", _choices(wanted, match[1]) or "it cannot be done without"
    if what.startswith(("Invalid value", "Invalid enum value")):
        return path, f"{shown(found)} is not known here", _choices(wanted, str(path[-1]) if path else "", shown(found))
    if "matching regex" in what:
        right = "an id is lower-case letters, digits, - and _, and begins with a letter or digit"
        return path, f"{shown(found)} is no id", right
    if match := re.fullmatch(r"Expected `array` of length (.+?)(, got \d+)?", what):
        return path, f"there are {len(found)} elements", f"a list of {_amount(match[1])} is needed"
    if match := re.fullmatch(r"Expected `str` of length (.+)", what):
        return path, f"{shown(found)} is too long", f"{_amount(match[1])} letters"
    if match := re.match(r"Expected `(.+?)`", what):
        return path, f"{shown(found)} stands there", f"{_type_words(match[1])} is needed"
    return path, what, ""


def id_at(tree: Any, path: Place) -> str:
    """The id of the innermost thing on the way to a place."""
    thing = ""
    for key in path:
        tree = _step(tree, key)
        if isinstance(tree, dict) and isinstance(tree.get("id"), str):
            thing = tree["id"][:64]
    return thing


def _path(where: str, tree: Any) -> Place:
    """The converter's `$.items[17].x` as keys and indices; it writes [...] for any key of a table of numbers."""
    path: list[str | int] = []
    for name, index in re.findall(r"\.([A-Za-z_]\w*)|\[(\d+|\.\.\.)\]", where):
        if index == "...":
            table = _at(tree, tuple(path))
            path.append(next((key for key, value in table.items() if type(value) not in (int, float)), "..."))
        else:
            path.append(name or int(index))
    return tuple(path)


def _at(tree: Any, path: Place) -> Any:
    for key in path:
        tree = _step(tree, key)
    return tree


def _step(tree: Any, key: str | int) -> Any:
    if isinstance(tree, dict):
        return tree.get(str(key))
    if isinstance(tree, list) and isinstance(key, int) and key < len(tree):
        return tree[key]
    return None


def _wanted(path: Place, tree: Any, root: type[Value]) -> tuple[type[Value], ...]:
    """The classes of the object that a place is in."""
    classes: tuple[type[Value], ...] = (root,)
    for key in path:
        if isinstance(key, str):
            cls = kept.class_for(tree, classes)
            about = kept.file_fields(cls).get(key) if cls is not None else None
            inner = kept.value_classes(about.type) if about is not None else ()
            if not inner:
                return classes
            classes = inner
        tree = _step(tree, key)
    return classes


def _choices(classes: tuple[type[Value], ...], key: str, word: str = "") -> str:
    """The words that may stand under a key."""
    words: list[str] = []
    for cls in classes:
        if key == kept.tag_field(cls):
            words.append(str(cls.__struct_config__.tag))
        elif key in kept.file_fields(cls):
            words += _literals(kept.file_fields(cls)[key].type)
    return nearest(word.strip('"'), words) if words else ""


def _literals(wanted: Any) -> list[str]:
    if get_origin(wanted) is Literal:
        return [str(word) for word in get_args(wanted)]
    if get_origin(wanted) in (Union, Annotated) or hasattr(wanted, "__args__"):
        return [word for part in get_args(wanted) for word in _literals(part)]
    return []


def _amount(text: str) -> str:
    return text.replace(">=", "at least").replace("<=", "at most")


def _type_words(names: str) -> str:
    words = dict(_TYPES)
    return " or ".join(words.get(name, name) for name in names.split(" | ") if name != "null")
