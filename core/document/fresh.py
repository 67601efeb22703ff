"""Ids and names for new things: plain, numbered where the plain one is taken."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from itertools import count
from pathlib import Path

from core.document.names import all_ids
from core.document.project import Project


def taken_ids(project: Project) -> set[str]:
    return {thing_id for _, thing_id in all_ids(project)}


def id_from(words: str) -> str:
    """The words as an id: `Nose leg` is `nose-leg`; `thing` where nothing of them can stand in one."""
    plain = unicodedata.normalize("NFKD", words).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:56].strip("-") or "thing"


def fresh_id(project: Project, words: str, also: set[str] | frozenset[str] = frozenset()) -> str:
    """An id made of words that nothing in the project has, nor is in `also`."""
    taken = taken_ids(project) | also
    return _untaken(id_from(words), "-", taken.__contains__)


def fresh_name(taken: set[str], words: str) -> str:
    """A name that is not taken: `Door`, then `Door 2`."""
    return _untaken(words, " ", taken.__contains__)


def fresh_path(folder: Path, words: str, kind: str = "") -> Path:
    """A file or folder that is not there yet, with an ending such as `.png`: `door.png`, then `door-2.png`."""
    return folder / (_untaken(words, "-", lambda name: (folder / f"{name}{kind}").exists()) + kind)


def _untaken(words: str, between: str, is_taken: Callable[[str], bool]) -> str:
    if not is_taken(words):
        return words
    return next(one for one in (f"{words}{between}{number}" for number in count(2)) if not is_taken(one))
