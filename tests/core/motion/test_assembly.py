"""Which steps a plan takes, for each of the ways that two or three groups can be joined."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.project import Project
from core.mechanism.build import build
from core.motion.assembly import Plan, make_plan
from core.motion.inputs import inputs_of
from core.motion.placing import Placing
from core.motion.schedule import lay_out
from tests.mechanisms.catalogue import catalogue
from tests.mechanisms.sketch import FRAME, frame, moving, pivot, project, rod, slide
from tests.mechanisms.variations import shuffled


def plan_of(made: Project) -> Plan:
    mechanism = build(made)
    drawn = inputs_of(mechanism, lay_out(made.sequences[0])).drawn
    start = Placing.at_poses(np.zeros((len(made.bodies), 3)), np.array([drawn], dtype=float))
    return make_plan(mechanism, start, {})


def steps(made: Project) -> list[str]:
    return sorted(type(stage.step).__name__ for stage in plan_of(made).stages)


EXPECTED = {
    "crank-rocker, open": ["ThreePivots", "Turned"],
    "crank-rocker with a rod for coupler": ["PinnedBar", "Turned"],
    "slider-crank": ["Turned", "TwoPivotsAndSlide"],
    "offset slider-crank with a rod": ["SlidBar", "Turned"],
    "slider-crank pushed by its slider": ["Slid", "ThreePivots"],
    "leg on a jack": ["PinnedBar"],
    "leg on a barrel and piston": ["Slid", "ThreePivots"],
    "Scotch yoke": ["SlidTrack", "Turned"],
    "crank and slotted lever": ["PinnedTrack", "Turned"],
    "shaper": ["Turned", "TwoPivotsAndSlide", "TwoPivotsAndSlide"],
    "Peaucellier's cell": ["ThreePivots", "ThreePivots", "ThreePivots", "Turned"],
    "five-bar with two drives": ["ThreePivots", "Turned", "Turned"],
    "four-bar driven at its coupler": ["ThreePivots", "Turned"],
    "three cranks, one coupler": ["Aligned", "ThreePivots", "Turned"],
    "torque tube through three views": ["Turned", "Turned", "Turned"],
    "slide on a slide on an arm": ["Slid", "Slid", "Turned"],
}


@pytest.mark.parametrize("name", EXPECTED)
def test_what_reduces_to_one_unknown_is_taken_in_closed_form(name: str) -> None:
    example = next(one for one in catalogue() if one.name == name)
    assert steps(example.project) == EXPECTED[name]
    assert steps(shuffled(example, 3).project) == EXPECTED[name]


def test_two_slides_and_a_pivot_among_three_bodies() -> None:
    """The cross slide of an elliptic trammel's block: it follows the pin both ways."""
    made = project(
        (frame(), *moving("block", "cross", "crank")),
        (
            pivot("o2", FRAME, "crank", 0),
            slide("rail", FRAME, "cross", 10, 1),
            slide("post", "cross", "block", 10 + 5j, 1j),
            pivot("pin", "crank", "block", 10 + 5j),
        ),
        {"input": "o2"},
    )
    assert steps(made) == ["Turned", "TwoSlidesAndPivot"]


def test_what_only_three_rods_hold_is_a_knot() -> None:
    made = project(
        (frame(), *moving("plate")),
        tuple(rod(f"rod-{at}", FRAME, "plate", foot, 30 + 10j + eye) for at, (foot, eye) in enumerate(PLATE)),
        {},
    )
    plan = plan_of(made)
    assert [type(stage.step).__name__ for stage in plan.stages] == ["Knot"]
    assert plan.checks == ()


PLATE = ((0j, 0j), (50 + 0j, 12 + 1j), (80 + 20j, 6 + 8j))


def test_one_rod_more_than_is_needed_is_only_checked() -> None:
    """A pivot and two rods: one of the rods places, the other is looked at afterwards."""
    made = project(
        (frame(), *moving("leg")),
        (pivot("leg-pivot", FRAME, "leg", 0), rod("one", FRAME, "leg", 9, 5j), rod("two", FRAME, "leg", 9j, 5)),
        {},
    )
    plan = plan_of(made)
    assert [type(stage.step).__name__ for stage in plan.stages] == ["PinnedBar"]
    assert [build(made).links[number].id for number in plan.checks] == ["two"]


def test_a_rod_to_the_pivot_itself_gives_no_turn() -> None:
    made = project(
        (frame(), *moving("leg")),
        (pivot("leg-pivot", FRAME, "leg", 0), rod("idle", FRAME, "leg", 9, 0), rod("stay", FRAME, "leg", 9, 5j)),
        {},
    )
    (stage,) = plan_of(made).stages
    assert stage.step.links == (0, 2)


def test_parallel_slides_hold_no_place() -> None:
    made = project(
        (frame(), *moving("block")),
        (slide("one", FRAME, "block", 0, 1), slide("two", FRAME, "block", 5j, 1)),
        {},
    )
    (stage,) = plan_of(made).stages
    assert stage.held
    crossed = replace(made, connections=(made.connections[0], slide("two", FRAME, "block", 5j, 1j)))
    (stage,) = plan_of(crossed).stages
    assert not stage.held


def test_what_nothing_drives_is_held_where_it_hangs() -> None:
    made = project(
        (frame(), *moving("leg", "door", "adrift")),
        (pivot("leg-pivot", FRAME, "leg", 0), pivot("hinge", "leg", "door", 9)),
        {"gear": "leg-pivot"},
    )
    plan = plan_of(made)
    assert [stage.held for stage in plan.stages] == [False, True, True]
    assert plan.stages[1].upstream == frozenset({0})
    assert plan.stages[2].upstream == frozenset()
