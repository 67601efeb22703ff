"""Points of bodies go with them, one at a time, many at once, and in complex numbers, to the same places."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.geometry.planar import point_at
from core.geometry.poses import carried, carried_point, drawn_point

numbers = st.floats(-1e3, 1e3)
poses = st.tuples(numbers, numbers, st.floats(-10.0, 10.0)).map(np.array)
points = st.tuples(numbers, numbers)


def test_a_quarter_turn_takes_x_to_y():
    assert carried_point(np.array([10.0, 20.0, math.pi / 2.0]), (3.0, 0.0)) == pytest.approx((10.0, 23.0))


@given(poses, points)
def test_what_is_carried_is_drawn_where_it_was(pose, point):
    assert drawn_point(pose, carried_point(pose, point)) == pytest.approx(point, abs=1e-9)


@given(st.lists(st.tuples(poses, points), min_size=1, max_size=4))
def test_many_points_and_complex_ones_go_where_each_goes(of_bodies):
    stand, drawn = (np.array(one) for one in zip(*of_bodies, strict=True))
    each = [carried_point(pose, point) for pose, point in of_bodies]
    np.testing.assert_allclose(carried(stand, drawn), each, atol=1e-9)
    np.testing.assert_allclose(point_at(stand, drawn @ [1, 1j]), np.array(each) @ [1, 1j], atol=1e-9)
