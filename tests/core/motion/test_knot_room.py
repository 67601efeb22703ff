"""How near knots come to a dead centre: against two links in a triangle, and by making a rod other by so much."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.project import Project, Rod
from core.geometry.planar import point_at
from core.mechanism.build import build
from core.motion.knot_room import room
from core.motion.motion import Motion
from core.motion.nearness import nearness_of
from core.motion.newton import tangle_of
from core.motion.placing import Placing
from core.motion.trouble import DeadCentre, Jam
from tests.core.motion.test_knots import EYES, FEET, pushed_parallelogram, ram_length, table
from tests.mechanisms.example import solve
from tests.mechanisms.sketch import FRAME, frame, moving, pivot, project, step


@pytest.mark.parametrize("left", [1e-4, 0.01, 0.3])
@pytest.mark.parametrize("turned", [0.0, 37.0])
@pytest.mark.parametrize(("one", "other", "stretched"), [(30.0, 40.0, True), (50.0, 20.0, False), (12.0, 80.0, False)])
def test_of_two_links_it_is_what_their_lengths_have_over(
    one: float, other: float, stretched: bool, turned: float, left: float
) -> None:
    """The triangle inequality: two links reach the sum of their lengths at the most, and their difference at least."""
    apart = one + other - left if stretched else abs(one - other) + left
    along = (one**2 + apart**2 - other**2) / (2.0 * apart)
    knee = along + 1j * np.sqrt(one**2 - along**2)
    lie = complex(np.exp(1j * np.deg2rad(turned)))
    made = build(project(
        (frame(), *moving("near", "far")),
        (
            pivot("a", FRAME, "near", 0),
            pivot("b", FRAME, "far", apart * lie),
            pivot("knee", "near", "far", knee * lie),
        ),
        {},
    ))  # fmt: skip
    placing, drawn = Placing.drawn(3, np.zeros(1), np.zeros((1, 0))), np.zeros((1, 2, 3))
    tangle = tangle_of(made, (0, 1, 2), ((1,), (2,)), {}, placing, drawn)
    (found,) = room(tangle, placing, drawn)
    assert found == pytest.approx(left, rel=0.05)


def pushed(to: float, rods: dict[str, float] | None = None) -> Project:
    made = table(step("out", 2.0, {"push": to}), step("back", 2.0, {"push": 0.0}))
    lengths = {f"rod-{at}": abs(eye - foot) for at, (foot, eye) in enumerate(zip(FEET, EYES, strict=True))}
    return replace(made, connections=tuple(
        replace(one, length=lengths[one.id] + rods.get(one.id, 0.0)) if rods and isinstance(one, Rod) else one
        for one in made.connections
    ))  # fmt: skip


def jams(made: Project) -> bool:
    return any(isinstance(one, Jam) for one in solve(made, 21).troubles)


@pytest.mark.parametrize("to", [-19.9, -20.3])
def test_a_rod_that_is_other_by_more_jams_and_by_less_does_not(to: float) -> None:
    (near,) = nearness_of(solve(pushed(to), 41))
    assert near.time == pytest.approx(2.0, abs=1e-6)
    assert near.drives == ("push",)
    changes = [{rod: way * near.distance} for rod in ("rod-0", "rod-1", "rod-2") for way in (1.0, -1.0)]
    assert not any(jams(pushed(to, {rod: 0.85 * by for rod, by in change.items()})) for change in changes)
    assert any(jams(pushed(to, {rod: 1.15 * by for rod, by in change.items()})) for change in changes)


def missing_one_point(motion: Motion, time: float) -> float:
    """How far the lines of the three rods are from one point: the determinant of their directions and moments, mm."""
    (poses,) = motion.poses_at(np.array([time]))
    shoe, plate = (poses[motion.bodies.index(one)] for one in ("shoe", "plate"))
    feet = [point_at(shoe, FEET[0]), *FEET[1:]]
    lines = []
    for foot, eye in zip(feet, (point_at(plate, one) for one in EYES), strict=True):
        way = (eye - foot) / abs(eye - foot)
        lines.append((way.real, way.imag, (np.conj(foot) * way).imag))
    return float(abs(np.linalg.det(np.array(lines))))


def test_a_plate_on_three_rods_is_at_its_dead_centre_where_their_lines_meet() -> None:
    """The second kind of singularity of C. Gosselin and J. Angeles (IEEE Trans. Robotics and Automation 6, 1990; from
    memory): the three rods of a plate meet in one point, or are parallel, and it can turn about that point."""
    motion = solve(pushed(-30.0), 301)
    (jam,) = (one for one in motion.troubles if isinstance(one, Jam))
    assert missing_one_point(motion, jam.begin) < 2e-3 * missing_one_point(motion, 0.0)
    (near,) = nearness_of(motion)
    assert near.distance < 1e-4
    assert min(abs(near.time - jam.begin), abs(near.time - jam.end)) < 1e-6


@pytest.mark.parametrize("frames", [2, 20, 81, 160])
def test_a_change_point_of_a_knot_is_told_when_it_is_and_that_there_are_two_ways(frames: int) -> None:
    (found,) = solve(pushed_parallelogram(60.0, -60.0), frames).troubles
    assert isinstance(found, DeadCentre)
    begin, through, end = (ram_length(angle) for angle in (60.0, 0.0, -60.0))
    assert found.time == pytest.approx(2.0 * (through - begin) / (end - begin), abs=1e-6)
    assert (found.drive, found.branches) == ("push", True)
    assert found.distance == pytest.approx(0.0, abs=1e-9)
