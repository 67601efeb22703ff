"""What the benchmarks share: times taken in turns, so that a busy moment of the machine falls on all alike."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field
from statistics import median

import numpy as np


def milliseconds(*works: Callable[[], object], repeats: int = 9) -> list[float]:
    """The median processor time of each of several pieces of work."""
    taken: list[list[float]] = [[] for _ in works]
    for _ in range(repeats):
        for work, times in zip(works, taken, strict=True):
            begin = time.process_time()
            work()
            times.append(1000.0 * (time.process_time() - begin))
    return [median(times) for times in taken]


@dataclass
class Taken:
    """Milliseconds that something took each time: by the clock on the wall, and as this thread's processor time, which
    other work on the machine hardly lengthens."""

    wall: list[float] = field(default_factory=list)
    spent: list[float] = field(default_factory=list)

    def time(self, work: Callable[[], object]) -> None:
        begin, spent = time.perf_counter(), time.thread_time()
        work()
        self.spent.append(1000.0 * (time.thread_time() - spent))
        self.wall.append(1000.0 * (time.perf_counter() - begin))

    def told(self) -> str:
        """Medians and 95th percentiles."""
        (wall, high), (spent, spent_high) = (np.percentile(one, [50, 95]) for one in (self.wall, self.spent))
        return f"{wall:5.1f} {high:5.1f} ms wall, {spent:5.1f} {spent_high:5.1f} ms spent"
