"""How much faster a sequence is solved as arrays than one frame after another. Prints ratios taken in one run.

    python tests/benchmarks/benchmark_motion.py

The other way is done well: dense Newton on all bodies at once with its residuals and Jacobian as arrays over the
joints, started from the two frames before by extrapolation, so that two rounds a frame are the rule. Both are shown to
agree before they are timed. Cranks and rockers of ten and thirty bodies, 600 frames, the input once round.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from core.document.project import Aircraft, Body, Drive, Move, Pivot, Project, Sequence, Step, View
from core.mechanism.build import build
from core.mechanism.mechanism import Mechanism
from core.motion.motion import Motion
from core.motion.schedule import Schedule, lay_out
from core.motion.solve import solve_motion

Floats = NDArray[np.float64]
FRAMES = 600
REPEATS = 7
WANTED = 10.0


def rockers(bodies: int) -> Project:
    """A crank and as many couplers and rockers as make `bodies` with it, each pair driven by the rocker before.

    Every odd pair reaches on from the far side of the one before, so that pins stand in no order that helps anyone.
    """
    made = [Body(id="frame", view="side", fixed=True), Body(id="crank", view="side")]
    joints = [Pivot(id="crank-pivot", bodies=("frame", "crank"), at=(0.0, 0.0))]
    driver, pin, foot = "crank", 12 + 5j, 0j
    for number in range((bodies - 1) // 2):
        foot += 60 + (7j if number % 2 else -7j)
        end = foot + (26j if number % 2 else 24j)
        coupler, rocker = f"coupler-{number}", f"rocker-{number}"
        made += [Body(id=rocker, view="side"), Body(id=coupler, view="side")]
        joints += [
            Pivot(id=f"foot-{number}", bodies=("frame", rocker), at=_xy(foot)),
            Pivot(id=f"near-{number}", bodies=(coupler, driver), at=_xy(pin)),
            Pivot(id=f"far-{number}", bodies=(coupler, rocker), at=_xy(end)),
        ]
        driver, pin = rocker, foot + 0.7 * (end - foot) * np.exp(0.4j)
    if bodies % 2 == 0:
        made.append(Body(id="crank-2", view="side"))
        joints.append(Pivot(id="crank-2-pivot", bodies=("frame", "crank-2"), at=(0.0, -40.0)))
    drives = [Drive(id="input", on="crank-pivot")]
    moves = [Move(drive="input", to=360.0)]
    if bodies % 2 == 0:
        drives.append(Drive(id="second", on="crank-2-pivot"))
        moves.append(Move(drive="second", to=-180.0))
    return Project(
        aircraft=Aircraft(name="Skarn P.9"),
        views=(View(id="side"),),
        bodies=tuple(made),
        connections=tuple(joints),
        drives=tuple(drives),
        sequences=(Sequence(id="round", steps=(Step(id="round", duration=6.0, moves=tuple(moves)),)),),
    )


def _xy(point: complex) -> tuple[float, float]:
    return float(point.real), float(point.imag)


class FrameByFrame:
    """Dense Newton, one frame after another, on pivots and driven pivots."""

    def __init__(self, mechanism: Mechanism) -> None:
        free = [body for body, fixed in enumerate(mechanism.fixed) if not fixed]
        column = np.full(len(mechanism.bodies), len(free))
        column[free] = np.arange(len(free))
        self.free, self._count = free, len(free)
        self._first = column[[link.first for link in mechanism.links]]
        self._second = column[[link.second for link in mechanism.links]]
        self._at = np.array([link.p for link in mechanism.links])
        self._driven = np.array(mechanism.driven)
        joints, drives = len(mechanism.links), len(self._driven)
        self._rows = 2 * joints + drives
        across, up = np.arange(joints), joints + np.arange(joints)
        self._turn_rows = 2 * joints + np.arange(drives)
        self._constant = np.zeros((self._rows, 3 * (self._count + 1)))
        for rows, part in ((across, 0), (up, 1)):
            np.add.at(self._constant, (rows, 3 * self._second + part), 1.0)
            np.add.at(self._constant, (rows, 3 * self._first + part), -1.0)
        self._constant[self._turn_rows, 3 * self._second[self._driven] + 2] += 1.0
        self._constant[self._turn_rows, 3 * self._first[self._driven] + 2] -= 1.0
        self._across, self._up = across, up

    def solve(self, drives: Floats) -> Floats:
        """(F, N, 3) poses of the bodies that are not fixed at (F, D) drive values in radians."""
        poses = np.zeros((len(drives), self._count + 1, 3))
        at = np.zeros((self._count + 1, 3))
        for frame, values in enumerate(drives):
            if frame > 1:
                at = 2.0 * poses[frame - 1] - poses[frame - 2]
            for _ in range(20):
                step = self._step(at, values)
                at = at - step
                if np.abs(step).max() < 1e-9:
                    break
            poses[frame] = at
        return poses[:, :-1]

    def _step(self, at: Floats, values: Floats) -> Floats:
        place, rotor = at[:, 0] + 1j * at[:, 1], np.exp(1j * at[:, 2])
        arm_first, arm_second = rotor[self._first] * self._at, rotor[self._second] * self._at
        gap = place[self._second] + arm_second - place[self._first] - arm_first
        turns = at[self._second[self._driven], 2] - at[self._first[self._driven], 2] - values
        residual = np.concatenate([gap.real, gap.imag, turns])
        matrix = self._constant.copy()
        matrix[self._across, 3 * self._second + 2] -= arm_second.imag
        matrix[self._up, 3 * self._second + 2] += arm_second.real
        matrix[self._across, 3 * self._first + 2] += arm_first.imag
        matrix[self._up, 3 * self._first + 2] -= arm_first.real
        step = np.zeros_like(at)
        step[:-1] = np.linalg.solve(matrix[:, :-3], residual).reshape(-1, 3)
        return step


def best(task: Callable[[], object], repeats: int = REPEATS) -> float:
    """The median of several runs, seconds."""
    taken = []
    for _ in range(repeats):
        begin = time.perf_counter()
        task()
        taken.append(time.perf_counter() - begin)
    return float(np.median(taken))


def compare(bodies: int) -> float:
    """Print both times and their ratio, and return it."""
    project = rockers(bodies)
    schedule: Schedule = lay_out(project.sequences[0])
    times = np.linspace(0.0, schedule.seconds, FRAMES)
    mechanism = build(project)
    motion: Motion = solve_motion(mechanism, schedule, times)
    other = FrameByFrame(mechanism)
    drives = np.deg2rad(motion.drives)
    off = np.abs(other.solve(drives) - motion.poses[:, other.free]).max()
    if not (off < 1e-9 and motion.assembled.all()):
        raise SystemExit(f"the two ways do not agree: {off:g}")
    arrays = best(lambda: solve_motion(build(project), schedule, times))
    frames = best(lambda: other.solve(drives), 3)
    print(f"{bodies:3d} bodies, {FRAMES} frames: one after another {frames * 1e3:7.1f} ms, "
          f"as arrays {arrays * 1e3:6.1f} ms, {frames / arrays:5.1f} times faster, alike to {off:.1e}")  # fmt: skip
    return frames / arrays


def main() -> int:
    ratios = [compare(bodies) for bodies in (10, 30)]
    return 0 if min(ratios) >= WANTED else 1


if __name__ == "__main__":
    sys.exit(main())
