"""What is loose and what is redundant, by the textbook's count and by what is known of each special case.

The count is Kutzbach's, M = 3 (L - 1) - 2 J; where lengths agree by design, as in a double parallelogram, the mechanism
moves in spite of it and what the count lacks is redundant.
"""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.project import Connection, Gearing, Jack, Pivot, Project, Rod, Slide, Slot
from core.motion.motion import Motion
from core.motion.trouble import DeadCentre, Jam, Loose, Redundant
from tests.mechanisms.catalogue import CRANK_ROCKER, catalogue
from tests.mechanisms.example import Example, solve
from tests.mechanisms.four_bars import four_bar
from tests.mechanisms.lattices import coupled_cranks, five_bar
from tests.mechanisms.sketch import FRAME, frame, moving, pivot, project, rod, slide, step
from tests.mechanisms.undercarriage import wheel_on_axle
from tests.mechanisms.variations import undriven

every_example = pytest.mark.parametrize("example", catalogue(), ids=lambda example: example.name)

TAKEN = {Pivot: 2, Slide: 2, Slot: 1, Rod: 1, Gearing: 1}


def count(made: Project) -> int:
    """Kutzbach's mobility; a jack that is not driven takes nothing, since its length is free."""
    free = 3 * sum(not body.fixed for body in made.bodies)
    return free - sum(TAKEN.get(type(one), 0) for one in made.connections)


def loose(motion: Motion) -> list[Loose]:
    return [one for one in motion.troubles if isinstance(one, Loose)]


def redundant(motion: Motion) -> list[Redundant]:
    return [one for one in motion.troubles if isinstance(one, Redundant)]


@every_example
def test_the_catalogue_knows_its_own_freedoms(example: Example) -> None:
    assert count(example.project) == example.freedoms - example.redundant


@every_example
def test_without_its_drives_a_mechanism_is_as_loose_as_it_has_freedoms(example: Example) -> None:
    motion = solve(undriven(example.project), 3)
    found = loose(motion)
    assert sum(one.freedoms for one in found) == example.freedoms
    named = {body for one in found for body in one.bodies}
    assert named == {body.id for body in example.project.bodies if not body.fixed}
    assert np.max(np.abs(motion.poses)) <= 1e-9  # what nothing moves stays where it is
    assert sum(one.count for one in redundant(motion)) == example.redundant
    assert all(one.begin == 0.0 and one.end == motion.times[-1] for one in found)


@every_example
def test_with_its_drives_nothing_is_loose(example: Example) -> None:
    if example.name == "collar latched to a leg":
        pytest.skip("its collar is loose until the latch takes hold, which has a test of its own")
    assert loose(solve(example.project, 31)) == []


def test_a_five_bar_with_one_drive_leaves_one_freedom() -> None:
    motion = solve(five_bar(name="one drive", drives=1).project, 41)
    (found,) = loose(motion)
    assert found.freedoms == 1
    assert set(found.bodies) == {"left-link", "right-link", "right"}
    assert not any(isinstance(one, Jam) for one in motion.troubles)
    assert motion.assembled.all()


def test_an_undriven_wheel_is_loose_on_its_axle_and_goes_along() -> None:
    """It goes with the leg as a pin through it would make it: its axle stays on the leg."""
    made = wheel_on_axle(name="wheel").project
    run = made.sequences[0]
    motion = solve(replace(made, drives=made.drives[:1], sequences=(replace(run, steps=run.steps[:1]),)), 41)
    (found,) = loose(motion)
    assert (found.bodies, found.freedoms) == (("wheel",), 1)
    assert motion.assembled.all()


def test_a_collar_is_loose_until_it_is_latched() -> None:
    example = next(one for one in catalogue() if one.name == "collar latched to a leg")
    found = loose(solve(example.project, 81))
    assert {one.bodies for one in found} == {("collar",)}
    spans = sorted((one.begin, one.end) for one in found)
    assert spans == [pytest.approx((0.0, 4.0)), pytest.approx((6.0, 8.0))]


def test_two_loose_things_apart_are_told_apart() -> None:
    made = project(
        (frame(), *moving("door", "flap", "floating")),
        (pivot("door-hinge", FRAME, "door", 0), pivot("flap-hinge", FRAME, "flap", 10)),
        {},
        (step("wait", 1.0),),
    )
    found = {one.bodies: one.freedoms for one in loose(solve(made, 2))}
    assert found == {("door",): 1, ("flap",): 1, ("floating",): 3}


