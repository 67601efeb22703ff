"""Linkages that whip past their dead centres between frames: their paths stay within the bound, and a blade or post of
0.05 mm in the way is met when a search a hundred times finer meets it.

In the four-bar crank and ground are together all but as long as coupler and lever: where crank and ground stand in
line the coupler and lever pass within `MISS` of their own line, and the lever is thrown over (Grashof's change point,
missed by a little: R. L. Norton, Design of Machinery, chapter on Grashof's condition, cited from memory).
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from core.document.project import (
    Aircraft,
    Body,
    Drive,
    Move,
    Pivot,
    Polygon,
    Project,
    Rod,
    Sequence,
    Step,
    View,
)
from core.interference.check import interfere
from core.interference.pairs import checked_pairs
from core.interference.placement import moved, parts_of
from core.interference.survey import claimed
from core.interference.track import track_of
from core.mechanism.build import build
from core.motion.schedule import frame_times, lay_out
from core.motion.solve import solve_motion
from tests.core.interference.scenes import box

MISS = 0.05
FRAMES = 7
FINE = 60_001


def four_bar(*, begin: float, turn: float, miss: float = MISS, post: tuple[float, float] | None = None) -> Project:
    """A crank of 20 mm about the origin, turned from `begin` by `turn` degrees; ground 60, coupler 50, and a lever
    about (60, 0) whose blade is 0.05 mm thick."""
    crank, ground, coupler, lever = 20.0, 60.0, 50.0, 30.0 + miss
    angle = math.radians(begin)
    pin = (crank * math.cos(angle), crank * math.sin(angle))
    span = math.hypot(ground - pin[0], pin[1])
    toward = math.atan2(pin[1], pin[0] - ground)
    inner = math.acos((lever**2 + span**2 - coupler**2) / (2.0 * lever * span))
    at = toward - inner
    joint = (ground + lever * math.cos(at), lever * math.sin(at))
    across = (-math.sin(at) * 0.025, math.cos(at) * 0.025)
    blade = Polygon(
        points=(
            (ground + across[0], across[1]),
            (ground - across[0], -across[1]),
            (joint[0] - across[0], joint[1] - across[1]),
            (joint[0] + across[0], joint[1] + across[1]),
        )
    )
    stands = (500.0, 500.0) if post is None else post
    return Project(
        aircraft=Aircraft(name="Skarn P.9"),
        views=(View(id="side", plane="side"),),
        bodies=(
            Body(id="frame", view="side", fixed=True),
            Body(
                id="post",
                view="side",
                fixed=True,
                shapes=(box(stands[0] - 0.025, stands[1] - 0.025, stands[0] + 0.025, stands[1] + 0.025),),
            ),
            Body(id="crank", view="side", shapes=(box(-1.0, -1.0, 1.0, 1.0),), depth=(5.0, 6.0)),
            Body(id="lever", view="side", shapes=(blade,)),
        ),
        connections=(
            Pivot(id="crank-pivot", bodies=("frame", "crank"), at=(0.0, 0.0)),
            Pivot(id="lever-pivot", bodies=("frame", "lever"), at=(ground, 0.0)),
            Rod(id="coupler", bodies=("crank", "lever"), ends=(pin, joint)),
        ),
        drives=(Drive(id="crank-angle", on="crank-pivot"),),
        sequences=(
            Sequence(id="turn", steps=(Step(id="go", duration=1.0, moves=(Move(drive="crank-angle", to=turn),)),)),
        ),
    )


def short_crank() -> Project:
    """A crank of 5 mm about the origin, turned by a lever of 40 mm about (60, 0) through a coupler of 50 mm. The lever
    is driven between its two dead centres, to within 0.05 mm of either at its end; the crank bears a thin blade."""
    crank, ground, coupler, lever = 5.0, 60.0, 50.0, 40.0
    low, high = (
        math.acos((ground**2 + lever**2 - far**2) / (2.0 * ground * lever)) + side * MISS / lever
        for far, side in ((coupler - crank, 1.0), (coupler + crank, -1.0))
    )
    joint = (ground - lever * math.cos(low), lever * math.sin(low))
    far, toward = math.hypot(*joint), math.atan2(joint[1], joint[0])
    at = toward + math.acos((crank**2 + far**2 - coupler**2) / (2.0 * crank * far))
    pin = (crank * math.cos(at), crank * math.sin(at))
    return Project(
        aircraft=Aircraft(name="Skarn P.9"),
        views=(View(id="side", plane="side"),),
        bodies=(
            Body(id="frame", view="side", fixed=True),
            Body(id="crank", view="side", shapes=(box(-0.025, 0.0, 0.025, 30.0),)),
            Body(id="lever", view="side", shapes=(box(59.0, -1.0, 61.0, 1.0),)),
        ),
        connections=(
            Pivot(id="crank-pivot", bodies=("frame", "crank"), at=(0.0, 0.0)),
            Pivot(id="lever-pivot", bodies=("frame", "lever"), at=(ground, 0.0)),
            Rod(id="coupler", bodies=("crank", "lever"), ends=(pin, joint)),
        ),
        drives=(Drive(id="lever-angle", on="lever-pivot"),),
        sequences=(
            Sequence(
                id="turn",
                steps=(Step(id="go", moves=(Move(drive="lever-angle", to=-math.degrees(high - low)),), duration=1.0),),
            ),
        ),
    )


def solved(project: Project, frames: int = FRAMES):
    schedule = lay_out(project.sequences[0])
    return solve_motion(build(project), schedule, frame_times(schedule, frames))


def sharpest(track, part: int) -> float:
    """The greatest angular acceleration that moments show, rad/s²."""
    spin = np.diff(track.poses[:, part, 2]) / np.diff(track.times)
    return float(np.abs(np.diff(spin) / (0.5 * (track.times[2:] - track.times[:-2]))).max())


MECHANISMS = {
    "crank from 40": (lambda: four_bar(begin=40.0, turn=210.0), "lever", "crank"),
    "crank from 91": (lambda: four_bar(begin=91.0, turn=210.0), "lever", "crank"),
    "crank from 123": (lambda: four_bar(begin=123.0, turn=210.0), "lever", "crank"),
    "missed by more": (lambda: four_bar(begin=91.0, turn=210.0, miss=0.5), "lever", "crank"),
    "short crank": (short_crank, "crank", "lever"),
}


@pytest.mark.parametrize(("made", "whip", "drive"), MECHANISMS.values(), ids=MECHANISMS.keys())
def test_no_point_of_what_whips_leaves_its_bound(made, whip, drive):
    project = made()
    motion = solved(project)
    parts = parts_of(project)
    track = track_of(parts, motion)
    lever = parts.ids.index(whip)
    assert track.sure[lever]
    corners = shapely.get_coordinates(parts.polygons[lever])
    share = np.linspace(0.0, 1.0, 33)
    times = (track.times[:-1, None] + np.diff(track.times)[:, None] * share).ravel()
    posed = track.between(times)[:, lever].reshape(-1, len(share), 3)
    cosine, sine = np.cos(posed[..., 2, None]), np.sin(posed[..., 2, None])
    x = cosine * corners[:, 0] - sine * corners[:, 1] + posed[..., :1]
    y = sine * corners[:, 0] + cosine * corners[:, 1] + posed[..., 1:2]
    even = share[:, None]
    off = np.hypot(x - (x[:, :1] + even * (x[:, -1:] - x[:, :1])), y - (y[:, :1] + even * (y[:, -1:] - y[:, :1])))
    assert np.all(off.max(axis=(1, 2)) <= track.stray[:, lever] + 1e-6)
    # The whip is there: somewhere the lever is turned about far more sharply than the crank ever is.
    assert sharpest(track, lever) > 3.0 * sharpest(track, parts.ids.index(drive))


@pytest.mark.parametrize("begin", [40.0, 91.0, 123.0])
@pytest.mark.parametrize("share", [0.1, 0.37, 0.5, 0.63, 0.9])
def test_a_thin_blade_meets_a_thin_post_as_a_hundred_times_finer_search_finds(begin, share):
    """The post stands where the blade's end comes by at some share of all its turning, most of it in the whip."""
    bare = four_bar(begin=begin, turn=210.0)
    motion, parts = solved(bare), parts_of(bare)
    fine = np.linspace(0.0, 1.0, FINE)
    turns = motion.poses_at(fine)[:, motion.bodies.index("lever")]
    gone = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(turns[:, 2])))])
    moment = int(np.searchsorted(gone, share * gone[-1]))
    blade = parts.polygons[parts.ids.index("lever")]
    end = shapely.get_coordinates(moved(np.array([blade]), turns[moment : moment + 1])[0])[2:4].mean(axis=0)
    toward = (np.array([60.0, 0.0]) - end) / np.hypot(*(np.array([60.0, 0.0]) - end))

    for reach, meets in ((0.5, True), (-0.5, False)):
        project = four_bar(begin=begin, turn=210.0, post=tuple((end + reach * toward).tolist()))
        motion, parts = solved(project), parts_of(project)
        pairs = checked_pairs(project, parts)
        found = interfere(parts, pairs, motion)
        post, lever = (parts.polygons[parts.ids.index(name)] for name in ("post", "lever"))
        placed = moved(np.full(FINE, lever), motion.poses_at(fine)[:, motion.bodies.index("lever")])
        gaps = shapely.distance(placed, post)
        hit = shapely.area(shapely.intersection(placed, post)) > 1e-4
        contacts = [one for one in found.contacts if one.parts == ("post", "lever")]
        assert hit.any() == meets
        assert bool(contacts) == meets
        covered = np.zeros(FINE, dtype=bool)
        for one in contacts:
            covered |= (fine >= one.begin - 1e-3) & (fine <= one.end + 1e-3)
        assert not (hit & ~covered).any()
        assert all(hit[(fine >= one.begin - 1e-4) & (fine <= one.end + 1e-4)].any() for one in contacts)
        if not meets:
            (clearance,) = (one for one in found.clearances if one.parts == ("post", "lever"))
            assert clearance.proved
            assert claimed(np.array(clearance.least), np.array(clearance.wanted)) <= gaps.min() + 1e-9
            assert clearance.least == pytest.approx(gaps.min(), abs=1e-3)
