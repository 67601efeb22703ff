"""The cases' mechanisms as projects, driven at one radian a second, and what is read off their solved poses.

Rates by the input's angle are central differences of eighth order over `STEP` radians of `poses_at`; speeds and
accelerations follow from them by the chain rule, so that no case has to run at 1,500 revolutions a minute.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq

from core.document.project import Project
from core.motion.motion import Motion
from tests.mechanisms.example import Mark, point_track, solve
from tests.mechanisms.four_bars import FourBar
from tests.mechanisms.planar import Points
from tests.mechanisms.sketch import project, step

STEP = 0.03
NUMERICAL = 1e-8
"""What the differences may be off, relative to the value."""
RADIAN = 180.0 / np.pi
FIRST = np.array([1 / 280, -4 / 105, 1 / 5, -4 / 5, 0.0, 4 / 5, -1 / 5, 4 / 105, -1 / 280])
SECOND = np.array([-1 / 560, 8 / 315, -1 / 5, 8 / 5, -205 / 72, 8 / 5, -1 / 5, 8 / 315, -1 / 560])


@dataclass(frozen=True, slots=True)
class Running:
    """A motion whose single input moves `rate` of its terms a second, from `start`."""

    motion: Motion
    start: float
    rate: float

    def time(self, value: float) -> float:
        return (value - self.start) / self.rate

    def point(self, mark: Mark, value: float) -> complex:
        """Where a body's drawn point is when the input stands at `value`."""
        return complex(self.points(mark, np.array([value]))[0])

    def points(self, mark: Mark, values: np.ndarray) -> Points:
        poses = self.motion.poses_at((np.asarray(values) - self.start) / self.rate)
        return point_track(self.motion, mark[0], mark[1], poses)

    def turn(self, body: str, value: float) -> float:
        """A body's turn from the drawn position, in degrees."""
        poses = self.motion.poses_at(np.array([self.time(value)]))
        return float(np.rad2deg(poses[0, self.motion.bodies.index(body), 2]))

    def point_rates(self, mark: Mark, value: float, step_: float = STEP) -> tuple[complex, complex]:
        """First and second derivative of a point by seconds of a motion that takes `step_` of them between samples."""
        times = self.time(value) + step_ * np.arange(-4, 5)
        track = point_track(self.motion, mark[0], mark[1], self.motion.poses_at(times))
        return complex(FIRST @ track / step_), complex(SECOND @ track / step_**2)

    def turn_rates(self, body: str, value: float, step_: float = STEP) -> tuple[float, float]:
        """First and second derivative of a body's turn, radians and seconds."""
        times = self.time(value) + step_ * np.arange(-4, 5)
        turns = self.motion.poses_at(times)[:, self.motion.bodies.index(body), 2]
        return float(FIRST @ turns / step_), float(SECOND @ turns / step_**2)

    def root(self, gap: Callable[[float], float], low: float, high: float) -> float:
        """The input value between two at which something read off the poses is nought."""
        return float(brentq(gap, low, high, xtol=1e-13, rtol=1e-14))


def run(made: Project, drive: str, start: float, end: float, rate: float = RADIAN, frames: int = 181) -> Running:
    """The project driven steadily from `start` to `end` at `rate` of its terms a second."""
    signed = rate if end > start else -rate
    steps = (step("run", (end - start) / signed, {drive: end}),)
    driven = project(made.bodies, made.connections, {one.id: one.on for one in made.drives}, steps, {drive: start})
    motion = solve(driven, frames)
    assert motion.assembled.all()
    return Running(motion, start, signed)


def four_bar_project(bar: FourBar) -> Project:
    return project(bar.bodies(), bar.connections(), {"input": "o2"})


def run_four_bar(bar: FourBar, low: float, high: float) -> Running:
    """The crank from `low` to `high`, absolute angles in degrees."""
    return run(four_bar_project(bar), "input", low - bar.drawn, high - bar.drawn)


def direction(start: complex, end: complex) -> float:
    """Of the way from one point to another, degrees from +x."""
    return float(np.rad2deg(np.angle(end - start)))


def speeds(rates: tuple[float, float], omega: float, alpha: float) -> tuple[float, float]:
    """Speed and acceleration from the rates by an input in radians: q' omega and q'' omega^2 + q' alpha."""
    return rates[0] * omega, rates[1] * omega**2 + rates[0] * alpha
