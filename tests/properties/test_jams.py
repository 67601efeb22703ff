"""Where a linkage cannot follow its drive: when it jams, by how much, and that it goes on as it was afterwards.

A four-bar's crank reaches its limit where crank pin and rocker pivot are as far apart as coupler and rocker in line
(extended or folded), which the cosine rule gives; R. L. Norton, Design of Machinery, names these the toggle positions.
"""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.project import Project
from core.motion.motion import Motion
from core.motion.trouble import DeadCentre, Jam
from tests.mechanisms.example import point_track, solve
from tests.mechanisms.four_bars import FourBar
from tests.mechanisms.sketch import FRAME, frame, moving, pivot, project, rod, slide, step
from tests.properties.chains import Growing, clear_span, driven, grown_chain, limit_of, tracks_of
from tests.properties.closures import follow, platform_example, platform_limit, random_platform


def limit(bar: FourBar) -> tuple[float, float]:
    """The crank angle between 0 and 180 degrees at which it jams, and the distance that the pins can bridge there."""
    for reach in (bar.coupler + bar.rocker, abs(bar.coupler - bar.rocker)):
        cosine = (bar.ground**2 + bar.crank**2 - reach**2) / (2 * bar.ground * bar.crank)
        if abs(cosine) < 1.0:
            return float(np.rad2deg(np.arccos(cosine))), reach
    raise AssertionError("this crank goes right round")


def there_and_back(bar: FourBar, beyond: float) -> tuple[Project, float]:
    """Out to `beyond` degrees past the limit in two seconds, back in two; and when the limit is met."""
    angle, reach = limit(bar)
    outwards = 1.0 if reach == bar.coupler + bar.rocker else -1.0
    target = angle + outwards * beyond - bar.drawn
    made = project(
        bar.bodies(),
        bar.connections(),
        {"input": "o2"},
        (step("out", 2.0, {"input": target}), step("back", 2.0, {"input": 0.0})),
    )
    return made, 2.0 * (angle - bar.drawn) / target


def random_rockers(count: int) -> list[FourBar]:
    """Four-bars that no link can go right round in, drawn well inside their limits."""
    random, made = np.random.default_rng(42), []
    while len(made) < count:
        lengths = random.uniform(20.0, 100.0, 4)
        shortest, longest = lengths.min(), lengths.max()
        if shortest + longest < lengths.sum() / 2 + 3.0 or longest > lengths.sum() - longest - 5.0:
            continue
        ground, crank, coupler, rocker = (float(one) for one in lengths)
        bar = FourBar(
            ground=ground, crank=crank, coupler=coupler, rocker=rocker, side=float(random.choice([-1.0, 1.0]))
        )
        cosines = [
            (ground**2 + crank**2 - reach**2) / (2 * ground * crank)
            for reach in (coupler + rocker, abs(coupler - rocker))
        ]
        if sum(abs(cosine) < 1.0 for cosine in cosines) != 1:
            continue
        angle, reach = limit(bar)
        if not 25.0 < angle < 155.0:
            continue  # twelve degrees further it could hold together again
        inside = angle * 0.5 if reach == coupler + rocker else angle + (180.0 - angle) * 0.5
        made.append(_redrawn(bar, inside))
    return made


def _redrawn(bar: FourBar, drawn: float) -> FourBar:
    return FourBar(
        ground=bar.ground, crank=bar.crank, coupler=bar.coupler, rocker=bar.rocker, drawn=drawn, side=bar.side
    )


ROCKERS = random_rockers(12)


def only_jam(motion: Motion) -> Jam:
    jams = [trouble for trouble in motion.troubles if isinstance(trouble, Jam)]
    assert len(jams) == 1
    return jams[0]


@pytest.mark.parametrize("number", range(len(ROCKERS)))
@pytest.mark.parametrize("frames", [41, 401])
def test_a_jam_begins_and_ends_at_the_limit(number: int, frames: int) -> None:
    made, met = there_and_back(ROCKERS[number], beyond=12.0)
    jam = only_jam(solve(made, frames))
    seconds = 4.0
    assert jam.begin == pytest.approx(met, abs=seconds / 1000)
    assert jam.end == pytest.approx(seconds - met, abs=seconds / 1000)
    assert jam.begin - 1e-9 <= jam.time <= jam.end + 1e-9


@pytest.mark.parametrize("number", range(len(ROCKERS)))
def test_a_jam_says_how_much_is_missing(number: int) -> None:
    """With crank and rocker held where they want to be, the pins are off the coupler's reach by so much, give or take
    how the gap is shared: what is told must be of that size and never nothing."""
    bar = ROCKERS[number]
    made, _ = there_and_back(bar, beyond=12.0)
    jam = only_jam(solve(made, 201))
    angle, reach = limit(bar)
    outwards = 12.0 if reach == bar.coupler + bar.rocker else -12.0
    gap = abs(abs(bar.crank * np.exp(1j * np.deg2rad(angle + outwards)) - bar.ground) - reach)
    assert gap / 2 <= jam.short_by <= 2 * gap
    assert set(jam.connections) <= {"o2", "a", "b", "o4"}
    assert jam.connections
    assert set(jam.bodies) <= {"crank", "coupler", "rocker"}
    assert jam.bodies


