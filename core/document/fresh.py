"""Ids and names for new things: plain, numbered where the plain one is taken."""

from __future__ import annotations

import re
import unicodedata

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
    base, taken = id_from(words), taken_ids(project) | also
    if base not in taken:
        return base
    number = 2
    while f"{base}-{number}" in taken:
        number += 1
    return f"{base}-{number}"


def fresh_name(taken: set[str], words: str) -> str:
    """A name that is not taken: `Door`, then `Door 2`."""
    if words not in taken:
        return words
    number = 2
    while f"{words} {number}" in taken:
        number += 1
    return f"{words} {number}"
