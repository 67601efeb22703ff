"""What holds for any motion that a linkage makes, read off the solved poses alone."""

from __future__ import annotations

import numpy as np
import pytest

from core.document.project import Gearing, Jack, Pivot, Project, Rod, Slide, Slot
from core.motion.motion import Motion
from tests.mechanisms.catalogue import catalogue
from tests.mechanisms.example import Example, drive_tracks, point_track, solve, turn_track
from tests.mechanisms.planar import Floats, Points, cross, dot, unit
from tests.properties.chains import random_chain
from tests.properties.closures import platform

EVERY = (*catalogue(), *(random_chain(seed, growths=4) for seed in range(40, 48)), platform(11), platform(12))
MICRON_TENTH = 1e-7  # mm: a tenth of what pins are allowed

every_example = pytest.mark.parametrize("example", EVERY, ids=lambda example: example.name)


@pytest.fixture(scope="module")
def motions() -> dict[str, Motion]:
    return {example.name: solve(example.project, 91) for example in EVERY}


def both_ends(motion: Motion, one: Rod | Jack) -> tuple[Points, Points]:
    first, second = (complex(*end) for end in one.ends)
    return point_track(motion, one.bodies[0], first), point_track(motion, one.bodies[1], second)


def gaps(project: Project, motion: Motion) -> dict[str, Floats]:
    """How far each connection is from being met, (F,) millimetres or degrees, by its definition in the file format."""
    found: dict[str, Floats] = {}
    drawn_pivots = {one.id: one for one in project.connections if isinstance(one, Pivot)}
    for one in project.connections:
        match one:
            case Pivot():
                at = complex(*one.at)
                found[one.id] = np.abs(point_track(motion, one.bodies[0], at) - point_track(motion, one.bodies[1], at))
            case Slide():
                found[one.id] = np.maximum(_across(motion, one), np.abs(_relative_turn(motion, one.bodies)))
            case Slot():
                found[one.id] = _across(motion, one)
            case Rod():
                first, second = both_ends(motion, one)
                drawn = abs(complex(*one.ends[0]) - complex(*one.ends[1]))
                found[one.id] = np.abs(np.abs(first - second) - (one.length or drawn))
            case Gearing():
                driver, follower = (_relative_turn(motion, drawn_pivots[name].bodies) for name in one.pivots)
                found[one.id] = np.abs(follower - one.ratio * driver)
    return found


def _relative_turn(motion: Motion, bodies: tuple[str, str]) -> Floats:
    return turn_track(motion, bodies[1]) - turn_track(motion, bodies[0])


def _across(motion: Motion, one: Slide | Slot) -> Floats:
    along = complex(*one.along) if isinstance(one, Slide) else complex(*one.end) - complex(*one.start)
    on_line = complex(*one.at) if isinstance(one, Slide) else complex(*one.start)
    first = point_track(motion, one.bodies[0], on_line)
    ahead = point_track(motion, one.bodies[0], on_line + along)
    return np.abs(cross(unit(ahead - first), point_track(motion, one.bodies[1], complex(*one.at)) - first))


@every_example
def test_every_connection_is_met_on_every_frame(example: Example, motions: dict[str, Motion]) -> None:
    for name, gap in gaps(example.project, motions[example.name]).items():
        assert np.max(gap) <= MICRON_TENTH, name


@every_example
def test_fixed_bodies_do_not_move(example: Example, motions: dict[str, Motion]) -> None:
    motion = motions[example.name]
    for body in example.project.bodies:
        if body.fixed:
            assert not motion.poses[:, motion.bodies.index(body.id)].any()


@every_example
def test_drives_are_where_they_were_asked_to_be(example: Example, motions: dict[str, Motion]) -> None:
    motion = motions[example.name]
    asked = drive_tracks(motion)
    by_id = {one.id: one for one in example.project.connections}
    for drive in example.project.drives:
        one = by_id[drive.on]
        if isinstance(one, Pivot):
            got = _relative_turn(motion, one.bodies)
        elif isinstance(one, Jack):
            first, second = both_ends(motion, one)
            got = np.abs(second - first) - one.closed
        else:
            assert isinstance(one, Slide)
            at, along = complex(*one.at), complex(*one.along)
            first = point_track(motion, one.bodies[0], at)
            line = unit(point_track(motion, one.bodies[0], at + along) - first)
            got = dot(line, point_track(motion, one.bodies[1], at) - first)
        assert np.max(np.abs(got - asked[drive.id])) <= MICRON_TENTH


@every_example
def test_values_say_what_the_poses_say(example: Example, motions: dict[str, Motion]) -> None:
    """A connection's value is in its drive's terms, whether it is driven or not."""
    motion = motions[example.name]
    for at, one in enumerate(example.project.connections):
        value = motion.values[:, at]
        assert motion.connections[at] == one.id
        match one:
            case Pivot():
                assert np.max(np.abs(value - _relative_turn(motion, one.bodies))) <= MICRON_TENTH
            case Rod():
                first, second = both_ends(motion, one)
                assert np.max(np.abs(value - np.abs(first - second))) <= MICRON_TENTH
            case Jack():
                first, second = both_ends(motion, one)
                assert np.max(np.abs(value - (np.abs(first - second) - one.closed))) <= MICRON_TENTH
            case Slide() | Slot():
                along = complex(*one.along) if isinstance(one, Slide) else complex(*one.end) - complex(*one.start)
                place = complex(*one.at)
                first = point_track(motion, one.bodies[0], place)
                line = unit(point_track(motion, one.bodies[0], place + along) - first)
                run = dot(line, point_track(motion, one.bodies[1], place) - first)
                # From the drawn position, or for a slot from wherever its line begins.
                assert np.max(np.abs(np.diff(value - run))) <= MICRON_TENTH
            case _:
                assert np.isnan(value).all()


@every_example
def test_nothing_jumps(example: Example, motions: dict[str, Motion]) -> None:
    """With twice the frames no step may be more than some way longer than half: a flip would keep its length."""
    coarse, fine = motions[example.name], solve(example.project, 181)
    assert np.allclose(coarse.times, fine.times[::2])
    assert np.max(np.abs(coarse.poses - fine.poses[::2])) <= 1e-6
    assert np.max(np.abs(np.diff(fine.poses[:, :, 2], axis=0))) < 1.0


def test_rates_of_the_drives() -> None:
    """Steady moves keep their rate; eased ones begin and end at rest and are half way at half time."""
    by_name = {example.name: example for example in EVERY}
    steady = solve(by_name["crank-rocker, open"].project, 61)
    assert np.allclose(steady.drives[:, 0], 60.0 * steady.times, atol=1e-9)
    eased = solve(by_name["wheel on its axle"].project, 301)
    leg = eased.drives[:, eased.drive_ids.index("gear")]
    moving = eased.times <= 3.0
    assert (np.diff(leg[moving]) >= 0).all()
    assert leg[0] == 0.0
    assert np.allclose(leg[~moving], 101.0)
    assert np.allclose(leg[moving] + leg[moving][::-1], 101.0, atol=0.5)
    speed = np.gradient(leg, eased.times)
    assert speed[0] < 0.1 * speed.max()
    assert abs(speed[moving][-1]) < 0.1 * speed.max()
