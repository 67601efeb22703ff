"""How long a thousand models take: .venv/bin/python -m tests.benchmarks.benchmark_tolerance

The bare work beside it is the drawn model solved at as many frames as all models have, one model after another, timed
over some of them and taken for all.
"""

from __future__ import annotations

import time

import numpy as np

from core.document.project import Project
from core.mechanism.build import build
from core.motion.schedule import lay_out
from core.motion.solve import solve_motion
from core.tolerance.built import built
from core.tolerance.dimensions import dimensions_of, drawn_at_random
from core.tolerance.solve import solve_built
from tests.benchmarks.benchmark_motion import rockers
from tests.benchmarks.measuring import milliseconds

MODELS, FRAMES, SOME = 1000, 60, 10


def figures(project: Project) -> str:
    mechanism, schedule = build(project), lay_out(project.sequences[0])
    times = np.linspace(0.0, schedule.seconds, FRAMES)
    motion = solve_motion(mechanism, schedule, times)
    dimensions = dimensions_of(project)
    models = built(mechanism, dimensions, drawn_at_random(dimensions, MODELS, seed=1))

    def together() -> None:
        solve_built(models, motion, mechanism, times)

    def one_after_another() -> None:
        for _ in range(SOME):
            solve_motion(mechanism, schedule, times)

    taken, some = milliseconds(together, one_after_another, repeats=3)
    begin = time.perf_counter()
    together()
    clock = time.perf_counter() - begin
    alone = some * MODELS / SOME
    return (
        f"{len(project.bodies):6d}  {len(dimensions):10d}  {taken:9.0f}  {1e3 * clock:9.0f}  {alone:13.0f}  "
        f"{taken / alone:6.3f}"
    )


def main() -> None:
    print(f"{MODELS} models, {FRAMES} frames; goals: 1 s at 10 bodies, 3 s at 30")
    print("bodies  dimensions  at once ms   clock ms  one by one ms   ratio")
    for bodies in (10, 30):
        print(figures(rockers(bodies)))


if __name__ == "__main__":
    main()
