"""How long a full check takes, beside the bare geometry that sampling every frame would need.

    python tests/benchmarks/benchmark_interference.py

The bare work is that of GEOS alone for the pairs and frames whose boxes overlap: whether they intersect, the common
area of those that do, and the distance of those that do not, with every outline already in place. Beside it stands a
check that also proves what happens between the frames: of scenes in which nothing touches and of busy ones, at 600 and
at ten times as many frames, and after an edit that moves one part. These motions come without equations; what those add
to a check and give it is measured on the sample aircraft.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import shapely
from numpy.typing import NDArray

sys.path[:0] = [str(Path(__file__).parents[2])]

from core.document.project import Body, Circle, Project, Shape, Wall  # noqa: E402
from core.document.project_file import read_project  # noqa: E402
from core.interference.check import interfere  # noqa: E402
from core.interference.earlier import Checked  # noqa: E402
from core.interference.overlap import overlaps_at  # noqa: E402
from core.interference.pairs import Pairs, checked_pairs  # noqa: E402
from core.interference.placement import Parts, moved, part_poses, parts_of  # noqa: E402
from core.interference.track import track_of  # noqa: E402
from core.mechanism.build import build  # noqa: E402
from core.motion.motion import Motion  # noqa: E402
from core.motion.schedule import frame_times, lay_out  # noqa: E402
from core.motion.solve import solve_motion  # noqa: E402
from tests.benchmarks.measuring import milliseconds  # noqa: E402
from tests.core.interference.scenes import box, motion_of, project_of, still  # noqa: E402

Floats = NDArray[np.float64]

FRAMES = 600
SECONDS = 4.0
COUNTS = (12, 20, 40)
SAMPLES = Path(__file__).parents[2] / "sample_projects"
CLEAN_GOAL, BUSY_GOAL, FRAMES_GOAL, EDIT_GOAL = 1.0, 1.2, 2.5, 1.0 / 3.0


@dataclass(frozen=True, slots=True)
class Swings:
    """Bodies that turn steadily about a point of the sheet, and on top of it about a point of their own that goes
    along."""

    pivots: list[tuple[float, float]]
    turns: list[float]
    own_pivots: list[tuple[float, float]]
    own_turns: list[float]

    def poses_at(self, times: Floats) -> Floats:
        (x, y), (own_x, own_y) = np.array(self.pivots).T, np.array(self.own_pivots).T
        share = np.asarray(times)[:, None] / SECONDS
        main, own = share * np.array(self.turns), np.sin(np.pi * share) * np.array(self.own_turns)
        sway_x = own_x - (np.cos(own) * own_x - np.sin(own) * own_y)
        sway_y = own_y - (np.sin(own) * own_x + np.cos(own) * own_y)
        cosine, sine = np.cos(main), np.sin(main)
        there_x = x - (cosine * x - sine * y) + cosine * sway_x - sine * sway_y
        there_y = y - (sine * x + cosine * y) + sine * sway_x + cosine * sway_y
        return np.stack([there_x, there_y, main + own], axis=-1)


def scene(count: int, *, busy: bool = False, frames: int = FRAMES, edited: bool = False) -> tuple[Project, Motion]:
    """A bay, a leg of several parts with a wheel that swings up into it, and doors with their levers along the keel.

    In a busy one the doors swing into the leg's way, and the parts of the leg past each other. `edited` has the last
    door swing a little farther, as when the end of its rod is moved.
    """
    random = np.random.default_rng(count)
    bay = Wall(points=((-140, -2), (-140, 30), (60, 30), (60, -2)), thickness=1.0)
    bodies = [Body(id="bay", view="front", fixed=True, shapes=(bay,))]
    swings = Swings([(0.0, 0.0)], [0.0], [(0.0, 0.0)], [0.0])
    swing_up, farthest, sideways = (-1.7, 1.2, 1.2) if busy else (-1.3, 0.1, 0.3)

    def add(name: str, shape: Shape, pivot: tuple[float, float], turn: float, own: tuple[float, float, float]) -> None:
        bodies.append(Body(id=name, view="front", shapes=(shape,)))
        swings.pivots.append(pivot)
        swings.turns.append(turn)
        swings.own_pivots.append(own[:2])
        swings.own_turns.append(own[2])

    on_leg = count // 3
    for index in range(on_leg):
        along, swing = -100.0 * index / on_leg, float(random.uniform(-sideways, sideways))
        shape = Circle(centre=(0, -100), radius=9) if index == on_leg - 1 else box(-3, along - 60 / on_leg, 3, along)
        add(f"leg-{index}", shape, (0.0, 0.0), swing_up, (0.0, along, 0.0 if index % 2 else swing))
    doors = count - 1 - on_leg
    for index in range(doors):
        hinge = -132.0 + 180.0 * (index // 2) / (doors // 2)
        shape = box(hinge, 11, hinge + 300 / doors, 13) if index % 2 else box(hinge - 1, 14, hinge + 1, 24)
        add(f"door-{index}", shape, (hinge, 13.5), float(random.uniform(-farthest, farthest)), (0.0, 0.0, 0.0))
    if edited:
        swings.turns[-1] += 0.02

    motion = motion_of({one.id: still for one in bodies}, frames=frames, seconds=SECONDS)
    poses = swings.poses_at(motion.times)
    return project_of(*bodies, least_clearance=0.5), replace(motion, poses=poses, poses_at=swings.poses_at)


def bare(parts: Parts, pairs: Pairs, motion: Motion) -> tuple[int, Callable[[], None]]:
    """How many pairs and frames have boxes that overlap, and the bare work for them, outlines in place."""
    posed = part_poses(parts, motion.poses)
    frames, count = len(motion.times), len(parts)
    placed = np.empty((count, frames), dtype=object)
    for part in range(count):
        placed[part] = moved(np.full(frames, parts.polygons[part]), posed[:, part])
    bounds = shapely.bounds(placed)
    first, second = bounds[pairs.first], bounds[pairs.second]
    lap = (np.maximum(first[..., :2], second[..., :2]) <= np.minimum(first[..., 2:], second[..., 2:])).all(axis=-1)
    pair, frame = np.nonzero(lap)
    one, other = placed[pairs.first[pair], frame], placed[pairs.second[pair], frame]

    def work() -> None:
        meet = shapely.intersects(one, other)
        shapely.area(shapely.intersection(one[meet], other[meet]))
        shapely.distance(one[~meet], other[~meet])

    return len(pair), work


@dataclass(frozen=True, slots=True)
class Figures:
    """What one scene took: how many contacts it has, the bare work, and the check, in milliseconds."""

    pair_frames: int
    contacts: int
    bare: float
    check: float


def figures(count: int, *, busy: bool, frames: int) -> Figures:
    project, motion = scene(count, busy=busy, frames=frames)
    parts = parts_of(project)
    pairs = checked_pairs(project, parts)
    pair_frames, work = bare(parts, pairs, motion)
    bare_ms, check_ms = milliseconds(
        work, lambda: interfere(parts, pairs, motion), repeats=9 if frames <= FRAMES else 3
    )
    return Figures(pair_frames, len(interfere(parts, pairs, motion).contacts), bare_ms, check_ms)


def told(count: int, *, busy: bool) -> str:
    few, many = (figures(count, busy=busy, frames=frames) for frames in (FRAMES, 10 * FRAMES))
    return (
        f"{count:6}  {'busy' if busy else 'clean':6} {few.pair_frames:11} {few.contacts:9} {few.bare:9.1f} "
        f"{few.check:9.1f} {few.check / few.bare:6.2f} {many.check:10.1f} {many.check / few.check:6.2f} "
        f"{many.check / many.bare:6.2f}"
    )


def after_an_edit(count: int, *, busy: bool) -> str:
    """How long the check takes after one door's rod was moved, beside a whole check, and one moment's overlaps."""
    project, motion = scene(count, busy=busy)
    parts = parts_of(project)
    pairs = checked_pairs(project, parts)
    before = Checked(pairs=pairs, found=interfere(parts, pairs, motion))
    after, moved_on = scene(count, busy=busy, edited=True)
    parts_now = parts_of(after)
    pairs_now = checked_pairs(after, parts_now)
    whole, again, moment = milliseconds(
        lambda: interfere(parts_now, pairs_now, moved_on),
        lambda: interfere(parts_now, pairs_now, moved_on, previous=before),
        lambda: overlaps_at(parts, pairs, motion.poses[FRAMES // 2]),
    )
    return f"{count:6}  {'busy' if busy else 'clean':6} {whole:9.1f} {again:14.1f} {again / whole:6.2f} {moment:14.2f}"


def by_equations(folder: Path) -> str:
    """A sample aircraft's first sequence, checked by what its equations bound, beside by what is only seen."""
    project = read_project(folder)
    schedule = lay_out(project.sequences[0])
    motion = solve_motion(build(project), schedule, frame_times(schedule, FRAMES))
    parts = parts_of(project)
    pairs, seen = checked_pairs(project, parts), replace(motion, course=None)
    bounded_ms, seen_ms = milliseconds(
        lambda: interfere(parts, pairs, motion), lambda: interfere(parts, pairs, seen), repeats=5
    )
    bounded, alone = track_of(parts, motion), track_of(parts, seen)
    return (
        f"{folder.name:>16} {len(parts):6} {seen_ms:8.1f} {len(alone.times):8} {bounded_ms:16.1f} "
        f"{len(bounded.times):8} {bounded_ms / seen_ms:6.2f} {100.0 * bounded.proved.mean():9.2f}"
    )


def main() -> None:
    print(
        f"goals: at {FRAMES} frames {CLEAN_GOAL} times the bare work for a clean scene, {BUSY_GOAL} for a busy one; "
        f"at ten times the frames {FRAMES_GOAL} times as long; after an edit {EDIT_GOAL:.2f} times as long"
    )
    print("bodies  scene  pair-frames  contacts   bare ms  check ms  ratio  at 6,000 ms  times  ratio")
    for busy in (False, True):
        for count in COUNTS:
            print(told(count, busy=busy))
    print("bodies  scene   whole ms  after edit ms  share  one moment ms")
    for busy in (False, True):
        for count in COUNTS:
            print(after_an_edit(count, busy=busy))
    print("        aircraft  parts  seen ms  moments  by equations ms  moments  ratio  proved %")
    for path in sorted(SAMPLES.glob("*/project.json")):
        print(by_equations(path.parent))


if __name__ == "__main__":
    main()