def truss(*extra: Connection) -> Project:
    """A triangle of three bars on the frame: nothing can move."""
    return project(
        (frame(), *moving("left", "right")),
        (
            pivot("o2", FRAME, "left", 0),
            pivot("top", "left", "right", 30 + 40j),
            pivot("o4", FRAME, "right", 60),
            *extra,
        ),
        {},
        (step("wait", 1.0),),
    )


def test_a_truss_is_rigid_and_needs_no_drive() -> None:
    motion = solve(truss(), 3)
    assert [one for one in motion.troubles if not isinstance(one, DeadCentre)] == []
    assert np.max(np.abs(motion.poses)) <= 1e-9


def test_a_second_diagonal_of_a_truss_is_redundant() -> None:
    motion = solve(truss(rod("stay", FRAME, "left", 100 + 0j, 20 + 25j)), 3)
    (found,) = redundant(motion)
    assert found.count == 1
    assert "stay" in found.connections
    assert loose(motion) == []


def test_a_driven_truss_jams() -> None:
    made = truss()
    drive = four_bar(CRANK_ROCKER, name="").project.drives[0]
    run = replace(made.sequences[0], steps=(step("push", 1.0, {"input": 10.0}),))
    motion = solve(replace(made, drives=(drive,), sequences=(run,)), 101)
    (jam,) = (one for one in motion.troubles if isinstance(one, Jam))
    assert jam.begin == pytest.approx(0.0, abs=0.01)
    assert jam.short_by > 0.0


def test_the_rod_too_many_is_among_those_named() -> None:
    """Three cranks with a ring of three rods: any one of the ring could go, and nothing outside has a part in it."""
    example = coupled_cranks(name="ring", pins=(0j, 60 + 0j, 25 + 40j), crank=20.0, drawn=30.0, rods=True)
    (found,) = redundant(solve(example.project, 61))
    assert found.count == 1
    assert {"rod-0", "rod-1", "rod-2"} <= set(found.connections)


def test_a_rod_that_does_not_agree_is_no_redundancy_but_a_jam() -> None:
    """Between a crank and a rocker that are not parallel a second rod agrees as drawn and nowhere else."""
    made = four_bar(CRANK_ROCKER, name="").project
    a, b = CRANK_ROCKER.drawn_pins()
    wrong = replace(made, connections=(*made.connections, rod("wrong", "crank", "rocker", a * 0.7, b * 0.9)))
    motion = solve(wrong, 121)
    jams = [one for one in motion.troubles if isinstance(one, Jam)]
    assert jams
    assert "wrong" in {name for one in jams for name in one.connections}


def test_two_drives_on_one_freedom_that_agree_are_redundant_not_jammed() -> None:
    """A parallelogram driven at both cranks alike."""
    example = next(one for one in catalogue() if one.name == "parallelogram")
    drives = (*example.project.drives, example.project.drives[0].__class__(id="other", on="o4"))
    run = example.project.sequences[0]
    steps = tuple(replace(one, moves=(*one.moves, replace(one.moves[0], drive="other"))) for one in run.steps)
    motion = solve(replace(example.project, drives=drives, sequences=(replace(run, steps=steps),)), 61)
    assert not any(isinstance(one, Jam) for one in motion.troubles)
    assert sum(one.count for one in redundant(motion)) == 1


def test_a_slide_in_a_slide_with_a_rod_along_it_is_rigid() -> None:
    made = project(
        (frame(), *moving("block")),
        (slide("guide", FRAME, "block", 0, 1), rod("stay", FRAME, "block", -30 + 0j, 0)),
        {},
        (step("wait", 1.0),),
    )
    motion = solve(made, 2)
    assert loose(motion) == []
    assert redundant(motion) == []


def test_an_undriven_jack_holds_nothing() -> None:
    made = project(
        (frame(), *moving("leg")),
        (
            pivot("leg-pivot", FRAME, "leg", 0),
            Jack(id="damper", bodies=(FRAME, "leg"), ends=((30.0, 10.0), (0.0, -20.0)), closed=30.0, stroke=20.0),
        ),
        {},
        (step("wait", 1.0),),
    )
    (found,) = loose(solve(made, 2))
    assert (found.bodies, found.freedoms) == (("leg",), 1)
