"""What only friction would hold, in the words and the JSON of a check."""

from __future__ import annotations

from core.document.project import Project
from core.report import to_json, to_text
from core.study import run
from tests.mechanisms.sketch import FRAME, frame, latch, moving, pivot, project, step


def left_by_its_latch() -> Project:
    """A leg carries a door by a latch for a second; then it lets go, and leaves the door on its hinge."""
    return project(
        (frame(), *moving("leg", "door")),
        (
            pivot("leg-pivot", FRAME, "leg", 0),
            pivot("hinge", FRAME, "door", -40),
            latch("hook", "leg", "door", 10 - 30j, 10 - 30j),
        ),
        {"gear": "leg-pivot"},
        (step("rest", 1.0), step("up", 2.0, {"gear": 50.0}, release=("hook",))),
    )


def test_a_door_that_its_latch_has_left_is_held_by_friction_only_and_from_then_on() -> None:
    """Gravity is not looked at: whatever nothing drives or holds is loose, however it hangs."""
    made = left_by_its_latch()
    study = run(made, frames=41)
    said = "door is loose from 1.00 s to 3.00 s: nothing drives or holds it, and only friction at hinge would"
    assert said in to_text(study)
    (found,) = to_json(study)["sequences"][0]["findings"]
    assert found == {
        "kind": "loose", "bodies": ["door"], "freedoms": 1, "from": 1.0, "to": 3.0, "friction_at": ["hinge"],
    }  # fmt: skip


def test_a_straight_brace_that_nothing_drives_may_fold_either_way() -> None:
    """Two links in line are a toggle: to the first order they hold the leg, and nothing holds their knee."""
    made = project(
        (frame(), *moving("leg", "upper", "lower")),
        (
            pivot("leg-pivot", FRAME, "leg", 0),
            pivot("top", FRAME, "upper", 60),
            pivot("knee", "upper", "lower", 30 - 15j),
            pivot("lug", "lower", "leg", -30j),
        ),
        {},
        (step("wait", 2.0),),
    )
    loose, dead = to_json(run(made, frames=5))["sequences"][0]["findings"]
    assert (loose["kind"], loose["bodies"], loose["freedoms"]) == ("loose", ["upper", "lower"], 1)
    assert loose["friction_at"] == ["top", "knee", "lug"]
    assert (dead["kind"], dead["connections"], dead["time"]) == ("dead-centre", ["top", "knee", "lug"], 0.0)


def test_what_floats_has_no_joint_whose_friction_could_hold_it() -> None:
    made = project((frame(), *moving("adrift")), (), {}, (step("wait", 1.0),))
    (found,) = to_json(run(made, frames=3))["sequences"][0]["findings"]
    assert (found["freedoms"], "friction_at" in found) == (3, False)
