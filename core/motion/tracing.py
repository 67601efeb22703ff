"""The path of a point of a body over a motion: corners so close that the true path strays nowhere farther from the
chords between them than a stated tolerance.

Between two moments the linkage's own equations bound how far the point is from where it would be if it went steadily
along its chord (`straying`); moments are put in until that is within the tolerance. Where the equations bound nothing,
at a dead centre or of what only drags along, a chord is divided until the moment half way lies within half of the
tolerance of its middle, and the trace is not proved.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from core.geometry.planar import Bools, Complexes, Floats, point_at
from core.motion.motion import Motion
from core.motion.straying import Linkage

TOLERANCE = 0.01
"""Millimetres; a line on paper is twenty times as wide."""
FINE = 0.5
"""Of the tolerance: what a chord that no equations bound may be off half way."""
MOST_ROUNDS = 12
MOST_PIECES = 16
SHORTEST = 1e-6
"""Of the sequence: a span shorter than this is not divided."""
SAME_TIME = 1e-9
"""Of the sequence: a step's end that is nearer to a frame than this is that frame."""
STILL = 1e-6
"""Millimetres that a point moves at the least where it is said to move."""
MOST_TICKS = 40


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Trace:
    """Where a point is at T moments; between two that follow each other it is no farther from the chord than
    `tolerance`, mm."""

    times: Floats
    """(T,) seconds, increasing."""
    places: Complexes
    """(T,) x + iy, mm; NaN while its body is held because its connections do not meet."""
    tolerance: float
    proved: bool
    """Whether the linkage's equations say so all the way; else it is what is seen."""

    @property
    def stretches(self) -> tuple[Floats, ...]:
        """The path's corners (n, 2), mm, parted where nothing is known of it; nothing where it stands still."""
        known = np.isfinite(self.places)
        edges = np.flatnonzero(np.diff(np.concatenate([[False], known, [False]]).astype(int))).reshape(-1, 2)
        pieces = (_moving(self.places[begin:end]) for begin, end in edges.tolist())
        return tuple(np.column_stack([one.real, one.imag]) for one in pieces if len(one) > 1)

    @property
    def length(self) -> float:
        """The way gone along it, mm."""
        return float(np.nansum(np.abs(np.diff(self.places))))

    def at(self, time: float) -> complex | None:
        """Where the point is; None where nothing is known."""
        place = complex(np.interp(time, self.times, self.places))
        return place if math.isfinite(place.real) else None


def trace_of(motion: Motion, body: int, point: complex, tolerance: float = TOLERANCE) -> Trace:
    """The path of a point of the body of that number, drawn at `point`, mm."""
    times = _first_moments(motion)
    linkage = None
    if motion.course is not None:
        linkage = Linkage(motion.course, (), np.array([body]), np.array([point]), alone=True)
    shortest = SHORTEST * float(motion.times[-1])
    poses = _turning_on(motion.poses_at(times))
    for _ in range(MOST_ROUNDS):
        strays, proved = _strays(motion, linkage, times, poses, body, point)
        wide = (strays > tolerance) & (np.diff(times) > shortest)
        if not wide.any():
            break
        pieces = np.where(wide, np.ceil(np.sqrt(strays / tolerance)).clip(2, MOST_PIECES), 1).astype(int)
        spans = zip(times[:-1], np.diff(times), pieces, strict=True)
        added = np.concatenate([begin + took * np.arange(1, count) / count for begin, took, count in spans])
        times, poses = _with_added(motion, times, poses, added)
    places = np.where(motion.assembled_at(times)[:, body], point_at(poses[:, body], point), np.nan)
    exact = max(tolerance, float(strays.max(initial=0.0)))
    return Trace(times=times, places=places, tolerance=exact, proved=bool(proved.all()))


def _first_moments(motion: Motion) -> Floats:
    """Frames, and where steps begin and end: a path may have a corner there."""
    first, last = float(motion.times[0]), float(motion.times[-1])
    marks = [time for step in motion.schedule.steps for time in (step.begin, step.end) if first < time < last]
    near = SAME_TIME * max(last, 1e-300)
    frames = motion.times
    away = [mark for mark in marks if np.abs(frames - mark).min() > near]
    return np.unique(np.concatenate([frames, away]))


