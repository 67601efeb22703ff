"""Which number, changed to what, lets a sequence go through: on triangles whose answers are the cosine rule's."""

from __future__ import annotations

import math
from typing import Any

import pytest
from msgspec.structs import replace

from core.document.project import Project
from core.motion.cures import Cure, Part, cure_of, cures_of
from core.motion.motion import Motion
from core.motion.trouble import Jam, TravelPassed
from tests.mechanisms.example import solve
from tests.mechanisms.sketch import FRAME, frame, jack, moving, pivot, project, rod, step


def lever(length: float) -> Project:
    """A crank of 10 at the origin and a lever of 30 at (50, 0), with a rod between their ends.

    With the crank at 180 degrees its end is 60 from the lever's pivot, so that the rod has to be 60 - 30 = 30 long at
    the least (triangle inequality).
    """
    end = 50 + 30j
    return project(
        (frame(), *moving("crank", "lever")),
        (
            pivot("crank-pivot", FRAME, "crank", 0),
            pivot("lever-pivot", FRAME, "lever", 50),
            rod("link", "crank", "lever", 10 + 0j, end, length),
        ),
        {"input": "crank-pivot"},
        (step("round", 2.0, {"input": 180.0}),),
        {"input": 0.0},
    )


def jams(made: Project) -> list[Jam]:
    return [one for one in solve(made, 121).troubles if isinstance(one, Jam)]


def test_a_rod_that_is_too_short_is_to_be_longer_by_what_is_short() -> None:
    made = lever(28.5)
    motion = solve(made, 121)
    (jam,) = (one for one in motion.troubles if isinstance(one, Jam))
    assert jam.short_by == pytest.approx(1.5, abs=1e-6)
    cure = cure_of(motion, jam)
    assert cure is not None
    assert (cure.connection, cure.by) == ("link", pytest.approx(1.5, abs=2e-3))
    assert jams(lever(28.5 + cure.by)) == []
    assert jams(lever(28.5 + 0.9 * cure.by))


def test_without_a_rod_there_is_no_such_cure() -> None:
    made = project(
        (frame(), *moving("left", "right")),
        (pivot("a", FRAME, "left", 0), pivot("b", "left", "right", 30 + 40j), pivot("c", FRAME, "right", 60)),
        {"push": "a"},
        (step("push", 1.0, {"push": 10.0}),),
    )
    motion = solve(made, 31)
    found = [one for one in motion.troubles if isinstance(one, Jam)]
    assert found
    assert all(cure_of(motion, one) is None for one in found)


def the(motion: Motion, kind: type) -> Any:
    (found,) = (one for one in motion.troubles if isinstance(one, kind))
    return found


def by_part(made: Project, kind: type, frames: int = 121) -> dict[Part, Cure]:
    motion = solve(made, frames)
    return {one.part: one for one in cures_of(motion, the(motion, kind))}


def test_a_step_may_also_stop_before_it_jams() -> None:
    """28.5 + 30 is how far the crank's end may be from the lever's pivot, which by the cosine rule is at
    acos((10² + 50² - 58.5²) / (2 · 10 · 50))."""
    asked = by_part(lever(28.5), Jam)[Part.ASKED]
    limit = math.degrees(math.acos((10**2 + 50**2 - 58.5**2) / (2 * 10 * 50)))
    assert (asked.connection, asked.drive, asked.step, asked.unit) == ("crank-pivot", "input", "round", "deg")
    assert limit - 0.02 < asked.to <= limit
    assert asked.by == pytest.approx(asked.to - 180.0)


def test_a_jack_that_rests_is_to_be_longer_closed() -> None:
    """The same triangle with a resting jack, closed 20 and 8.5 mm out, in the rod's place."""
    end = 50 + 30j
    made = project(
        (frame(), *moving("crank", "lever")),
        (
            pivot("crank-pivot", FRAME, "crank", 0),
            pivot("lever-pivot", FRAME, "lever", 50),
            jack("ram", "crank", "lever", 10 + 0j, end, 20.0, 60.0),
        ),
        {"input": "crank-pivot", "push": "ram"},
        (step("round", 2.0, {"input": 180.0}),),
        {"input": 0.0, "push": 8.5},
    )
    cure = by_part(made, Jam)[Part.LENGTH]
    assert (cure.connection, cure.by) == ("ram", pytest.approx(1.5, abs=2e-3))
    assert cure.to == pytest.approx(21.5, abs=2e-3)


