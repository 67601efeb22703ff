"""What a track says of solved motions: proved, sure, or neither."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.project import Body, Polygon, Project
from core.interference.placement import parts_of
from core.interference.track import LAST_SPAN, Track, track_of
from tests.mechanisms.example import solve
from tests.mechanisms.sketch import frame, moving, pivot, project, rod, slide, step

PLATE = (Polygon(points=((0.0, 0.0), (12.0, 0.0), (12.0, 5.0))),)


def plates(made: Project) -> Project:
    """Every body that moves is given an outline."""
    return replace(made, bodies=tuple(one if one.fixed else replace(one, shapes=PLATE) for one in made.bodies))


def tracked(made: Project, frames: int = 41) -> Track:
    shaped = plates(made)
    return track_of(parts_of(shaped), solve(shaped, frames))


def sure(track: Track) -> dict[str, bool]:
    return dict(zip(track.parts.ids, track.sure.tolist(), strict=True))


def assert_bounded(track: Track) -> None:
    """No corner of a sure part leaves its bound, nine times between all moments."""
    share = np.linspace(0.0, 1.0, 11)
    times = track.times[:-1, None] + np.diff(track.times)[:, None] * share
    poses = track.between(times.ravel()).reshape(*times.shape, len(track.parts), 3)
    for part in np.flatnonzero(track.sure).tolist():
        corners = np.array([complex(x, y) for x, y in track.parts.polygons[part].exterior.coords])
        at = poses[:, :, part]
        there = (at[..., 0] + 1j * at[..., 1])[..., None] + np.exp(1j * at[..., 2])[..., None] * corners
        off = np.abs(there - there[:, :1] - (there[:, -1:] - there[:, :1]) * share[:, None])
        assert (off.max(axis=(1, 2)) <= track.stray[:, part] + 1e-7).all()


def test_a_smooth_linkage_is_proved_all_the_way() -> None:
    made = project(
        [frame(), *moving("crank", "lever")],
        [
            pivot("hinge", "frame", "crank", 0j),
            pivot("post", "frame", "lever", 60.0 + 0j),
            rod("coupler", "crank", "lever", 20.0 + 0j, 60.0 + 40j),
        ],
        {"angle": "hinge"},
        [step("turn", 1.0, {"angle": 360.0}), step("back", 1.0, {"angle": 0.0}, profile="eased")],
    )
    track = tracked(made)
    assert track.proved.all()
    assert track.sure.all()
    assert_bounded(track)


def test_a_linkage_that_is_pushed_into_line_is_sure_but_for_the_last_of_it() -> None:
    """A block pushes a crank through a rod until both are in line, and lets it back, at a start without any speed."""
    reach = 20.0 * math.cos(1.0) + math.sqrt(50.0**2 - (20.0 * math.sin(1.0)) ** 2)
    for profile in ("steady", "eased"):
        made = project(
            [frame(), *moving("crank", "block")],
            [
                pivot("hinge", "frame", "crank", 0j),
                slide("rail", "frame", "block", complex(reach), 1 + 0j),
                rod("link", "crank", "block", 20.0 * np.exp(1j), complex(reach)),
            ],
            {"push": "rail"},
            [step("out", 1.0, {"push": 70.0 - reach}), step("back", 1.0, {"push": 0.0}, profile=profile)],
        )
        track = tracked(made)
        assert sure(track) == {"crank": True, "block": True}
        open_ = ~track.proved[:, track.parts.ids.index("crank")]
        assert 0 < open_.sum() < 12
        lengths = np.diff(track.times)[open_]
        assert (lengths <= (LAST_SPAN if profile == "steady" else 1e-5) * 2.0).all()
        assert np.abs(track.times[1:][open_] - 1.0).max() < 1e-4
        assert_bounded(track)


def test_what_leaps_is_not_sure() -> None:
    made = project(
        [frame(), *moving("crank", "other")],
        [pivot("hinge", "frame", "crank", 0j), pivot("pin", "frame", "other", 100.0 + 0j)],
        {"angle": "hinge", "steady": "pin"},
        [
            step("go", 1.0, {"angle": 10.0, "steady": 20.0}),
            step("leap", 0.0, {"angle": 40.0}),
            step("on", 1.0, {"angle": 60.0}),
        ],
    )
    track = tracked(made)
    assert sure(track) == {"crank": False, "other": True}
    assert track.proved[:, track.parts.ids.index("other")].all()


def test_a_leap_at_the_very_end_is_seen_of_a_body_that_nothing_hangs_on() -> None:
    made = project([frame(), *moving("crank")], [pivot("hinge", "frame", "crank", 0j)], {"angle": "hinge"},
                   [step("go", 1.0, {"angle": 30.0}), step("leap", 0.0, {"angle": 170.0})])  # fmt: skip
    track = tracked(made)
    assert sure(track) == {"crank": False}
    assert np.flatnonzero(~track.proved[:, 0]).tolist() == [len(track.times) - 2]
    assert np.diff(track.times)[-1] <= LAST_SPAN


def test_what_jams_or_is_dragged_is_not_sure() -> None:
    made = project(
        [frame(), *moving("crank", "lever", "towed", "tail")],
        [
            pivot("hinge", "frame", "crank", 0j),
            pivot("post", "frame", "lever", 60.0 + 0j),
            rod("coupler", "crank", "lever", 20.0 + 0j, 60.0 + 10j),
            rod("tow", "crank", "towed", 0.0 + 30j, 90.0 + 30j),
            pivot("knee", "towed", "tail", 100.0 + 30j),
            rod("tether", "tail", "frame", 120.0 + 30j, 160.0 + 60j),
        ],
        {"angle": "hinge"},
        [step("turn", 1.0, {"angle": 170.0})],
    )
    track = tracked(made)
    found = sure(track)
    assert found["crank"]
    assert not found["lever"]
    assert not found["towed"]
    assert not found["tail"]
    assert len(track.times) < 300  # no moments are spent on what they cannot prove


@pytest.mark.parametrize(
    ("bodies", "connections", "drives"),
    [
        ([replace(frame(), shapes=PLATE)], [], {}),
        ([frame(), *moving("loose")], [], {}),
        ([*moving("one", "other")], [pivot("hinge", "one", "other", 0j)], {"angle": "hinge"}),
        ([frame(), *moving("sled")], [slide("rail", "frame", "sled", 0j, 1 + 0j)], {"angle": "rail"}),
    ],
    ids=["nothing moves", "a body alone", "nothing fixed", "only a slide"],
)
def test_the_least_of_mechanisms_are_proved(bodies: list[Body], connections: list, drives: dict[str, str]) -> None:
    moves = {"angle": 20.0} if drives else {}
    track = tracked(project(bodies, connections, drives, [step("go", 1.0, moves)]), 21)
    assert track.proved.all()
    assert track.sure.all()
    assert_bounded(track)


def test_a_motion_without_equations_is_never_said_to_be_proved() -> None:
    shaped = plates(
        project([frame(), *moving("arm")], [pivot("hinge", "frame", "arm", 0j)], {"angle": "hinge"},
                [step("go", 1.0, {"angle": 90.0})])
    )  # fmt: skip
    track = track_of(parts_of(shaped), dataclasses.replace(solve(shaped, 41), course=None))
    assert not track.proved.any()
    assert track.ways is None
    assert track.sure.all()