@pytest.mark.parametrize("number", range(len(ROCKERS)))
def test_bodies_stay_at_the_last_good_place_and_go_on_on_their_branch(number: int) -> None:
    bar = ROCKERS[number]
    made, met = there_and_back(bar, beyond=12.0)
    motion = solve(made, 201)
    jammed = (motion.times > met + 0.005) & (motion.times < 4.0 - met - 0.005)
    free = (motion.times < met - 0.005) | (motion.times > 4.0 - met + 0.005)
    rocker = motion.bodies.index("rocker")
    assert not motion.assembled[jammed, rocker].any()
    assert motion.assembled[free].all()
    held = motion.poses[jammed][:, rocker]
    assert np.ptp(held, axis=0).max() < 1e-9

    drawn_b = bar.drawn_pins()[1]
    _, known = bar.pins(bar.drawn + motion.drives[:, 0])
    track = point_track(motion, "rocker", drawn_b)
    assert np.max(np.abs(track[free] - known[free])) <= 1e-6
    last_good = known[np.flatnonzero(motion.times < met)[-1]]
    limit_b = bar.pins(limit(bar)[0] - np.sign(limit(bar)[0] - bar.drawn) * 1e-9)[1]
    step_to_limit = abs(last_good - limit_b)
    assert np.max(np.abs(track[jammed] - limit_b)) <= step_to_limit + 1e-3


@pytest.mark.parametrize("share", [0.0, 1e-9, -1e-9, 1e-6, -1e-6, -1e-4])
@pytest.mark.parametrize("number", range(0, len(ROCKERS), 3))
def test_a_limit_touched_or_nearly_is_a_dead_centre_and_no_flip(number: int, share: float) -> None:
    """Out to the limit to within a millionth or so and back: told, with the distance that the cosine rule leaves."""
    bar = ROCKERS[number]
    angle, reach = limit(bar)
    target = (angle - bar.drawn) * (1.0 + share)
    steps = (step("out", 2.0, {"input": target}), step("back", 2.0, {"input": 0.0}))
    motion = solve(project(bar.bodies(), bar.connections(), {"input": "o2"}, steps), 81)
    with np.errstate(invalid="ignore"):
        _, known = bar.pins(bar.drawn + motion.drives[:, 0])
    away = np.abs(motion.times - 2.0) > 0.04
    track = point_track(motion, "rocker", bar.drawn_pins()[1])
    assert np.max(np.abs(track - known)[away]) <= 1e-6
    (found,) = motion.troubles
    assert isinstance(found, DeadCentre if share < 1e-8 else DeadCentre | Jam)
    assert found.time == pytest.approx(2.0, abs=1e-4)
    if share < -1e-8:
        pin = bar.crank * np.exp(1j * np.deg2rad(bar.drawn + target))
        assert isinstance(found, DeadCentre)
        assert found.distance == pytest.approx(abs(abs(pin - bar.ground) - reach), rel=0.01)


@pytest.mark.parametrize("frames", [31, 301])
def test_a_jam_between_two_frames_is_met_all_the_same(frames: int) -> None:
    """Past the limit for a sixtieth of a second, out and back, whatever the frames."""
    bar = ROCKERS[0]
    made, _ = there_and_back(bar, beyond=0.35)
    assert only_jam(solve(made, frames)).short_by > 0.0


def test_a_slider_that_the_rod_cannot_reach() -> None:
    """The slider is pulled past crank and rod in line, 30 + 80 = 110 mm from the crank's pivot."""
    made = project(
        (frame(), *moving("slider", "crank")),
        (
            slide("guide", FRAME, "slider", 100, 1),
            pivot("o2", FRAME, "crank", 0),
            rod("rod", "crank", "slider", _corner(), 100),
        ),
        {"pull": "guide"},
        (step("out", 1.0, {"pull": 20.0}),),
    )
    jam = only_jam(solve(made, 101))
    assert jam.begin == pytest.approx(0.5, abs=1e-3)
    assert jam.end == pytest.approx(1.0, abs=1e-3)
    assert jam.short_by == pytest.approx(10.0, rel=0.5)
    assert jam.unit == "mm"


def _corner() -> complex:
    x = (30.0**2 - 80.0**2 + 100.0**2) / 200.0
    return complex(x, np.sqrt(30.0**2 - x**2))


def test_two_drives_that_want_different_things_jam() -> None:
    bar = FourBar(ground=100.0, crank=40.0, coupler=120.0, rocker=80.0)
    made = project(
        bar.bodies(),
        bar.connections(),
        {"crank": "o2", "rocker": "o4"},
        (step("wait", 1.0), step("out", 2.0, {"crank": 30.0})),
    )
    motion = solve(made, 151)
    jam = only_jam(motion)
    assert jam.begin == pytest.approx(1.0, abs=0.01)
    assert jam.end == pytest.approx(3.0, abs=1e-3)


