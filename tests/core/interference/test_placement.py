"""The parts that can touch: bodies, rods and jacks, with their outlines, depths and where they stand."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from core.document.project import Circle, Jack, Rod
from core.interference.placement import moved, part_poses, parts_of
from tests.core.interference.scenes import body, box, project_of

LEG = body("leg", box(-2, -40, 2, 0), depth=(5.0, -5.0))
FRAME = body("frame", box(-50, 0, 50, 5), fixed=True)


def _placed(parts, poses, index):
    there = part_poses(parts, poses)
    return moved(parts.polygons[[index]], there[0, [index]])[0]


def test_bodies_come_first_and_those_without_shapes_are_none():
    rod = Rod(id="rod", bodies=("frame", "leg"), ends=((20.0, 0.0), (0.0, -20.0)), width=2.0)
    thin = Rod(id="thin", bodies=("frame", "leg"), ends=((20.0, 0.0), (0.0, -20.0)))
    parts = parts_of(project_of(body("empty"), FRAME, LEG, connections=(thin, rod)))
    assert parts.ids == ("frame", "leg", "rod")
    assert parts.fixed.tolist() == [True, False, False]
    assert parts.bodies.tolist() == [[1, 1], [2, 2], [1, 2]]
    assert parts.by_id["rod"] == (2,)


def test_depth_is_put_in_order_and_none_fills_everything():
    parts = parts_of(project_of(FRAME, LEG))
    assert parts.near.tolist() == [-math.inf, -5.0]
    assert parts.far.tolist() == [math.inf, 5.0]


def test_a_rod_lies_between_its_ends_wherever_they_are():
    rod = Rod(id="rod", bodies=("frame", "leg"), ends=((20.0, 0.0), (0.0, -20.0)), width=2.0)
    parts = parts_of(project_of(FRAME, LEG, connections=(rod,)))
    quarter = np.array([[[0.0, 0.0, 0.0], [3.0, -1.0, math.pi / 2.0]]])
    end = (23.0, -1.0)  # (0, -20) turned a quarter and moved
    bar = _placed(parts, quarter, 2)
    near_start = bar.intersection(shapely.Point(20.0, 0.0).buffer(3.0))
    assert near_start.area > 3.0
    direction = np.arctan2(end[1] - 0.0, end[0] - 20.0)
    assert part_poses(parts, quarter)[0, 2] == pytest.approx([20.0, 0.0, direction])
    assert bar.area == pytest.approx(2.0 * math.hypot(20.0, 20.0) + math.pi, abs=0.01)


def test_a_rod_with_a_length_of_its_own_is_that_long_wherever_it_is_drawn():
    rod = Rod(id="rod", bodies=("frame", "leg"), ends=((20.0, 0.0), (0.0, 0.0)), length=30.0, width=2.0)
    parts = parts_of(project_of(FRAME, LEG, connections=(rod,)))
    poses = np.array([[[0.0, 0.0, 0.0], [-10.0, 0.0, 0.0]]])
    assert _placed(parts, poses, 2).bounds == pytest.approx((-11.0, -1.0, 21.0, 1.0))


def test_a_bar_turns_without_leaps():
    rod = Rod(id="rod", bodies=("frame", "leg"), ends=((0.0, 0.0), (-10.0, 0.0)), width=1.0)
    parts = parts_of(project_of(FRAME, LEG, connections=(rod,)))
    poses = np.zeros((201, 2, 3))
    poses[:, 1, 2] = np.linspace(0.0, 6.0 * math.pi, 201)
    turns = part_poses(parts, poses)[:, 2, 2]
    assert np.abs(np.diff(turns)).max() < 0.1
    assert turns[-1] - turns[0] == pytest.approx(6.0 * math.pi)


JACK = Jack(
    id="jack", bodies=("frame", "leg"), ends=((30.0, 0.0), (0.0, 0.0)), closed=30.0, stroke=20.0, barrel=6.0, rod=3.0
)


def test_a_jack_is_a_barrel_at_its_first_end_and_a_piston_rod_at_its_second():
    parts = parts_of(project_of(FRAME, LEG, connections=(JACK,)))
    assert parts.ids == ("frame", "leg", "jack", "jack")
    closed = np.zeros((1, 2, 3))
    barrel, piston = _placed(parts, closed, 2), _placed(parts, closed, 3)
    assert barrel.bounds == pytest.approx((3.0, -3.0, 33.0, 3.0))  # leaves room for the eye
    assert piston.bounds == pytest.approx((-1.5, -1.5, 24.5, 1.5))


@pytest.mark.parametrize("extension", [0.0, 10.0, 20.0])
def test_a_jack_stays_in_one_piece_all_through_its_stroke(extension):
    parts = parts_of(project_of(FRAME, LEG, connections=(JACK,)))
    poses = np.zeros((1, 2, 3))
    poses[0, 1, 0] = -extension
    both = _placed(parts, poses, 2).union(_placed(parts, poses, 3))
    assert both.geom_type == "Polygon"
    assert both.bounds[0] == pytest.approx(-extension - 1.5)
    assert both.bounds[2] == pytest.approx(33.0)


def test_the_circle_about_a_part_holds_all_of_it():
    parts = parts_of(project_of(body("wheel", Circle(centre=(5.0, 0.0), radius=2.0)), LEG))
    assert parts.centre[0] == pytest.approx([5.0, 0.0], abs=1e-3)
    assert parts.radius == pytest.approx([2.0, math.hypot(2.0, 20.0)], abs=0.01)
    for polygon, centre, radius in zip(parts.polygons, parts.centre, parts.radius, strict=True):
        assert shapely.hausdorff_distance(polygon, shapely.Point(centre)) <= radius + 1e-9


def test_earlier_parts_lend_the_outlines_that_an_edit_left_alone():
    jack = Jack(id="jack", bodies=("frame", "leg"), ends=((30.0, 0.0), (0.0, -30.0)), closed=30.0, stroke=20.0,
                barrel=4.0, rod=2.0)  # fmt: skip
    rod = Rod(id="rod", bodies=("frame", "leg"), ends=((20.0, 0.0), (0.0, -20.0)), width=2.0)
    longer = Rod(id="rod", bodies=("frame", "leg"), ends=((20.0, 0.0), (0.0, -25.0)), width=2.0)
    leg = body("leg", box(-2, -50, 2, 0), depth=(5.0, -5.0))
    before = parts_of(project_of(FRAME, LEG, connections=(rod, jack)))
    project = project_of(FRAME, leg, connections=(longer, jack))
    after, fresh = parts_of(project, before), parts_of(project)
    assert [one is other for one, other in zip(after.polygons, before.polygons, strict=True)] == [
        True, False, False, True, True,
    ]  # fmt: skip
    assert shapely.equals_exact(after.polygons, fresh.polygons, 0.0).all()
    for name in ("near", "far", "fixed", "bodies", "ends", "jointed", "centre", "radius", "round", "holes"):
        np.testing.assert_array_equal(getattr(after, name), getattr(fresh, name))