def _with_added(motion: Motion, times: Floats, poses: Floats, added: Floats) -> tuple[Floats, Floats]:
    every = np.concatenate([times, added])
    order = np.argsort(every, kind="stable")
    return every[order], _turning_on(np.concatenate([poses, motion.poses_at(added)])[order])


def _turning_on(poses: Floats) -> Floats:
    """Poses whose turns go on from moment to moment, and do not leap by whole turns."""
    poses[..., 2] = np.unwrap(poses[..., 2], axis=0)
    return poses


def _strays(
    motion: Motion, linkage: Linkage | None, times: Floats, poses: Floats, body: int, point: complex
) -> tuple[Floats, Bools]:
    """(T - 1,) how far the point strays from its chord between two moments, mm, and whether the equations say so."""
    count = len(times) - 1
    strays, proved = np.zeros(count), np.zeros(count, dtype=bool)
    if linkage is not None and count:
        ways = linkage.ways(times, poses, np.arange(count), np.arange(1, count + 1))
        falls, stays = ways.stray(np.zeros(1))
        proved = ways.proved[:, 0]
        strays = np.where(proved, (falls + stays)[:, 0], 0.0)
    seen = np.flatnonzero(~proved)
    if len(seen):
        ends = point_at(poses[:, body], point)
        middle = point_at(motion.poses_at(0.5 * (times[seen] + times[seen + 1]))[:, body], point)
        strays[seen] = np.abs(middle - 0.5 * (ends[seen] + ends[seen + 1])) / FINE
    return strays, proved


def _moving(places: Complexes) -> Complexes:
    """The corners without those at which the point has not moved on."""
    kept = np.concatenate([[True], np.abs(np.diff(places)) > 0.0])
    return places[kept]


# ---- ticks -----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Tick:
    """A place of the path at a whole number of time steps, and the direction in which the point goes there."""

    time: float
    at: complex
    turn: float
    """Radians."""


def tick_step(seconds: float) -> float:
    """Seconds from one tick to the next: 1, 2 or 5 times a power of ten, so that there are 16 to 40 of them."""
    if seconds <= 0.0:
        return 1.0
    wanted = seconds / MOST_TICKS
    power = 10.0 ** math.floor(math.log10(wanted) + 1e-9)
    return next(one for one in (1, 2, 5, 10) if one * power >= wanted * (1.0 - 1e-9)) * power


def ticks_of(trace: Trace, step: float) -> tuple[Tick, ...]:
    """Ticks at equal steps of time from the start on, so that their spacing shows the speed. Where the point stands
    still there is one for all the while, and none where it never moves."""
    count = math.floor(float(trace.times[-1]) / step + 1e-9) if step > 0.0 else 0
    found: list[Tick] = []
    for number in range(count + 1):
        time = number * step
        at, turn = trace.at(time), _direction(trace, time)
        if at is not None and turn is not None and (not found or abs(found[-1].at - at) > STILL):
            found.append(Tick(time, at, turn))
    return tuple(found)


def _direction(trace: Trace, time: float) -> float | None:
    """The way the point goes at a moment; where it rests, the way it goes on from there, or else came."""
    moves = np.flatnonzero(np.abs(np.diff(trace.places)) > STILL)
    if not len(moves):
        return None
    span = np.searchsorted(trace.times, time, side="right") - 1
    move = int(moves[min(int(np.searchsorted(moves, span)), len(moves) - 1)])
    way = complex(trace.places[move + 1] - trace.places[move])
    return math.atan2(way.imag, way.real)


def arrow_of(trace: Trace) -> Tick | None:
    """Half way along it, where an arrow shows its direction; None where it has none."""
    gone = np.concatenate([[0.0], np.cumsum(np.nan_to_num(np.abs(np.diff(trace.places))))])
    if gone[-1] <= STILL:
        return None
    time = float(np.interp(0.5 * gone[-1], gone, trace.times))
    at, turn = trace.at(time), _direction(trace, time)
    return Tick(time, at, turn) if at is not None and turn is not None else None