def swinging(limits: tuple[float, float], to: float) -> Project:
    return project(
        (frame(), *moving("leg")),
        (pivot("hinge", FRAME, "leg", 0, limits),),
        {"gear": "hinge"},
        (step("up", 2.0, {"gear": to}, profile="eased"),),
    )


@pytest.mark.parametrize(("to", "part", "limit"), [(100.0, Part.HIGH, 90.0), (-12.0, Part.LOW, -5.0)])
def test_a_pivots_limit_or_what_is_asked_of_it(to: float, part: Part, limit: float) -> None:
    found = by_part(swinging((-5.0, 90.0), to), TravelPassed)
    assert set(found) == {part, Part.ASKED}
    assert (found[part].to, found[part].by, found[part].unit) == (pytest.approx(to), pytest.approx(to - limit), "deg")
    assert (found[Part.ASKED].to, found[Part.ASKED].step) == (pytest.approx(limit), "up")


def leg_with_jack(stroke: float, to: float) -> Project:
    """A jack from 40 beside the leg's pivot to 30 down the leg: 50 long as drawn (3, 4, 5), 70 with the leg swung
    right away, and (40² + 30² - 2 · 40 · 30 cos)½ between."""
    return project(
        (frame(), *moving("leg")),
        (pivot("hinge", FRAME, "leg", 0), jack("brace", FRAME, "leg", 40, -30j, 45.0, stroke)),
        {"gear": "hinge"},
        (step("up", 2.0, {"gear": to}),),
    )


def test_a_jack_drawn_too_far_out() -> None:
    """A leg turned 30 degrees away makes 120 between: 40² + 30² + 40 · 30 = 3700."""
    reach = math.sqrt(3700.0)
    found = by_part(leg_with_jack(14.0, -30.0), TravelPassed)
    assert found[Part.STROKE].to == pytest.approx(reach - 45.0, abs=0.0101)
    assert found[Part.STROKE].to >= reach - 45.0
    assert found[Part.LENGTH].to == pytest.approx(reach - 14.0, abs=0.0101)
    angle = math.degrees(math.acos((40**2 + 30**2 - 59.0**2) / (2 * 40 * 30))) - 90.0
    assert -angle <= found[Part.ASKED].to < -angle + 0.02


def test_a_jack_driven_in_too_far_is_to_be_closed_shorter() -> None:
    """A leg turned 30 degrees towards it makes 60 between: 40² + 30² - 40 · 30 = 1300."""
    found = by_part(leg_with_jack(14.0, 30.0), TravelPassed)
    assert Part.STROKE not in found
    assert found[Part.LENGTH].to == pytest.approx(math.sqrt(1300.0), abs=0.0101)
    assert found[Part.LENGTH].to <= math.sqrt(1300.0)
    assert found[Part.ASKED].to == pytest.approx(90 - math.degrees(math.acos((2500 - 45.0**2) / 2400)), abs=0.02)


@pytest.mark.parametrize("made", [lever(28.5), swinging((-5.0, 90.0), 100.0), leg_with_jack(14.0, -30.0)])
def test_nothing_is_wrong_with_any_cure_done_and_something_with_a_little_less(made: Project) -> None:
    """Not by the solver's own word that it tried, but by a project that is changed and checked again."""
    motion = solve(made, 61)
    trouble = next(one for one in motion.troubles if isinstance(one, Jam | TravelPassed))
    for cure in cures_of(motion, trouble):
        assert not stopped(done(made, cure, 1.0))
        assert stopped(done(made, cure, 0.97))


def stopped(made: Project) -> bool:
    """What is cured of a jam by a micron still comes near its dead centre, and is told so."""
    return any(isinstance(one, Jam | TravelPassed) for one in solve(made, 241).troubles)


def done(made: Project, cure: Cure, share: float) -> Project:
    """A project with (part of) a cure's change in its document."""
    to = cure.to - (1.0 - share) * cure.by
    match cure.part:
        case Part.ASKED:
            (one,) = made.sequences
            moves = (replace(one.steps[0].moves[0], to=to),)
            return replace(made, sequences=(replace(one, steps=(replace(one.steps[0], moves=moves),)),))
        case Part.LENGTH:
            fields = {"length" if cure.connection == "link" else "closed": to}
        case Part.STROKE:
            fields = {"stroke": to}
        case _:
            fields = {"limits": (-5.0, to)}
    changed = tuple(replace(one, **fields) if one.id == cure.connection else one for one in made.connections)
    return replace(made, connections=changed)
