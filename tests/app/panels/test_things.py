"""What the list of bodies, connections, drives and steps holds, and what words find in it."""

from app.panels.things import found, things
from core.document.look_edits import SetHidden, SetLocked, SetTint
from tests.app.small_aircraft import small_aircraft


def names(rows) -> list[str]:
    return [row.name if row.id else f"[{row.name} {row.kind}]" for row in rows]


def test_everything_that_can_be_chosen_stands_under_its_heading():
    assert names(things(small_aircraft())) == [
        "[Bodies, topmost first 4]", "Aft door", "Main door", "Nose leg", "Keel and bay walls",
        "[Connections 3]", "Leg trunnion", "Main door hinge", "Aft door hinge",
        "[Drives 2]", "Leg angle", "Main door",
    ]  # fmt: skip


def test_searching_narrows_down_word_by_word():
    rows = things(small_aircraft())
    assert names(found(rows, "door")) == [
        "[Bodies, topmost first 2]", "Aft door", "Main door", "[Connections 2]", "Main door hinge", "Aft door hinge",
        "[Drives 1]", "Main door",
    ]  # fmt: skip
    assert names(found(rows, "AFT hinge")) == ["[Connections 1]", "Aft door hinge"]
    assert found(rows, "propeller") == ()


def test_a_connection_is_found_by_what_it_joins():
    assert names(found(things(small_aircraft()), "nose pivot")) == ["[Connections 1]", "Leg trunnion"]


def test_no_words_find_everything():
    rows = things(small_aircraft())
    assert found(rows, "  ") == rows


def test_what_is_hidden_locked_or_tinted_is_found_by_that_and_read_out():
    project = SetTint(("leg",), "moss", "").apply(SetHidden(("leg", "hinge"), True, "").apply(small_aircraft()))
    rows = things(SetLocked(("door",), True, "").apply(project))
    assert names(found(rows, "hidden")) == [
        "[Bodies, topmost first 1]", "Nose leg", "[Connections 1]", "Main door hinge"
    ]  # fmt: skip
    assert names(found(rows, "locked"))[1:] == ["Main door"]
    said = {row.name: row.said(loose=row.id == "aft-door") for row in rows if row.kind in ("leg", "door")}
    assert said == {
        "Nose leg": "Nose leg, hidden, tint moss, leg", "Main door": "Main door, locked, door",
        "Aft door": "Aft door, loose, door",
    }  # fmt: skip


def test_the_steps_of_a_sequence_can_be_chosen_without_a_mouse():
    project = small_aircraft()
    assert names(things(project, project.sequences[1]))[-3:] == ["[Steps 2]", "Wait", "Wait on"]
