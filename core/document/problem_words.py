"""A problem for people who have the aircraft before them and not its file: things by their names, and no places."""

from __future__ import annotations

import re

from core.document.lengths import shown_length
from core.document.names import Identified, all_things
from core.document.problem import Problem
from core.document.project import Project

_QUOTED = re.compile(r"'([^']+)'")
_MILLIMETRES = re.compile(r"(-?\d+(?:\.\d+)?) mm\b(?!²)")


def in_words(project: Project, problem: Problem) -> str:
    """`Doors close: moves drive “Door jack” while step “Doors open” is still moving it; let one …`.

    `project` is the one that has the problem. Where the problem is of no thing, what is wrong stands alone.
    """
    path = problem.path
    owners = [_name(thing) for place, thing in all_things(project) if path[: len(place)] == place]
    return ": ".join([*owners[-1:], in_names(project, problem)])


def in_names(project: Project, problem: Problem) -> str:
    """What is wrong and what would be right, with each thing by its name where the file has its id, and lengths in the
    project's unit."""
    called = {thing.id: _name(thing) for _, thing in all_things(project)}
    told = "; ".join(part for part in (problem.wrong, problem.right) if part)
    told = _MILLIMETRES.sub(lambda found: shown_length(project, float(found[1]), 1), told)
    return _QUOTED.sub(lambda found: f"“{called[found[1]]}”" if found[1] in called else found[0], told)


def _name(thing: Identified) -> str:
    return getattr(thing, "name", "") or thing.id
