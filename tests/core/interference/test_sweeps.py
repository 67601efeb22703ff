"""Sweeps: against many fine samples, and what is told of them."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from core.document.project import Circle, Jack, Polygon
from core.errors import SenselessRequest
from core.interference.placement import moved, part_poses, parts_of
from core.interference.sweeps import Sweep, room_left, rooms_left, sweep_of, sweep_of_step
from core.interference.track import Track, track_of
from tests.core.interference.scenes import body, box, motion_of, project_of, still


def track(project, paths, **rest) -> Track:
    return track_of(parts_of(project), motion_of(paths, **rest))


def samples(walked: Track, part: str, times):
    """The part's outlines at the times."""
    posed = part_poses(walked.parts, walked.motion.poses_at(times))
    index = walked.parts.by_id[part]
    return np.concatenate([moved(np.full(len(times), walked.parts.polygons[i]), posed[:, i]) for i in index])


def is_proved(walked: Track, sweep: Sweep, count: int = 3001) -> None:
    """Every sample lies in the sweep, and the sweep reaches no farther than its tolerance beyond their union."""
    placed = samples(walked, sweep.part, np.linspace(sweep.begin, sweep.end, count))
    shapely.prepare(sweep.area)
    assert shapely.covers(sweep.area, placed).all()
    seen = shapely.union_all(placed)
    rim = shapely.points(shapely.get_coordinates(shapely.segmentize(shapely.boundary(sweep.area), 0.5)))
    assert shapely.distance(seen, rim).max() <= sweep.tolerance + 0.05  # what samples so far apart may miss


def star(random) -> Polygon:
    angles = np.sort(random.uniform(0.0, 2.0 * math.pi, 8))
    reach = random.uniform(3.0, 12.0, 8)
    return Polygon(points=tuple(map(tuple, np.column_stack([reach * np.cos(angles), reach * np.sin(angles)]).tolist())))


@pytest.mark.parametrize("seed", range(6))
def test_sweeps_of_random_outlines_hold_every_sample_and_little_more(seed):
    random = np.random.default_rng(seed)
    speed, turn, beat = random.uniform(-20, 20, 2), random.uniform(-3, 3), random.uniform(1, 5)
    walked = track(
        project_of(body("door", star(random))),
        {"door": lambda t: (speed[0] * t + 3 * np.sin(beat * t), speed[1] * t, turn * t)},
        frames=21,
    )
    sweep = sweep_of(walked, "door", tolerance=0.1)
    assert sweep.tolerance == 0.1
    is_proved(walked, sweep)


def test_a_ring_that_moves_little_keeps_its_hole():
    ring = Polygon(points=((-10, -10), (10, -10), (10, 10), (-10, 10)), holes=(((-6, -6), (6, -6), (6, 6), (-6, 6)),))
    walked = track(project_of(body("collar", ring)), {"collar": lambda t: (2.0 * t, 0.0, 0.0)})
    sweep = sweep_of(walked, "collar", tolerance=0.01)
    assert sweep.area.area == pytest.approx(22 * 20 - 10 * 12, abs=0.01 * sweep.area.length)
    is_proved(walked, sweep)


def test_a_velocity_that_leaps_is_followed():
    walked = track(
        project_of(body("door", box(-1, -10, 1, 10))),
        {"door": lambda t: (40.0 * np.abs(t - 0.437), 0.0, 2.0 * np.abs(t - 0.437))},
        frames=13,
    )
    is_proved(walked, sweep_of(walked, "door", tolerance=0.05))


def test_what_stands_still_sweeps_its_own_outline():
    walked = track(project_of(body("door", box(0, 0, 10, 4))), {"door": still})
    assert sweep_of(walked, "door", tolerance=0.01).area.area == pytest.approx(40.0, abs=0.01 * 28)


def test_a_spinning_disc_sweeps_no_more_than_one_that_does_not():
    wheel = project_of(body("wheel", Circle(centre=(0, 0), radius=5)))
    spun, slid = (track(wheel, {"wheel": lambda t, spin=spin: (30 * t, 0.0, spin * t)}) for spin in (50.0, 0.0))
    assert sweep_of(spun, "wheel").area.area == pytest.approx(sweep_of(slid, "wheel").area.area, rel=1e-3)


