from app.panels.things import found, things
from tests.app.small_aircraft import small_aircraft


def names(rows) -> list[str]:
    return [row.name if row.id else f"[{row.name} {row.kind}]" for row in rows]


def test_everything_that_can_be_chosen_stands_under_its_heading():
    assert names(things(small_aircraft())) == [
        "[Bodies 4]", "Keel and bay walls", "Nose leg", "Main door", "Aft door",
        "[Connections 3]", "Leg trunnion", "Main door hinge", "Aft door hinge",
        "[Drives 2]", "Leg angle", "Main door",
    ]  # fmt: skip


def test_searching_narrows_down_word_by_word():
    rows = things(small_aircraft())
    assert names(found(rows, "door")) == [
        "[Bodies 2]", "Main door", "Aft door", "[Connections 2]", "Main door hinge", "Aft door hinge",
        "[Drives 1]", "Main door",
    ]  # fmt: skip
    assert names(found(rows, "AFT hinge")) == ["[Connections 1]", "Aft door hinge"]
    assert found(rows, "propeller") == ()


def test_a_connection_is_found_by_what_it_joins():
    assert names(found(things(small_aircraft()), "nose pivot")) == ["[Connections 1]", "Leg trunnion"]


def test_no_words_find_everything():
    rows = things(small_aircraft())
    assert found(rows, "  ") == rows


def test_the_steps_of_a_sequence_can_be_chosen_without_a_mouse():
    project = small_aircraft()
    assert names(things(project, project.sequences[1]))[-3:] == ["[Steps 2]", "Wait", "Wait on"]
