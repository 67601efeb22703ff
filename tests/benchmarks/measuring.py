"""What the benchmarks share: times taken in turns, so that a busy moment of the machine falls on all alike."""

from __future__ import annotations

import time
from collections.abc import Callable
from statistics import median


def milliseconds(*works: Callable[[], object], repeats: int = 9) -> list[float]:
    """The median processor time of each of several pieces of work."""
    taken: list[list[float]] = [[] for _ in works]
    for _ in range(repeats):
        for work, times in zip(works, taken, strict=True):
            begin = time.process_time()
            work()
            times.append(1000.0 * (time.process_time() - begin))
    return [median(times) for times in taken]