def test_a_jack_sweeps_with_barrel_and_piston_rod():
    jack = Jack(id="jack", bodies=("leg", "door"), ends=((0, 0), (30, 0)), closed=30.0, stroke=20.0, barrel=6, rod=3)
    project = project_of(body("leg", box(-1, -1, 1, 1)), body("door", box(29, -1, 31, 1)), connections=(jack,))
    walked = track(project, {"leg": still, "door": lambda t: (12.0 * t, 25.0 * t, 0.0)})
    sweep = sweep_of(walked, "jack", tolerance=0.1)
    is_proved(walked, sweep, 801)
    assert sweep.area.geom_type == "Polygon"


def test_a_step_sweeps_its_own_time():
    walked = track(project_of(body("leg", box(0, 0, 1, 1))), {"leg": lambda t: (10.0 * t, 0.0, 0.0)}, landmarks=(0.4,))
    first, second = (sweep_of_step(walked, "leg", step) for step in ("step-0", "step-1"))
    assert (first.begin, first.end, second.begin, second.end) == (0.0, 0.4, 0.4, 1.0)
    assert first.area.bounds == pytest.approx((0, 0, 5, 1), abs=0.05)
    assert second.area.bounds == pytest.approx((4, 0, 11, 1), abs=0.05)


def test_a_smaller_tolerance_gives_no_larger_sweep():
    walked = track(project_of(body("leg", box(0, 0, 40, 6))), {"leg": lambda t: (0.0, 0.0, 1.5 * t)})
    areas = [sweep_of(walked, "leg", tolerance=tolerance).area for tolerance in (0.5, 0.1, 0.02)]
    assert areas[0].area > areas[1].area > areas[2].area
    assert all(one.buffer(0.5).covers(other) for one, other in zip(areas[1:], areas, strict=False))


def test_room_is_left_between_a_sweep_and_the_walls():
    """A blade of 40 mm turns about its end past a wall whose face stands 42 mm away: 2 mm less the tolerance."""
    project = project_of(
        body("leg", box(0, 0, 40, 1), depth=(0, 5)),
        body("bay", box(42, -50, 44, 50), fixed=True, depth=(4, 9)),
        body("keel", box(60, -50, 61, 50), fixed=True, depth=(4, 9)),
        body("lining", box(41, -50, 42, 50), fixed=True, depth=(5, 9)),  # beside it, not before it
    )
    walked = track(
        project, {"leg": lambda t: (0, 0, math.pi * (t - 0.5)), "bay": still, "keel": still, "lining": still}
    )
    sweep = sweep_of(walked, "leg", tolerance=0.02)
    rooms = rooms_left(sweep, walked.parts)
    assert list(rooms) == ["bay", "keel"]
    far = math.hypot(40, 1)
    assert 42 - far - 0.02 <= rooms["bay"].left <= 42 - far
    assert math.dist(*rooms["bay"].points) == pytest.approx(rooms["bay"].left)
    assert rooms["bay"].points[1][0] == pytest.approx(42.0)
    assert room_left(sweep, shapely.box(30, 0, 50, 1)).left == 0.0


@pytest.mark.parametrize(
    "wrong",
    [{"part": "nobody"}, {"begin": 0.8, "end": 0.2}, {"tolerance": 0.0}, {"tolerance": math.nan}],
)
def test_senseless_requests_are_refused(wrong):
    walked = track(project_of(body("leg", box(0, 0, 1, 1))), {"leg": still})
    with pytest.raises(SenselessRequest):
        sweep_of(walked, **{"part": "leg", **wrong})


def test_a_step_that_there_is_not_is_refused_with_those_there_are():
    walked = track(project_of(body("leg", box(0, 0, 1, 1))), {"leg": still})
    with pytest.raises(SenselessRequest, match="step-0"):
        sweep_of_step(walked, "leg", "leg-up")


def test_a_hole_that_is_passed_over_is_closed():
    ring = Polygon(points=((-10, -10), (10, -10), (10, 10), (-10, 10)), holes=(((-2, -2), (2, -2), (2, 2), (-2, 2)),))
    walked = track(project_of(body("collar", ring)), {"collar": lambda t: (0.0, 5.0 * t, 0.3 * t)})
    sweep = sweep_of(walked, "collar", tolerance=0.02)
    assert not shapely.get_num_interior_rings(sweep.area)
    is_proved(walked, sweep)