def test_a_jam_leaves_the_rest_of_the_aircraft_moving() -> None:
    """A second crank, joined to nothing that jams, goes on."""
    bar = ROCKERS[1]
    made, met = there_and_back(bar, beyond=12.0)
    other = replace(
        made,
        bodies=(*made.bodies, *moving("door")),
        connections=(*made.connections, pivot("door-hinge", FRAME, "door", -50 + 0j)),
        drives=(*made.drives, made.drives[0].__class__(id="door", on="door-hinge")),
        sequences=(
            replace(
                made.sequences[0],
                steps=(*made.sequences[0].steps, step("door-open", 4.0, {"door": 90.0}, together_with="out")),
            ),
        ),
    )
    motion = solve(other, 101)
    assert only_jam(motion).begin == pytest.approx(met, abs=0.004)
    door = motion.bodies.index("door")
    assert motion.assembled[:, door].all()
    assert np.allclose(np.rad2deg(motion.poses[:, door, 2]), motion.times * 22.5, atol=1e-9)


def assert_jams_and_goes_on(chain: Growing, limit: float) -> None:
    """Every body on every frame: solved where the closed form says that it can be, held where it cannot."""
    target = limit + 5.0
    motion = solve(driven(chain, (step("out", 2.0, {"input": target}), step("back", 2.0, {"input": 0.0}))), 81)
    met = 2.0 * limit / target
    jams = [trouble for trouble in motion.troubles if isinstance(trouble, Jam)]
    assert min(jam.begin for jam in jams) == pytest.approx(met, abs=0.004)
    assert max(jam.end for jam in jams) == pytest.approx(4.0 - met, abs=0.004)
    assert all(jam.short_by > 0.0 for jam in jams)
    at_an_edge = (np.abs(motion.times - met) < 0.01) | (np.abs(motion.times - 4.0 + met) < 0.01)
    tracks, _ = tracks_of(chain, motion.drives[:, 0])
    for body in chain.bodies:
        known = tracks[body.id].u
        apart, assembled = np.isnan(known), motion.assembled[:, motion.bodies.index(body.id)]
        assert (assembled == ~apart)[~at_an_edge].all()
        both = assembled & ~apart
        assert np.max(np.abs(point_track(motion, body.id, 0j) - known)[both]) <= 1e-6


def chains_with_limits(seeds: range) -> list[int]:
    """Seeds of chains that come to an end before a full turn."""
    return [seed for seed in seeds if clear_span(one := grown_chain(seed, seed % 4 + 1))[1] < 280 and limit_of(one)]


@pytest.mark.parametrize("seed", chains_with_limits(range(5000, 5030)))
def test_chains_jam_where_they_can_no_longer_be_put_together(seed: int) -> None:
    chain = grown_chain(seed, seed % 4 + 1)
    limit = limit_of(chain)
    assert limit is not None
    assert_jams_and_goes_on(chain, limit)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(5030, 5200))
def test_many_more_chains_jam(seed: int) -> None:
    chain = grown_chain(seed, seed % 4 + 1)
    limit = limit_of(chain) if clear_span(chain)[1] < 280 else None
    if limit is not None:
        assert_jams_and_goes_on(chain, limit)


def assert_platform_comes_back(seed: int, beyond: float, frames: int) -> None:
    """Out past its limit and back: jammed for as long as it is past it, and on its own branch before and after."""
    made = random_platform(seed)
    limit = platform_limit(made)
    assert limit is not None
    example = platform_example(made, limit + beyond, 0.0, seed % 2 == 0, name="jammed")
    motion = solve(example.project, frames)
    out, back = 2.0 * limit / (limit + beyond), 5.0 - 3.0 * limit / (limit + beyond)
    jam = only_jam(motion)
    assert jam.begin == pytest.approx(out, abs=0.005)
    assert jam.end == pytest.approx(back, abs=0.005)
    free = (motion.times < out - 0.01) | (motion.times > back + 0.01)
    assert motion.assembled[free].all()
    known = follow(made.residual, made.jacobian, np.zeros(3), motion.drives[free, 0], finest=0.25)
    poses = motion.poses[free][:, motion.bodies.index("platform")]
    assert np.max(np.abs(poses[:, :2] - known[:, :2])) <= 1e-6


@pytest.mark.parametrize(
    ("seed", "beyond", "frames"),
    [(0, 3.0, 61), (1, 3.0, 61), (3, 0.5, 9), (7, 3.0, 40), (15, 0.5, 9), (27, 0.5, 9), (31, 3.0, 40), (35, 8.0, 150)],
)
def test_a_body_held_by_three_jams_and_comes_back_on_its_branch(seed: int, beyond: float, frames: int) -> None:
    assert_platform_comes_back(seed, beyond, frames)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(200, 260))
def test_many_more_bodies_held_by_three_jam(seed: int) -> None:
    limit = platform_limit(random_platform(seed))
    if limit is not None and limit > 1.0:
        assert_platform_comes_back(seed, (0.5, 3.0, 8.0)[seed % 3], (9, 40, 150)[seed // 3 % 3])
