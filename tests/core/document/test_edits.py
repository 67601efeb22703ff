"""Edits change what they name, share what they do not touch, and leave the very same project where nothing changes."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from core.document.edits import Edit
from core.document.project import Project, Sequence, Step
from core.document.project_file import decode, encode, read_project
from core.document.sequence_edits import SetDriveStart
from core.document.step_edits import SetMove
from core.document.step_time_edits import SetStepDelay, SetStepDuration
from tests.formats.merrow import FILE, FOLDER

PROJECT = read_project(FOLDER)


def step(project: Project, step_id: str) -> Step:
    return next(step for step in project.sequences[0].steps if step.id == step_id)


EDITS: list[tuple[Edit, Callable[[Project], float], float]] = [
    (SetStepDuration("retract", "leg-up", 3.25), lambda project: step(project, "leg-up").duration, 3.25),
    (SetStepDuration("retract", "leg-up", -1.0), lambda project: step(project, "leg-up").duration, 0.0),
    (SetStepDelay("retract", "leg-up", -0.5), lambda project: step(project, "leg-up").delay, -0.5),
    (SetMove("retract", "leg-up", "gear", 99.0), lambda project: step(project, "leg-up").moves[0].to, 99.0),
    (SetDriveStart("retract", "gear", 2.0), lambda project: project.sequences[0].start["gear"], 2.0),
    (SetDriveStart("retract", "doors", 7.0), lambda project: project.sequences[0].start["doors"], 7.0),
]


@pytest.mark.parametrize(("edit", "look", "value"), EDITS, ids=lambda one: None if callable(one) else repr(one))
def test_an_edit_changes_what_it_names(edit: Edit, look: Callable[[Project], float], value: float):
    edited = edit.apply(PROJECT)
    assert look(edited) == value
    assert edited != PROJECT
    assert encode(PROJECT) == encode(read_project(FILE)), "the old project has changed"
    assert decode(encode(edited), FILE) == edited


@pytest.mark.parametrize("edit", [edit for edit, _, _ in EDITS], ids=repr)
def test_what_an_edit_does_not_touch_stays_the_same_object(edit: Edit):
    edited = edit.apply(PROJECT)
    for name in ("aircraft", "views", "bodies", "connections", "drives", "pairs", "targets", "figures"):
        assert getattr(edited, name) is getattr(PROJECT, name)
    before, after = PROJECT.sequences[0], edited.sequences[0]
    assert sum(one is not other for one, other in zip(before.steps, after.steps, strict=True)) <= 1
    assert before.start is after.start or before.steps is after.steps


@pytest.mark.parametrize("edit", [edit for edit, _, _ in EDITS], ids=repr)
def test_the_same_edit_again_changes_nothing(edit: Edit):
    edited = edit.apply(PROJECT)
    assert edit.apply(edited) is edited


@pytest.mark.parametrize(
    "edit",
    [
        SetStepDuration("retract", "leg-down", 3.0),
        SetStepDuration("extend", "leg-up", 3.0),
        SetStepDelay("retract", "leg-down", 3.0),
        SetMove("retract", "leg-down", "gear", 3.0),
        SetDriveStart("extend", "gear", 3.0),
        *(SetStepDuration("retract", "leg-up", number) for number in (math.nan, math.inf)),
        *(SetStepDelay("retract", "leg-up", number) for number in (math.nan, math.inf, -math.inf)),
        *(SetMove("retract", "leg-up", "gear", number) for number in (math.nan, math.inf)),
        *(SetDriveStart("retract", "gear", number) for number in (math.nan, -math.inf)),
    ],
    ids=repr,
)
def test_an_edit_of_nothing_gives_back_the_same_project(edit: Edit):
    assert edit.apply(PROJECT) is PROJECT


def test_labels_are_for_the_edit_menu():
    labels = {edit.label for edit, _, _ in EDITS}
    assert labels == {"Change step duration", "Change step delay", "Change drive target", "Change drive start"}


def test_an_edit_reaches_only_its_own_sequence():
    twin = Sequence(id="again", steps=(Step(id="leg-up", duration=1.0),))
    project = Project(aircraft=PROJECT.aircraft, sequences=(*PROJECT.sequences, twin))
    edited = SetStepDuration("again", "leg-up", 2.0).apply(project)
    assert edited.sequences[0] is PROJECT.sequences[0]
    assert edited.sequences[1].steps[0].duration == 2.0
