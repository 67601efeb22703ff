"""JSON text: bytes to plain values, refusing what could be read two ways, and plain values to text that diffs well."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable
from typing import Any

DEEPEST = 64
"""Levels of nesting; a project needs eight."""
LONGEST_LINE = 118
"""Columns up to which an object or a list stays on one line."""
_AMISS = (
    ("Expecting property name", "{} stands where a key belongs", "a key in double quotes is needed"),
    ("Expecting ':'", "{} stands after a key", "a colon is needed between a key and its value"),
    ("Expecting ','", "{} stands after a value", "a comma is needed before the next one, or a closing bracket"),
    (
        "Expecting value",
        "{} stands where a value belongs",
        "a number, a text in double quotes, true, false, null, [ ] or { } is needed",
    ),
    ("Extra data", "{} stands after the end", "a project is one object in { } and nothing else"),
    ("Invalid control", "a line break or another sign without a letter stands in a text", r"\n is a line break in one"),
    ("Invalid \\escape", "{} in a text begins nothing that is known", r"a backslash is written \\"),
    ("Invalid \\uXXXX", "{} in a text is no letter", r"four digits of 0 to 9 and a to f are needed after \u"),
)
"""How the parser's messages begin, what that is in our words, and what would be right."""
MOST_DIGITS = 300
MOST_BYTES = 32 * 1024 * 1024
"""Everything but the pictures is in the file: a thousand bodies take less than a hundredth of this."""

Key = str | int
PlainPlace = tuple[Key, ...]


class Refused(Exception):
    """Where in the text or the tree, what is wrong, what would be right."""

    def __init__(self, wrong: str, right: str = "", *, line: str = "") -> None:
        super().__init__(wrong)
        self.wrong, self.right, self.line = wrong, right, line
        self.place: PlainPlace = ()


class _Senseless:
    """Stands in the tree where something was written that cannot be taken, until its place is known."""

    __slots__ = ("right", "wrong")

    def __init__(self, wrong: str, right: str) -> None:
        self.wrong, self.right = wrong, right


def parse(data: bytes) -> Any:
    """The tree of dicts, lists, texts, numbers, booleans and None; raises Refused."""
    text = _text(data)
    try:
        tree = json.loads(
            text,
            object_pairs_hook=_object,
            parse_constant=lambda word: _Senseless(f"{word} is not a number", "a finite number is needed"),
            parse_float=_float,
            parse_int=_int,
        )
    except json.JSONDecodeError as error:
        raise _syntax(error, text) from None
    except RecursionError:
        raise _too_deep() from None
    _look_through(tree, 0)
    return tree


def _text(data: bytes) -> str:
    if len(data) > MOST_BYTES:
        raise Refused(f"is larger than {MOST_BYTES >> 20} MB", "pictures belong in the drawings folder")
    if not data.strip():
        raise Refused("is empty", "a project is a JSON object")
    if data.startswith(b"\xef\xbb\xbf"):
        raise Refused("begins with a byte order mark", "save it as UTF-8 without one")
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise Refused("is UTF-16 text", "save it as UTF-8")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        kind = "is not text" if b"\0" in data else f"is not UTF-8 text: byte {error.start} cannot be read"
        raise Refused(kind, "a project is JSON saved as UTF-8", line=f"line {line}") from None


def _syntax(error: json.JSONDecodeError, text: str) -> Refused:
    if error.pos >= len(text.rstrip()) or error.msg.startswith("Unterminated string"):
        return Refused("breaks off before its end", "a copy that is whole is needed", line=f"line {error.lineno}")
    wrong, right = _amiss(error.msg, _word_at(text, error.pos))
    return Refused(f"is not JSON: {wrong}", right, line=f"line {error.lineno}, column {error.colno}")


def _amiss(message: str, there: str) -> tuple[str, str]:
    """What stands at a place where the parser expects something else, and what would be right, in our words."""
    if message.startswith(("Expecting property name", "Expecting value", "Illegal trailing comma")) and there in "}]":
        return "a comma stands after the last value", f"none is needed before {there}"
    if there.startswith(("//", "/*", "#")):
        return "a comment stands there", "JSON has none"
    if there.startswith("'") and not message.startswith("Invalid"):
        return "a text stands in single quotes", "double quotes are needed"
    for begins, wrong, right in _AMISS:
        if message.startswith(begins):
            return wrong.format(shown_text(there)), right
    return f"{shown_text(there)} cannot stand there", "commas between values, double quotes about texts, no comments"


