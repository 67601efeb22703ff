"""What is told of a chosen thing, at a moment."""

from __future__ import annotations

from functools import cache

import pytest
from msgspec.structs import replace

from app.panels.facts import Scene, facts_of, step_lines
from core.document.project import Gearing, Project
from core.motion.schedule import lay_out
from core.study import Study, run
from tests.app.small_aircraft import small_aircraft


@cache
def checked() -> Study:
    return run(small_aircraft())


def scene(moment: float, *, stale: bool = False, project: Project | None = None) -> Scene:
    study = checked().sequence("retract")
    shown = project or checked().project
    return Scene(
        project=shown, schedule=lay_out(shown.sequences[0]), study=None if stale or project else study, moment=moment
    )


def told(at: Scene, thing: str | None) -> dict[str, str]:
    return {fact.label: fact.text for fact in facts_of(at, thing).lines}


def test_a_body_says_what_it_is_and_where_it_stands_now():
    facts = told(scene(3.7), "leg")
    assert (facts["View"], facts["Shapes"]) == ("Side elevation", "2")
    assert float(facts["Turned"].rstrip("°")) == pytest.approx(46.0, abs=1e-3), "eased, half way in the middle"
    assert (facts["Moved in x"], facts["Joined by"]) == ("0 mm", "Leg trunnion")


def test_a_fixed_body_does_not_say_where_it_stands():
    facts = told(scene(1.0), "airframe")
    assert facts["Shapes"] == "1"
    assert "Turned" not in facts


def test_a_drive_and_its_pivot_agree():
    assert told(scene(0.75), "doors")["Asked for now"] == "46°"
    facts = told(scene(0.75), "hinge")
    assert (facts["Angle now"], facts["Joins"]) == ("46°", "Keel and bay walls – Main door")


def test_nothing_that_moves_is_said_while_it_is_not_known():
    assert told(scene(3.7, stale=True), "leg")["Turned"] == "…"
    assert told(scene(3.7, stale=True), "hinge")["Angle now"] == "…"
    assert told(scene(3.7, stale=True), "gear")["Asked for now"] == "…"


def test_the_aircraft_is_told_of_when_nothing_is_chosen():
    facts = facts_of(scene(0.0), None)
    assert (facts.title, facts.kind) == ("Merrow T.2", "aircraft")
    assert told(scene(0.0), None)["Bodies"] == "4, 1 fixed"
    assert told(scene(0.0), "no-such-thing")["Drives"] == "2"


def test_a_gearing_says_its_pivots():
    gearing = Gearing(id="x", pivots=("leg-pivot", "hinge"), ratio=-1.0)
    project = small_aircraft()
    project = replace(project, connections=(*project.connections, gearing))
    assert told(scene(0.0, project=project), "x") == {"Pivots": "Leg trunnion and Main door hinge"}


def test_a_step_says_when_it_runs():
    at = scene(0.0)
    leg_up = at.project.sequences[0].steps[1]
    assert [(fact.label, fact.text) for fact in step_lines(at, leg_up)] == [("Runs", "1.70 to 5.70 s")]
