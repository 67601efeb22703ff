"""What an edit would break, told by the names that people gave and not by the file's ids and places."""

from __future__ import annotations

from msgspec.structs import replace

from core.document.checks import new_problems
from core.document.problem import Problem
from core.document.problem_words import in_names, in_words
from core.document.step_time_edits import ChainStep, SetStepDelay, SetStepDuration
from tests.app.small_aircraft import small_aircraft


def told(edit) -> str:
    before = small_aircraft()
    after = edit.apply(before)
    return in_words(after, new_problems(before, after)[0])


def test_steps_and_drives_are_told_by_their_names():
    assert told(SetStepDelay("retract", "doors-close", -5.0)) == (
        "Doors close: moves drive “Main door” while step “Doors open” is still moving it; "
        "let one step end before the other begins"
    )


def test_the_step_is_named_where_the_problem_names_nothing():
    assert told(SetStepDuration("retract", "leg-up", 1e5)).startswith("Leg up: the step would end ")


def test_what_has_no_name_is_told_by_its_id_and_what_is_quoted_otherwise_stays():
    aircraft = small_aircraft()
    unnamed = replace(aircraft, bodies=tuple(replace(one, name="") for one in aircraft.bodies))
    problem = Problem("bodies[1]", "'leg' and 'nothing' differ", "", ("bodies", 1, "shapes"))
    assert in_words(unnamed, problem) == "leg: “leg” and 'nothing' differ"


def test_a_problem_of_no_thing_stands_alone():
    problem = Problem("scale", "0", "a scale above 0", ("scale",))
    assert in_words(small_aircraft(), problem) == in_names(small_aircraft(), problem) == "0; a scale above 0"


def test_a_place_beyond_what_there_is_belongs_to_nothing():
    assert in_words(small_aircraft(), Problem("bodies[99]", "gone", "", ("bodies", 99))) == "gone"


def test_steps_that_wait_for_each_other_are_told_by_their_names():
    assert told(ChainStep("retract", "doors-open", after="leg-up")) == (
        "Retract: “Doors open” waits for “Leg up”, which waits for “Doors open”; a step may not wait for itself"
    )
