"""A motion shown with its bodies in another order: every body stands where it stood."""

from __future__ import annotations

import numpy as np

from core.motion.motion import in_order
from tests.golden.nose_gear import nose_gear, study_of

MOTION = study_of(nose_gear()).sequences[0].motion


def test_every_body_keeps_its_poses_at_frames_and_between():
    bodies = tuple(reversed(MOTION.bodies))
    turned = in_order(MOTION, bodies)
    assert turned is not None
    times = np.array([0.3, 1.7])
    for one in bodies:
        here, there = bodies.index(one), MOTION.bodies.index(one)
        assert np.array_equal(turned.poses[:, here], MOTION.poses[:, there])
        assert np.array_equal(turned.poses_at(times)[:, here], MOTION.poses_at(times)[:, there])
        assert np.array_equal(turned.assembled[:, here], MOTION.assembled[:, there])
        assert np.array_equal(turned.assembled_at(times)[:, here], MOTION.assembled_at(times)[:, there])


def test_the_same_order_is_the_same_motion_and_other_bodies_have_none():
    assert in_order(MOTION, MOTION.bodies) is MOTION
    assert in_order(MOTION, MOTION.bodies[1:]) is None
    assert in_order(MOTION, (*MOTION.bodies[1:], "another")) is None
