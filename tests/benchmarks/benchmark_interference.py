"""How long a full check takes, beside the bare geometry that sampling every frame would need.

    python tests/benchmarks/benchmark_interference.py

The bare work is that of GEOS alone for the pairs and frames whose boxes overlap: whether they intersect, the common
area of those that do, and the distance of those that do not, with every outline already in place. The goal is a check
in no more than 2.5 times as long; a check that also proves what happens between the frames.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from statistics import median

import numpy as np
import shapely
from numpy.typing import NDArray

sys.path[:0] = [str(Path(__file__).parents[2])]

from core.document.project import Body, Circle, Project, Shape, Wall  # noqa: E402
from core.interference.check import interfere  # noqa: E402
from core.interference.overlap import overlaps_at  # noqa: E402
from core.interference.pairs import Pairs, checked_pairs  # noqa: E402
from core.interference.placement import Parts, moved, part_poses, parts_of  # noqa: E402
from core.motion.motion import Motion  # noqa: E402
from tests.core.interference.scenes import box, motion_of, project_of, still  # noqa: E402

Floats = NDArray[np.float64]

FRAMES = 600
SECONDS = 4.0
GOAL = 2.5


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


def scene(count: int) -> tuple[Project, Motion]:
    """A bay, a leg of several parts with a wheel that swings up into it, and doors with their levers along the keel."""
    random = np.random.default_rng(count)
    bay = Wall(points=((-140, -2), (-140, 30), (60, 30), (60, -2)), thickness=1.0)
    bodies = [Body(id="bay", view="front", fixed=True, shapes=(bay,))]
    swings = Swings([(0.0, 0.0)], [0.0], [(0.0, 0.0)], [0.0])

    def add(name: str, shape: Shape, pivot: tuple[float, float], turn: float, own: tuple[float, float, float]) -> None:
        bodies.append(Body(id=name, view="front", shapes=(shape,)))
        swings.pivots.append(pivot)
        swings.turns.append(turn)
        swings.own_pivots.append(own[:2])
        swings.own_turns.append(own[2])

    on_leg = count // 3
    for index in range(on_leg):
        along, swing = -100.0 * index / on_leg, float(random.uniform(-0.3, 0.3))
        shape = Circle(centre=(0, -100), radius=9) if index == on_leg - 1 else box(-3, along - 60 / on_leg, 3, along)
        add(f"leg-{index}", shape, (0.0, 0.0), -1.5, (0.0, along, 0.0 if index % 2 else swing))
    doors = count - 1 - on_leg
    for index in range(doors):
        hinge = -132.0 + 180.0 * (index // 2) / (doors // 2)
        shape = box(hinge, 11, hinge + 300 / doors, 13) if index % 2 else box(hinge - 1, 14, hinge + 1, 24)
        add(f"door-{index}", shape, (hinge, 13.5), float(random.uniform(-1.0, 0.3)), (0.0, 0.0, 0.0))

    motion = motion_of({one.id: still for one in bodies}, frames=FRAMES, seconds=SECONDS)
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


def milliseconds(*works: Callable[[], object], repeats: int = 9) -> list[float]:
    """The median processor time of each of several pieces of work, taken in turns."""
    taken: list[list[float]] = [[] for _ in works]
    for _ in range(repeats):
        for work, times in zip(works, taken, strict=True):
            begin = time.process_time()
            work()
            times.append(1000.0 * (time.process_time() - begin))
    return [median(times) for times in taken]


def measured(count: int) -> str:
    project, motion = scene(count)
    parts = parts_of(project)
    pairs = checked_pairs(project, parts)
    pair_frames, work = bare(parts, pairs, motion)
    bare_ms, check_ms, moment_ms = milliseconds(
        work,
        lambda: interfere(parts, pairs, motion),
        lambda: overlaps_at(parts, pairs, motion.poses[FRAMES // 2]),
    )
    contacts = len(interfere(parts, pairs, motion).contacts)
    ratio = check_ms / bare_ms
    return f"{count:6} {pair_frames:12} {contacts:9} {bare_ms:9.1f} {check_ms:9.1f} {ratio:6.2f} {moment_ms:14.2f}"


def main() -> None:
    print(f"{FRAMES} frames; goal: at most {GOAL} times the bare work")
    print("bodies  pair-frames  contacts   bare ms  check ms  ratio  one moment ms")
    for count in (12, 20, 40):
        print(measured(count))


if __name__ == "__main__":
    main()
