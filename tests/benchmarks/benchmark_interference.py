"""How long a full check takes, beside the bare geometry that sampling every frame would need.

    python tests/benchmarks/benchmark_interference.py

The bare work is that of GEOS alone for the pairs and frames whose boxes overlap: whether they intersect, the common area of
those that do, and the distance of those that do not, with every outline already in place. The goal is a check in no more than
2.5 times as long; a check that also proves what happens between the frames.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median

import numpy as np
import shapely

sys.path[:0] = [str(Path(__file__).parents[2])]

from core.document.project import Body, Circle, Project, Wall  # noqa: E402
from core.interference.check import interfere  # noqa: E402
from core.interference.overlap import overlaps_at  # noqa: E402
from core.interference.pairs import Pairs, checked_pairs  # noqa: E402
from core.interference.placement import Parts, moved, part_poses, parts_of  # noqa: E402
from core.motion.motion import Motion  # noqa: E402
from tests.core.interference.scenes import Path as BodyPath  # noqa: E402
from tests.core.interference.scenes import body, box, motion_of, project_of  # noqa: E402

FRAMES = 600
GOAL = 2.5


def scene(count: int) -> tuple[Project, Motion]:
    """A bay, a leg with a wheel and links that swings up into it, and doors with their levers along the keel."""
    random = np.random.default_rng(count)
    bodies: list[Body] = [
        Body(
            id="bay",
            view="front",
            fixed=True,
            shapes=(Wall(points=((-140, -2), (-140, 30), (60, 30), (60, -2)), thickness=1.0),),
        )
    ]
    paths: dict[str, BodyPath] = {"bay": lambda _: (0.0, 0.0, 0.0)}
    on_leg = count // 3
    for index in range(on_leg):
        along = -100.0 * index / on_leg
        swing = float(random.uniform(-0.6, 0.6))
        shape = Circle(centre=(0, -100), radius=14) if index == on_leg - 1 else box(-3, along - 75 / on_leg, 3, along)
        bodies.append(body(f"leg-{index}", shape))
        paths[f"leg-{index}"] = _swung(0.0, 0.0, -1.6, 0.0 if index % 2 else swing, 0.0, along)
    for index in range(count - 1 - on_leg):
        hinge = 40.0 * (index // 2) - 140.0
        bodies.append(
            body(f"door-{index}", box(hinge, -1, hinge + 16, 1) if index % 2 else box(hinge - 2, 2, hinge + 1, 11))
        )
        paths[f"door-{index}"] = _swung(hinge, 0.0, float(random.uniform(-1.5, 1.5)), 0.0, 0.0, 0.0)
    return project_of(*bodies, least_clearance=0.5), motion_of(paths, frames=FRAMES, seconds=4.0)


def _swung(x: float, y: float, turn: float, own: float, own_x: float, own_y: float) -> BodyPath:
    """Turning steadily about (x, y), and on top of it about a point of its own that goes with it."""

    def path(times: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        main, extra = turn * times / 4.0, own * np.sin(times)
        px = own_x - (np.cos(extra) * own_x - np.sin(extra) * own_y)
        py = own_y - (np.sin(extra) * own_x + np.cos(extra) * own_y)
        cosine, sine = np.cos(main), np.sin(main)
        return (
            x - (cosine * x - sine * y) + cosine * px - sine * py,
            y - (sine * x + cosine * y) + sine * px + cosine * py,
            main + extra,
        )

    return path


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


def milliseconds(work: Callable[[], object], repeats: int = 7) -> float:
    taken = []
    for _ in range(repeats):
        begin = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begin)
    return 1000.0 * median(taken)


def main() -> None:
    print(f"{FRAMES} frames; goal: at most {GOAL} times the bare work")
    print("bodies  pair-frames  contacts   bare ms  check ms  ratio  one moment ms")
    for count in (12, 20, 40):
        project, motion = scene(count)
        parts = parts_of(project)
        pairs = checked_pairs(project, parts)
        pair_frames, work = bare(parts, pairs, motion)
        bare_ms = milliseconds(work)
        check_ms = milliseconds(lambda: interfere(parts, pairs, motion))
        moment_ms = milliseconds(lambda: overlaps_at(parts, pairs, motion.poses[FRAMES // 2]), 21)
        contacts = len(interfere(parts, pairs, motion).contacts)
        ratio = check_ms / bare_ms
        print(f"{count:6} {pair_frames:12} {contacts:9} {bare_ms:9.1f} {check_ms:9.1f} {ratio:6.2f} {moment_ms:14.2f}")


if __name__ == "__main__":
    main()
