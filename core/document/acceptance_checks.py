"""Checks of accepted findings: of a kind there is, about things that are there, and with a reason."""

from __future__ import annotations

from collections.abc import Iterator

from core.document.json_text import shown
from core.document.names import Ids, is_part, problem
from core.document.problem import Place, Problem, nearest
from core.document.project import Acceptance, Project

KINDS = ("jammed", "clash", "loose", "latch", "travel", "early", "target", "tight", "dead-centre", "redundant")
"""What can be found, by the names that the findings have."""
DRAWN = "drawn"
"""What stands for a sequence where the project has none, and its drawn position is checked."""


def acceptance_problems(project: Project, ids: Ids) -> Iterator[Problem]:
    parts = {*ids.bodies, *(one.id for one in project.connections if is_part(one))}
    targets, drives = {one.id for one in project.targets}, {one.id for one in project.drives}
    for index, accepted in enumerate(project.accepted):
        path: Place = ("accepted", index)
        if accepted.kind not in KINDS:
            wrong = f"{shown(accepted.kind)} is no kind of finding"
            yield problem((*path, "kind"), wrong, nearest(accepted.kind, set(KINDS)))
        if not accepted.why.strip():
            yield problem((*path, "why"), "a finding is accepted without a reason", "say why it may be")
        named = [("bodies", place, word, parts, "body, or rod or jack with a width")
                 for place, word in enumerate(accepted.bodies)]  # fmt: skip
        named += [("connections", place, word, set(ids.connections), "connection")
                  for place, word in enumerate(accepted.connections)]  # fmt: skip
        for key, place, word, known, what in named:
            if word not in known:
                yield ids.unknown((*path, key, place), word, known, what, "")
        yield from _one(ids, path, accepted, targets, drives)


def _one(ids: Ids, path: Place, accepted: Acceptance, targets: set[str], drives: set[str]) -> Iterator[Problem]:
    sequences = {*ids.sequences, DRAWN}
    steps = {step.id for sequence in ids.sequences.values() for step in sequence.steps}
    for key, word, known in (
        ("drive", accepted.drive, drives),
        ("target", accepted.target, targets),
        ("step", accepted.step, steps),
        ("sequence", accepted.sequence, sequences),
    ):
        if word is not None and word not in known:
            yield ids.unknown((*path, key), word, known, key, "")
    if not (accepted.bodies or accepted.connections or accepted.drive or accepted.target):
        yield problem(path, "nothing is named that was found", "name its bodies, connections, drive or target")
