"""Pivots, slides, slots and jacks that are taken beyond their limits."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from core.geometry.planar import Floats
from core.mechanism.mechanism import Link
from core.motion.span import Course
from core.motion.trouble import TravelPassed
from core.motion.values import value_of

OVER = 1e-6
"""Degrees or millimetres beyond a limit that are none."""
ROUNDS, PIECES = 8, 12


def travels_of(course: Course) -> tuple[TravelPassed, ...]:
    return tuple(_travels(course))


def _travels(course: Course) -> Iterator[TravelPassed]:
    stretches = [stretch for stretch in course.stretches if stretch.phase.begin >= 0.0]
    tracks = [(stretch.phase.grid, *stretch.on_grid()) for stretch in stretches]
    times = np.concatenate([track[0] for track in tracks])
    poses = np.concatenate([track[1] for track in tracks])
    good = np.concatenate([track[2] for track in tracks])
    for link in course.mechanism.links:
        if link.limits is None:
            continue
        beyond = excess(link, poses) + np.where(good[:, [link.first, link.second]].all(axis=1), 0.0, -np.inf)
        worst = int(np.argmax(beyond))
        if beyond[worst] <= OVER:
            continue
        time = _worst(course, link, times, worst)
        placed = course.poses_at(np.array([time]))
        value = float(value_of(link, placed[:, link.first], placed[:, link.second])[0])
        yield TravelPassed(connection=link.id, value=value, limits=link.limits, time=time)


def excess(link: Link, poses: Floats) -> Floats:
    """(T,) how far beyond its nearer limit a connection is; negative within."""
    assert link.limits is not None
    value = value_of(link, poses[:, link.first], poses[:, link.second])
    return np.asarray(np.maximum(link.limits[0] - value, value - link.limits[1]))


def _worst(course: Course, link: Link, times: Floats, frame: int) -> float:
    def beyond(at: Floats) -> Floats:
        return excess(link, course.poses_of(link.bodies, at))

    low, high = times[max(frame - 1, 0)], times[min(frame + 1, len(times) - 1)]
    return greatest(beyond, float(low), float(times[frame]), float(high))


def greatest(value: Callable[[Floats], Floats], low: float, guess: float, high: float) -> float:
    """Where a function of times is greatest within a bracket, the first of equals."""
    best, most = guess, float(value(np.array([guess]))[0])
    for _ in range(ROUNDS):
        if high - low <= 1e-9:
            break
        times = np.linspace(low, high, PIECES + 1)
        values = value(times)
        at = int(np.argmax(values))
        if values[at] > most:
            best, most = float(times[at]), float(values[at])
        gap = (high - low) / PIECES
        low, high = max(low, best - gap), min(high, best + gap)
    return best
