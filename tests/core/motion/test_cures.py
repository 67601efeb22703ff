"""The rod whose change of length cures a jam, on a triangle whose answer is plain."""

from __future__ import annotations

import pytest

from core.document.project import Project
from core.motion.cures import cure_of
from core.motion.trouble import Jam
from tests.mechanisms.example import solve
from tests.mechanisms.sketch import FRAME, frame, moving, pivot, project, rod, step


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
