"""Drawings that no textbook has: lengths that do not agree with the drawing, nothing fixed, long turns."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.project import Aircraft, Project
from core.motion.trouble import Jam, Loose
from tests.mechanisms.catalogue import CRANK_ROCKER, DRAG_LINK
from tests.mechanisms.example import drive_tracks, errors, point_track, solve, turn_track
from tests.mechanisms.four_bars import FourBar, four_bar, once_round
from tests.mechanisms.lattices import five_bar
from tests.mechanisms.sketch import FRAME, frame, gearing, moving, pivot, project, rod, sequence, step

PIN = 1e-6


def rod_of(length: float) -> Project:
    """The catalogue's crank-rocker with a rod for coupler, made longer or shorter than it is drawn."""
    a, b = CRANK_ROCKER.drawn_pins()
    return project(
        (frame(), *moving("crank", "rocker")),
        (
            pivot("o2", FRAME, "crank", 0),
            pivot("o4", FRAME, "rocker", 100.0),
            rod("coupler", "crank", "rocker", a, b, length=length),
        ),
        {"input": "o2"},
        once_round(),
    )


@pytest.mark.parametrize("length", [112.0, 119.9, 131.0])
def test_a_rod_of_another_length_than_drawn(length: float) -> None:
    other = FourBar(ground=100.0, crank=40.0, coupler=length, rocker=80.0)
    motion = solve(rod_of(length), 61)
    _, known = other.pins(40.0 + motion.drives[:, 0])
    assert motion.troubles == ()
    assert np.max(np.abs(point_track(motion, "rocker", CRANK_ROCKER.drawn_pins()[1]) - known)) <= PIN


def test_a_rod_that_never_reaches_jams_from_the_start() -> None:
    """The pins are 220 mm apart at the most: crank 40, ground 100, rocker 80. A rod of 300 lacks 160 at the worst."""
    motion = solve(rod_of(300.0), 61)
    (jam,) = motion.troubles
    assert isinstance(jam, Jam)
    assert (jam.begin, jam.end) == (0.0, 6.0)
    assert jam.short_by == pytest.approx(160.0, rel=0.01)
    assert np.isfinite(motion.poses).all()
    assert not motion.assembled[:, motion.bodies.index("rocker")].any()


def test_a_rod_that_reaches_only_later() -> None:
    """At 40 degrees the crank's pin is 73.9 mm from the rocker's pivot, at 180 degrees 140; 210 needs 130."""
    motion = solve(rod_of(210.0), 241)
    reaches = np.abs(40 * np.exp(1j * np.deg2rad(40.0 + motion.drives[:, 0])) - 100) >= 210.0 - 80.0
    rocker = motion.bodies.index("rocker")
    assert (motion.assembled[:, rocker] == reaches).mean() > 0.99
    held = np.abs(
        point_track(motion, "rocker", CRANK_ROCKER.drawn_pins()[1])
        - point_track(motion, "crank", CRANK_ROCKER.drawn_pins()[0])
    )
    assert np.max(np.abs(held - 210.0)[motion.assembled[:, rocker]]) <= PIN


@pytest.mark.parametrize("frames", [4, 12, 200])
def test_turns_are_counted_though_frames_are_far_apart(frames: int) -> None:
    example = four_bar(DRAG_LINK, name="ten rounds", turn=3600.0)
    motion = solve(example.project, frames)
    assert max(errors(example, motion).values()) <= PIN
    assert turn_track(motion, "rocker")[-1] == pytest.approx(3600.0, abs=1e-6)


def test_a_planet_on_an_arm() -> None:
    """Geared within its arm: it turns with the arm and by the ratio besides."""
    made = project(
        (frame(), *moving("arm", "planet")),
        (pivot("sun", FRAME, "arm", 0), pivot("axle", "arm", "planet", 30), gearing("wheels", "sun", "axle", 2.0)),
        {"input": "sun"},
        (step("round", 2.0, {"input": 720.0}),),
    )
    motion = solve(made, 33)
    assert np.max(np.abs(turn_track(motion, "planet") - 3.0 * motion.drives[:, 0])) <= 1e-9


def test_a_chain_folded_at_every_joint() -> None:
    names = [f"link-{number}" for number in range(6)]
    joints = [
        pivot(f"pin-{number}", FRAME if number == 0 else names[number - 1], names[number], 10.0 * number)
        for number in range(6)
    ]
    targets = {f"fold-{number}": (-1.0) ** number * 200.0 * (number + 1) for number in range(6)}
    drives = {f"fold-{number}": f"pin-{number}" for number in range(6)}
    motion = solve(project((frame(), *moving(*names)), joints, drives, (step("fold", 2.0, targets),)), 13)
    tracks, angle, tip = drive_tracks(motion), np.zeros(13), np.zeros(13, dtype=complex)
    for number in range(6):
        angle = angle + tracks[f"fold-{number}"]
        assert np.max(np.abs(point_track(motion, names[number], 10.0 * number) - tip)) <= 1e-9
        tip = tip + 10.0 * np.exp(1j * np.deg2rad(angle))


def test_two_drives_out_and_back_one_after_the_other() -> None:
    example = five_bar(name="by turns")
    steps = (
        step("one", 2.0, {"first": 180.0}),
        step("two", 2.0, {"second": -180.0}),
        step("three", 2.0, {"first": 0.0}),
        step("four", 2.0, {"second": 0.0}),
    )
    motion = solve(replace(example.project, sequences=(sequence(steps),)), 161)
    assert max(errors(example, motion).values()) <= PIN
    assert np.max(np.abs(motion.poses[-1])) <= PIN


def test_an_aircraft_without_bodies() -> None:
    motion = solve(Project(aircraft=Aircraft(name="Merrow T.2"), sequences=(sequence([step("wait", 1.0)]),)), 3)
    assert motion.poses.shape == (3, 0, 3)
    assert motion.troubles == ()


def test_with_nothing_fixed_everything_is_loose_together() -> None:
    """Two bodies with a driven pivot between them: three freedoms are left, and the pivot turns all the same."""
    made = project(
        moving("one", "other"),
        (pivot("pin", "one", "other", 5),),
        {"fold": "pin"},
        (step("fold", 1.0, {"fold": 90.0}),),
    )
    motion = solve(made, 5)
    assert sum(one.freedoms for one in motion.troubles if isinstance(one, Loose)) == 3
    assert np.max(np.abs(turn_track(motion, "other") - turn_track(motion, "one") - motion.drives[:, 0])) <= 1e-9
    assert np.max(np.abs(point_track(motion, "one", 5) - point_track(motion, "other", 5))) <= PIN


def test_a_floating_body_on_a_rod_goes_along() -> None:
    made = project(
        (frame(), *moving("crank", "tag")),
        (pivot("o2", FRAME, "crank", 0), rod("string", "crank", "tag", 10, 40 + 10j)),
        {"input": "o2"},
        (step("turn", 2.0, {"input": 90.0}),),
    )
    motion = solve(made, 31)
    (found,) = motion.troubles
    assert found == Loose(bodies=("tag",), freedoms=2, begin=0.0, end=2.0)
    length = np.abs(point_track(motion, "crank", 10) - point_track(motion, "tag", 40 + 10j))
    assert np.max(np.abs(length - abs(30 + 10j))) <= PIN
