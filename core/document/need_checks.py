"""Checks of what steps need when they begin: a drive within bounds, or a latch, that are there."""

from __future__ import annotations

from collections.abc import Iterator

from core.document.names import Ids, latches, problem
from core.document.problem import Place, Problem
from core.document.project import Need, Project


def need_problems(project: Project, ids: Ids) -> Iterator[Problem]:
    drives, held = {one.id for one in project.drives}, latches(project)
    for index, sequence in enumerate(project.sequences):
        for number, step in enumerate(sequence.steps):
            told: set[str] = set()
            for place, need in enumerate(step.needs):
                path: Place = ("sequences", index, "steps", number, "needs", place)
                yield from _one(ids, path, need, step.id, drives, held)
                thing = need.drive or need.latch
                if thing in told:
                    yield problem(path, f"{thing!r} is named twice", "one need a drive or a latch", thing=step.id)
                told |= {thing} if thing else set()


def _one(ids: Ids, path: Place, need: Need, step: str, drives: set[str], held: set[str]) -> Iterator[Problem]:
    if (need.drive is None) == (need.latch is None):
        wrong = "neither a drive nor a latch is named" if need.drive is None else "a drive and a latch are named"
        yield problem(path, wrong, "either a drive or a latch", thing=step)
    elif need.drive is not None:
        if need.drive not in drives:
            yield ids.unknown((*path, "drive"), need.drive, drives, "drive", step)
        yield from _bounds(path, need, step)
    elif need.latch is not None:
        if need.latch not in held:
            yield ids.unknown((*path, "latch"), need.latch, held, "latch", step)
        if need.at_least is not None or need.at_most is not None:
            yield problem(path, f"the latch {need.latch!r} has no value to bound", "only a drive has", thing=step)


def _bounds(path: Place, need: Need, step: str) -> Iterator[Problem]:
    if not need.engaged:
        yield problem(
            (*path, "engaged"), f"the drive {need.drive!r} is no latch", "only a latch is engaged", thing=step
        )
    if need.at_least is None and need.at_most is None:
        wrong = f"nothing is asked of the drive {need.drive!r}"
        yield problem(path, wrong, "at_least or at_most is needed", thing=step)
    elif need.at_least is not None and need.at_most is not None and need.at_least > need.at_most:
        wrong = f"at least {need.at_least:g} and at most {need.at_most:g} cannot both be"
        yield problem(path, wrong, "the lower one at least", thing=step)
