"""Checks of meaning: what the file's form allows and yet makes no sense, as values."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from pathlib import Path

from core.document.drawing_checks import drawing_problems
from core.document.figure_checks import figure_problems
from core.document.number_checks import number_problems, range_problems
from core.document.outline_checks import outline_problems
from core.document.problem import Problem
from core.document.project import Project
from core.document.reference_checks import reference_problems
from core.document.sequence_checks import sequence_problems
from core.document.touched import only_lies_elsewhere

MOST = 100
"""A file with more problems than this is not mended one by one."""


def problems(project: Project, folder: Path | None = None, *, lost: bool = True) -> tuple[Problem, ...]:
    """What makes no sense, names first, up to `MOST`; with the project's folder, its drawings are looked for too, and
    told of where they are `lost`."""
    return tuple(islice(all_problems(project, folder, lost=lost), MOST))


def new_problems(before: Project, after: Project) -> tuple[Problem, ...]:
    """What an edit would break: the problems after it at places that had none before.

    Outlines, numbers and names are only looked at where the edit touched them, before it as well as after: it is asked
    at every move of a hand that drags something.
    """
    found = tuple(islice(all_problems(after, before=before), MOST))
    if not found:
        return ()
    old = {one.path for one in all_problems(before, before=after)}
    return tuple(one for one in found if one.path not in old)


def all_problems(
    project: Project, folder: Path | None = None, *, before: Project | None = None, lost: bool = True
) -> Iterator[Problem]:
    """Problems without end, one by one; outlines and numbers that are the very same in another project, `before`, are
    passed over, and names where all of them are."""
    if before is None or not only_lies_elsewhere(before, project):
        yield from reference_problems(project)
    beyond_range = list(range_problems(project, before))
    yield from beyond_range
    if not beyond_range:  # what follows calculates
        yield from number_problems(project, before)
        yield from outline_problems(project, before)
        yield from sequence_problems(project)
        yield from figure_problems(project)
    yield from drawing_problems(project, folder, lost=lost)
