"""The bound of a path between two moments, and how closely a motion is looked at."""

from __future__ import annotations

import math

import numpy as np
import pytest

from core.document.project import Circle
from core.interference.placement import parts_of
from core.interference.track import FEWEST_SPANS, bend, track_of
from tests.core.interference.scenes import body, box, motion_of, project_of, still

ARM = body("arm", box(0, -1, 40, 1))


def track(path, **how):
    project = project_of(ARM, body("base", box(-5, -5, 0, 5), fixed=True))
    return track_of(parts_of(project), motion_of({"arm": path, "base": still}, **how))


def test_few_frames_are_filled_up_and_every_frame_is_there():
    found = track(lambda times: (times, 0.0, 0.0), frames=7, landmarks=(0.123, 0.456))
    assert len(found.times) > FEWEST_SPANS
    assert np.diff(found.times).max() <= 1.0 / FEWEST_SPANS + 1e-12
    assert found.times[found.frames] == pytest.approx(np.linspace(0.0, 1.0, 7))
    for landmark in (0.123, 0.456):
        assert np.abs(found.times - landmark).min() < 1e-12


def test_a_landmark_beside_a_frame_is_that_frame():
    found = track(lambda times: (times, 0.0, 0.0), frames=151, landmarks=(0.5 + 1e-9,))
    assert len(found.times) == 151


def test_a_smooth_motion_is_sure_and_needs_no_more_moments():
    found = track(lambda times: (30.0 * np.sin(3.0 * times), 0.0, 4.0 * times), frames=151)
    assert len(found.times) == 151
    assert found.sure.all()


def test_moments_gather_where_the_motion_is_rough():
    """There and back within a hundredth of the sequence, with no landmark to tell of it."""
    bump = lambda times: (30.0 * np.exp(-(((times - 0.5) / 0.004) ** 2)), 0.0, 0.0)  # noqa: E731
    found = track(bump, frames=61)
    inside = np.abs(found.times - 0.5) < 0.01
    assert inside.sum() > 2 * (0.02 * 180) - 1
    assert len(found.times) < 300
    share = np.linspace(0.0, 1.0, 50)[:, None]
    there = bump(found.times[:-1] + share * np.diff(found.times))[0]
    chord = there[0] + share * (there[-1] - there[0])
    assert (np.abs(there - chord).max(axis=0) <= found.stray[:, 0] + 1e-6).all()


@pytest.mark.parametrize("speed", [0.5, 20.0, 300.0])
@pytest.mark.parametrize("kink", [None, 0.37, 0.5, 0.93])
def test_no_path_is_longer_than_its_bound(speed, kink):
    """Every point of a turning, swaying bar, over every span, smooth or with a leap of the velocity anywhere in it."""
    times = np.arange(0.0, 1.2, 0.1)

    def place(at):
        leap = 0.0 if kink is None else np.maximum(at - 0.1 * (5.0 + kink), 0.0) * 3.0
        along = np.sin(2.0 * at) * 0.05 * speed
        return np.stack([along + leap, np.cos(1.3 * at) * 0.04 * speed], axis=-1), 0.02 * speed * np.sin(
            1.7 * at
        ) + leap

    places, turns = place(times)
    bound = (
        np.hypot(*np.diff(places, axis=0).T)
        + 40.0 * np.abs(np.diff(turns))
        + bend(times, places, turns, np.array(40.0)) * np.diff(times) ** 2
    )
    fine = np.linspace(0.0, 1.1, 11 * 400 + 1)
    centres, angles = place(fine)
    for corner in (0.0, 1.0, 2.5, 4.0):
        point = centres + 40.0 * np.stack([np.cos(angles + corner), np.sin(angles + corner)], axis=-1)
        lengths = np.hypot(*np.diff(point, axis=0).T).reshape(11, 400).sum(axis=1)
        assert (lengths <= bound + 1e-9).all()


def test_a_wheel_that_spins_does_not_move():
    project = project_of(body("wheel", Circle(centre=(10.0, 5.0), radius=12.0)), ARM)
    motion = motion_of({"wheel": _spin((10.0, 5.0), 200.0), "arm": still})
    found = track_of(parts_of(project), motion)
    assert found.sure.all()
    assert found.stray.max() < 1e-3


def _spin(centre, turn):
    def path(times):
        angle = turn * times
        x = centre[0] - np.cos(angle) * centre[0] + np.sin(angle) * centre[1]
        y = centre[1] - np.sin(angle) * centre[0] - np.cos(angle) * centre[1]
        return x, y, angle

    return path


def test_turns_between_moments_go_on_from_those_about_them():
    found = track(lambda times: (0.0, 0.0, 9.0 * math.pi * times), frames=151)
    between = found.between(np.array([0.12345, 0.98765]))
    assert between[:, 0, 2] == pytest.approx(9.0 * math.pi * np.array([0.12345, 0.98765]))
