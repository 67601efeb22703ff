"""A study in which nothing was solved, for tests of who is told of studies and when."""

from __future__ import annotations

from collections.abc import Iterable

from core.document.project import Project
from core.study import Study


def empty_study(project: Project, behind: Iterable[str] = ()) -> Study:
    """Of a project, with the sequences that are `behind`."""
    return Study(project=project, mechanism=None, parts=None, pairs=None, sequences=(), behind=frozenset(behind))
