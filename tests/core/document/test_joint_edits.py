"""Edits of connections and drives, undone by the project before them."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from core.document.checks import problems
from core.document.fresh import fresh_id, fresh_name, id_from
from core.document.joint_edits import (
    AddConnection,
    AddDrive,
    MoveEnd,
    RenameDrive,
    ReplaceConnection,
    ReplaceDrive,
    ends_of,
    with_end,
)
from core.document.project import Drive, Gearing, Pivot, Rod
from core.document.project_file import decode, encode, read_project
from core.sketch.body_edits import RemoveThings
from tests.formats.merrow import FOLDER

PROJECT = read_project(FOLDER)
BY_ID = {one.id: one for one in PROJECT.connections}


def connection(project, wanted):
    return next(one for one in project.connections if one.id == wanted)


@pytest.mark.parametrize("one", PROJECT.connections, ids=lambda one: one.id)
def test_every_end_can_be_moved(one):
    for number, _ in enumerate(ends_of(one)):
        moved = with_end(one, number, (123.0, 45.0))
        assert ends_of(moved)[number] == (123.0, 45.0)
        assert [end for i, end in enumerate(ends_of(moved)) if i != number] == [
            end for i, end in enumerate(ends_of(one)) if i != number
        ]
        edited = MoveEnd(one.id, number, (123.0, 45.0)).apply(PROJECT)
        assert connection(edited, one.id) == moved
        assert edited.bodies is PROJECT.bodies


def test_moving_an_end_to_where_it_is_changes_nothing():
    rod = next(one for one in PROJECT.connections if isinstance(one, Rod))
    assert MoveEnd(rod.id, 0, rod.ends[0]).apply(PROJECT) is PROJECT
    assert MoveEnd(rod.id, 0, (float("nan"), 0.0)).apply(PROJECT) is PROJECT


def test_a_connection_is_added_with_its_drive():
    first, second = PROJECT.bodies[0].id, PROJECT.bodies[1].id
    pivot = Pivot(id="new-pivot", name="New pivot", bodies=(first, second), at=(0.0, 0.0))
    edit = AddConnection(pivot, Drive(id="new-drive", on="new-pivot"))
    assert edit.label == "Add pivot New pivot"
    assert problems(edit.apply(PROJECT)) == problems(PROJECT)


def test_a_connection_is_replaced_and_the_rest_shared():
    pivot = next(one for one in PROJECT.connections if isinstance(one, Pivot))
    changed = ReplaceConnection(Pivot(id=pivot.id, bodies=pivot.bodies, at=pivot.at, pin=9.0)).apply(PROJECT)
    assert connection(changed, pivot.id).pin == 9.0
    assert all(
        one is other for one, other in zip(changed.connections, PROJECT.connections, strict=True) if one.id != pivot.id
    )


def test_removing_a_drive_takes_every_mention_along():
    drive = PROJECT.drives[0]
    left = RemoveThings((drive.id,)).apply(PROJECT)
    assert drive not in left.drives
    assert all(drive.id not in one.start for one in left.sequences)
    assert all(move.drive != drive.id for one in left.sequences for step in one.steps for move in step.moves)
    assert problems(left) == problems(PROJECT)
    assert RemoveThings(("nothing",)).apply(PROJECT) is PROJECT


def test_one_drive_a_connection():
    drive = PROJECT.drives[0]
    assert AddDrive(Drive(id="other", on=drive.on)).apply(PROJECT) is PROJECT
    assert RenameDrive(drive.id, "Gear").apply(PROJECT).drives[0].name == "Gear"
    assert RenameDrive(drive.id, drive.name).apply(PROJECT) is PROJECT


@pytest.mark.parametrize(
    ("words", "made"),
    [("Nose leg", "nose-leg"), ("  Tür 2 ", "tur-2"), ("—", "thing"), ("x" * 80, "x" * 56), ("A/B\n c", "a-b-c")],
)
def test_ids_are_made_of_words(words, made):
    assert id_from(words) == made


def test_ids_and_names_are_numbered_where_they_are_taken():
    body = PROJECT.bodies[0].id
    assert fresh_id(PROJECT, body) == f"{body}-2"
    assert fresh_id(PROJECT, body, {f"{body}-2"}) == f"{body}-3"
    assert fresh_name({"Door", "Door 2"}, "Door") == "Door 3"


def test_how_exactly_a_drive_and_a_gearing_come_to_a_value_goes_to_the_file_and_back():
    drive = replace(PROJECT.drives[0], resolution=0.2, hysteresis=0.0)
    edited = ReplaceDrive(drive).apply(PROJECT)
    assert ReplaceDrive(drive).label == f"Change {drive.name}"
    assert edited.drives[0] == drive
    assert edited.drives[1:] == PROJECT.drives[1:]
    assert ReplaceDrive(drive).apply(edited) is edited
    tube = next(one for one in PROJECT.connections if isinstance(one, Gearing))
    geared = ReplaceConnection(replace(tube, backlash=0.0)).apply(edited)
    assert decode(encode(geared), Path("project.json")) == geared
    assert problems(geared) == problems(PROJECT)


@pytest.mark.parametrize("key", ["resolution", "hysteresis"])
def test_a_drive_that_is_better_than_exact_is_told(key):
    (told,) = problems(ReplaceDrive(replace(PROJECT.drives[0], **{key: -0.1})).apply(PROJECT))
    assert str(told).startswith(f"drives[0].{key} (gear): -0.1 cannot be")