def _word_at(text: str, place: int) -> str:
    """The sign at a place, or the word that begins there."""
    found = re.match(r"\w+|//|/\*|.", text[place:], re.DOTALL)
    return "" if found is None else found[0]


def _too_deep() -> Refused:
    return Refused(f"is nested more than {DEEPEST} deep", "a project needs no more than eight levels")


def _object(pairs: list[tuple[str, Any]]) -> Any:
    made = dict(pairs)
    if len(made) == len(pairs):
        return made
    names = [name for name, _ in pairs]
    twice = next(name for name in names if names.count(name) > 1)
    return _Senseless(f"the key {shown(twice)} stands there twice", "each key once")


def _float(text: str) -> Any:
    number = float(text)
    if math.isfinite(number):
        return number
    return _Senseless(f"{shown_text(text)} is too large", "a finite number is needed")


def _int(text: str) -> Any:
    if len(text) <= MOST_DIGITS:
        return int(text)
    return _Senseless(f"a number of {len(text)} digits is too large", "a finite number is needed")


def _look_through(node: Any, depth: int) -> None:
    """Raise for what has been marked as senseless, saying where it is."""
    if depth > DEEPEST:
        raise _too_deep()
    if isinstance(node, _Senseless):
        raise Refused(node.wrong, node.right)
    if isinstance(node, str):
        _check_text(node)
    elif isinstance(node, dict):
        _each(node.items(), depth, lambda key, _: _check_text(key))
    elif isinstance(node, list):
        _each(enumerate(node), depth, None)


def _each(items: Any, depth: int, also: Callable[[str, Any], None] | None) -> None:
    for key, value in items:
        try:
            if also is not None:
                also(key, value)
            _look_through(value, depth + 1)
        except Refused as refused:
            refused.place = (key, *refused.place) if depth < DEEPEST else ()
            raise


def _check_text(text: str) -> None:
    if not text.isascii() and any("\ud800" <= letter <= "\udfff" for letter in text):
        raise Refused("half a surrogate pair cannot be read as a letter", "whole characters are needed")


def shown(value: Any) -> str:
    """A value of the file as a message shows it: quoted, on one line, not endless."""
    if isinstance(value, dict):
        return "an object"
    if isinstance(value, list):
        return "a list"
    return shown_text(json.dumps(value, ensure_ascii=False))


def shown_text(text: str) -> str:
    clean = "".join(letter if letter.isprintable() else "\N{REPLACEMENT CHARACTER}" for letter in text)
    return clean if len(clean) <= 60 else clean[:57] + "..."


def lay_out(tree: dict[str, Any]) -> str:
    """The tree as text that diffs well: a line for each thing that fits on one, so that one change is one changed line.

    The tree's own keys and the elements of its lists always begin a line; the indent is two spaces.
    """
    return _broken(tree, 0, open_levels=2) + "\n"


def _written(node: Any, indent: int, room: int, open_levels: int) -> str:
    if not isinstance(node, (dict, list)) or not node:
        return _one_line(node)
    if open_levels <= 0 or isinstance(node, dict):
        line = _one_line(node)
        if len(line) <= room:
            return line
    return _broken(node, indent, open_levels)


def _broken(node: Any, indent: int, open_levels: int) -> str:
    inner = indent + 2
    if isinstance(node, dict):
        lines = []
        for key, value in node.items():
            head = _one_line(key) + ": "
            lines.append(head + _written(value, inner, LONGEST_LINE - inner - len(head), open_levels - 1))
        brackets = "{}"
    else:
        lines = [_written(value, inner, LONGEST_LINE - inner, open_levels - 1) for value in node]
        brackets = "[]"
    pad = " " * inner
    return brackets[0] + "\n" + ",\n".join(pad + line for line in lines) + "\n" + " " * indent + brackets[1]


def _one_line(node: Any) -> str:
    return json.dumps(node, ensure_ascii=False, allow_nan=False)
