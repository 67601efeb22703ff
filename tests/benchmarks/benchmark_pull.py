"""How long one answer to the hand takes: random chains of up to 20 bodies pulled about, and the sample aircraft.

The thread's own time, since other programs are no concern here; the goal is 8 ms for 20 bodies. The first answer loads
scipy, which the window has loaded by then.

    .venv/bin/python -m tests.benchmarks.benchmark_pull
"""

from __future__ import annotations

import time
from pathlib import Path

import numpy as np

from core.document.project_file import read_project
from core.geometry.planar import Floats
from core.mechanism.build import build
from core.mechanism.constraints import jacobian, rows_of
from core.mechanism.mechanism import Mechanism
from core.motion.placing import Placing
from core.pulling.grab import grab
from core.pulling.pull import pull
from tests.properties.chains import random_chain

SAMPLES = Path(__file__).resolve().parent.parent.parent / "sample_projects"
PULLS = 60


def milliseconds(mechanism: Mechanism, body: int, random: np.random.Generator) -> Floats:
    """Of each answer while a body is pulled away from the drawn position, a hundredth of the size at a time."""
    at = complex(*random.normal(0.0, 0.3 * mechanism.size, 2))
    held = grab(mechanism, np.zeros((len(mechanism.bodies), 3)), mechanism.bodies[body], at)
    here, way, found = held.poses, np.exp(1j * random.uniform(0.0, 2.0 * np.pi)), []
    for number in range(1, PULLS + 1):
        begin = time.thread_time()
        here = pull(held, here, at + 0.01 * number * mechanism.size * way).poses
        found.append(1e3 * (time.thread_time() - begin))
    return np.array(found)


def told(name: str, found: Floats) -> None:
    median, most, worst = np.median(found), np.percentile(found, 95.0), found.max()
    print(f"{name:28} {median:6.2f} ms  19 of 20 within {most:6.2f} ms  worst {worst:6.2f} ms")


def chains() -> None:
    for growths in (2, 5, 8, 11):
        found, bodies = [], 0
        for seed in range(8):
            mechanism, random = build(random_chain(seed, growths=growths).project), np.random.default_rng(seed)
            bodies = max(bodies, len(mechanism.bodies))
            found.append(milliseconds(mechanism, len(mechanism.bodies) - 1, random))
        told(f"chains of up to {bodies} bodies", np.concatenate(found))


def samples() -> None:
    for folder in sorted(one.parent for one in SAMPLES.glob("*/project.json")):
        mechanism = build(read_project(folder))
        moving = [body for body, fixed in enumerate(mechanism.fixed) if not fixed]
        found = [milliseconds(mechanism, body, np.random.default_rng(body)) for body in moving]
        told(f"{folder.name}, {len(mechanism.bodies)} bodies", np.concatenate(found))


def rows() -> None:
    """What the rows cost here and in the solver, which makes them one by one for many moments at once."""
    mechanism = build(random_chain(5, growths=11).project)
    poses = np.zeros((len(mechanism.bodies), 3))
    held = grab(mechanism, poses, mechanism.bodies[-1], 0j)
    state = held.state_of(poses)[None]
    standing = Placing.at_poses(poses, np.zeros((1, len(mechanism.drives))))
    columns, origins = list(range(len(poses))), [np.zeros(1, dtype=complex)] * len(poses)

    def one_by_one() -> None:
        every = [row for link in range(len(mechanism.links)) for row in rows_of(mechanism, link, standing, {})]
        jacobian(every, columns, origins, mechanism.size)

    for name, make in (("rows at once", lambda: held.rows.linearised(state)), ("rows one by one", one_by_one)):
        taken = []
        for _ in range(200):
            begin = time.thread_time()
            make()
            taken.append(1e3 * (time.thread_time() - begin))
        told(name, np.array(taken))


if __name__ == "__main__":
    milliseconds(build(random_chain(0, growths=1).project), 1, np.random.default_rng(0))  # loads scipy
    chains()
    samples()
    rows()
