"""One thing in a project that makes no sense, as a value."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

MOST_COMPARED = 200
"""Names that an unknown one is compared with; each comparison takes time, and a file may be full of unknown names."""

Key = str | int
Place = tuple[Key, ...]
"""The way into the file: keys and indices, such as ("connections", 3, "bodies", 1)."""


@dataclass(frozen=True, slots=True)
class Problem:
    """Where in the project, what is wrong there, what would be right."""

    place: str
    wrong: str
    right: str
    path: Place = ()

    def __str__(self) -> str:
        return f"{self.place}: {self.wrong}; {self.right}" if self.right else f"{self.place}: {self.wrong}"


def place_text(path: Place, thing: str = "") -> str:
    """`connections[3].bodies[1] (door-rod)`: the way into the file and the id of the thing it leads to."""
    text = ""
    for key in path:
        text += f"[{key}]" if isinstance(key, int) else f".{key}" if text else key
    return f"{text} ({thing})" if thing else text


def nearest(word: str, known: Iterable[str]) -> str:
    """What would be right in place of an unknown name: the nearest one, or all there are."""
    names = sorted(known) if isinstance(known, set) else list(known)
    close = get_close_matches(word[:64], names[:MOST_COMPARED], n=1, cutoff=0.65)
    if close:
        return f"did you mean {close[0]!r}?"
    if not names:
        return "there are none"
    shown = ", ".join(names[:8])
    return f"there are {shown}" + (f" and {len(names) - 8} more" if len(names) > 8 else "")
