"""Many models of a mechanism through its sequence at once: each frame from where the drawn one stands.

A model differs from the drawing by hundredths of a millimetre, so that Newton's steps with the drawn mechanism's own
Jacobian, one a frame for all models, come to the same end as those with each model's (the chord method: C. T. Kelley,
Iterative Methods for Linear and Nonlinear Equations, SIAM 1995, ch. 5). Where they do not, near a dead centre, each
model's own Jacobian is taken. See `tests/benchmarks/benchmark_tolerance.py` for what that saves.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from core.geometry.planar import Bools, Complexes, Floats, Ints
from core.mechanism.constraints import Grip, Row, jacobian, rows_of
from core.mechanism.mechanism import Kind, Mechanism
from core.motion.inputs import Inputs
from core.motion.motion import Motion
from core.motion.span import Stretch
from core.tolerance.built import Built

CLOSE = 1e-9
"""Millimetres: a step shorter than this is the last."""
MOST_CHORDS = 8
MOST_STEPS = 25
FLAT = 1e-7
"""Of the largest singular value of a Jacobian: a smaller one is none."""
GIVE = 0.05
"""Millimetres by which connections may miss each other, spread over all of them, and still be put together: they
spring, and have play of their own."""
FARTHEST = 0.1
"""Of the mechanism's size: a longer step leads elsewhere and is shortened."""
CHUNK = 1_000
"""Models at a moment each that are solved together by their own Jacobians, which take room."""
AT_ONCE = 64
"""Models that are solved together: so many that what they need stays near the processor."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BuiltMotion:
    """S models at T times."""

    times: Floats
    poses: Floats
    """(T, S, B, 3)"""
    assembled: Bools
    """(S,) whether the connections meet at every time, within what they give."""
    misses: dict[str, tuple[float, Complexes]] = field(default_factory=dict)
    """By latch: when it takes hold, and from its hook to its pin then, (S,) mm in the view."""


@dataclass(slots=True)
class _Standing:
    """B bodies of S models at T times, or of M models at a time each, as lists of (T, S) or (M,)."""

    drives: Floats
    """(T, D, S), or (M, D)."""
    places: Complexes
    rotors: Complexes
    turns: Floats
    """(B, ...)"""

    @classmethod
    def of(cls, poses: Floats, drives: Floats) -> _Standing:
        """Of (B, ..., 3) poses."""
        places, turns = poses[..., 0] + 1j * poses[..., 1], poses[..., 2].copy()
        return cls(drives, places, np.asarray(np.exp(1j * turns)), turns)

    def point(self, body: int, point: complex) -> Complexes:
        return np.asarray(self.places[body] + self.rotors[body] * point)

    def way(self, body: int, direction: complex) -> Complexes:
        return np.asarray(self.rotors[body] * direction)

    def turn(self, body: int) -> Floats:
        return np.asarray(self.turns[body])

    def at(self, times: Ints) -> _Standing:
        return _Standing(self.drives[times], self.places[:, times], self.rotors[:, times], self.turns[:, times])

    def put(self, times: Ints, some: _Standing) -> None:
        self.places[:, times], self.rotors[:, times], self.turns[:, times] = some.places, some.rotors, some.turns

    def go(self, body: int, centre: complex, step: Floats, size: float) -> None:
        """Shift and turn a body about its middle by a (3, ...) step."""
        turn = step[2] / size
        spun = self.rotors[body] * np.exp(1j * turn)
        self.places[body] += step[0] + 1j * step[1] + (self.rotors[body] - spun) * centre
        self.rotors[body] = spun
        self.turns[body] += turn

    def poses(self) -> Floats:
        """(..., B, 3)"""
        return np.stack([np.moveaxis(one, 0, -1) for one in (self.places.real, self.places.imag, self.turns)], axis=-1)


@dataclass(frozen=True, slots=True)
class _Drawn:
    """What of a phase is the same for all models."""

    mechanism: Mechanism
    stretch: Stretch
    moving: tuple[int, ...]
    columns: tuple[int, ...]
    """Each body's place among those that move, or -1."""
    centres: Complexes
    """(B,) the middle of each body's points as drawn, about which it is turned."""
    mine: Ints
    """Which of the times that are asked for lie in it."""
    start: Floats
    """(B, T, 3) at those times, and at its end."""
    drives: Floats
    """(T, D)"""
    inverse: Floats
    """(T, 3 G, R) of the drawn mechanism's Jacobians."""


def solve_built(
    models: Built, motion: Motion, drawn: Mechanism, times: Floats, progress: Callable[[float], None] | None = None
) -> BuiltMotion:
    """Every model at (T,) increasing times of a solved motion of what is drawn; what `progress` raises ends it."""
    course = motion.course
    assert course is not None, "the motion was solved"
    last = course.stretches[-1]
    phases = [_drawn(drawn, course.inputs, stretch, times, last=stretch is last) for stretch in course.stretches]
    some = [np.arange(begin, min(begin + AT_ONCE, models.samples)) for begin in range(0, models.samples, AT_ONCE)]
    parts = [(which, models.only(which)) for which in some]
    poses = np.empty((len(times), models.samples, len(drawn.bodies), 3))
    assembled, misses = np.ones(models.samples, dtype=bool), dict[str, tuple[float, Complexes]]()
    grips, before = dict[int, Any](), None
    for number, phase in enumerate(phases):

        def tell(share: float, number: int = number) -> None:
            if progress is not None:
                progress((number + share) / len(phases))

        grips = _grips_after(grips, phase, before, models, misses)
        there, miss = _solve_phase(models, parts, phase, grips, tell)
        poses[phase.mine], before = there[:-1], there[-1]
        assembled &= (miss[:-1] <= GIVE).all(axis=0)
    return BuiltMotion(times=times, poses=poses, assembled=assembled, misses=misses)


def _drawn(mechanism: Mechanism, inputs: Inputs, stretch: Stretch, times: Floats, *, last: bool) -> _Drawn:
    begin, end = stretch.phase.begin, stretch.phase.end
    mine = np.flatnonzero((times >= begin) & ((times < end) | (last & (times <= end))))
    moments = np.append(times[mine], end)
    start, drives = np.moveaxis(stretch.at(moments)[0], 1, 0), inputs.at(moments)
    moving = tuple(np.flatnonzero(~np.array(mechanism.fixed, dtype=bool)).tolist())
    columns = tuple(moving.index(body) if body in moving else -1 for body in range(len(mechanism.bodies)))
    centres, at = _centres(mechanism), _Standing.of(start, drives)
    rows = _all_rows(mechanism, at, stretch.phase.plan.grips)
    origins = [at.point(body, centres[body]) for body in moving]
    inverse = _inverse(jacobian(rows, columns, origins, mechanism.size))
    return _Drawn(mechanism, stretch, moving, columns, centres, mine, start, drives, inverse)


def _inverse(gradients: Floats) -> Floats:
    """(T, 3 G, R) of (T, R, 3 G): the inverse where there is one, else the one of least squares."""
    if not gradients.size:
        return np.zeros((gradients.shape[0], gradients.shape[2], gradients.shape[1]))
    if gradients.shape[1] == gradients.shape[2] and (np.linalg.cond(gradients) < 1.0 / FLAT).all():
        return np.asarray(np.linalg.inv(gradients), dtype=np.float64)
    return np.asarray(np.linalg.pinv(gradients, rcond=FLAT), dtype=np.float64)


def _grips_after(
    grips: dict[int, Any], phase: _Drawn, before: Floats | None, models: Built,
    misses: dict[str, tuple[float, Complexes]],
) -> dict[int, Any]:  # fmt: skip
    """What holds in a phase, by latch: each model is held as it stood, (S, B, 3), when its latch took hold."""
    held = dict[int, Any]()
    for latch, as_drawn in phase.stretch.phase.plan.grips.items():
        if latch in grips or before is None:
            held[latch] = grips.get(latch, as_drawn)
            continue
        link = models.mechanism.links[latch]
        at = _Standing.of(np.moveaxis(before, 1, 0), np.zeros((1, 0)))
        off = at.point(link.second, link.q) - at.point(link.first, link.p)
        misses.setdefault(link.id, (phase.stretch.phase.begin, off))
        back = np.conj(at.rotors[link.first])
        held[latch] = (
            back * (at.places[link.second] - at.places[link.first]),
            at.turns[link.second] - at.turns[link.first],
        )
    return held


def _solve_phase(
    models: Built, parts: list[tuple[Ints, Built]], phase: _Drawn, grips: Mapping[int, Any],
    tell: Callable[[float], None],
) -> tuple[Floats, Floats]:  # fmt: skip
    """(T, S, B, 3) poses and (T, S) by how much the connections miss each other, mm."""
    poses = np.empty((phase.start.shape[1], models.samples, len(phase.start), 3))
    miss = np.empty(poses.shape[:2])
    for which, part in parts:
        tell(float(which[0]) / models.samples)
        drives = phase.drives[..., None] + part.drives.T
        at = _Standing.of(np.repeat(phase.start[:, :, None], part.samples, axis=2), drives)
        held = _grips_of(grips, which)
        if phase.inverse.size:
            _chords(part, phase, held, at)
        poses[:, which], miss[:, which] = at.poses(), _missed(part, held, at)
    wrong = np.argwhere(~(miss <= 10.0 * CLOSE))
    for begin in range(0, len(wrong), CHUNK):
        tell(1.0)
        _own_steps(models, phase, grips, poses, wrong[begin : begin + CHUNK], miss)
    return poses, miss


def _grips_of(grips: Mapping[int, Any], which: Ints) -> dict[int, Any]:
    """How some of the models are held."""
    return {latch: tuple(_of(value, which) for value in grip) for latch, grip in grips.items()}


def _all_rows(mechanism: Mechanism, at: _Standing, grips: Mapping[int, Grip]) -> list[Row]:
    return [row for number in range(len(mechanism.links)) for row in rows_of(mechanism, number, at, grips)]


def _built_rows(models: Built, at: _Standing, grips: Mapping[int, Grip]) -> list[Row]:
    """The rows of built models, whose gearings lag behind by what of their backlash is taken up."""
    mechanism, found = models.mechanism, list[Row]()
    for number in range(len(mechanism.links)):
        rows = rows_of(mechanism, number, at, grips)
        lag = models.lags.get(number)
        if lag is not None:
            rows = [replace(row, residual=row.residual - mechanism.size * lag) for row in rows]
        found += rows
    return found


def _centres(mechanism: Mechanism) -> Complexes:
    sums, counts = np.zeros(len(mechanism.bodies), dtype=complex), np.zeros(len(mechanism.bodies))
    for link in mechanism.links:
        if link.kind is not Kind.GEARING:
            for body, point in ((link.first, link.p), (link.second, link.q)):
                sums[body] += point
                counts[body] += 1
    return np.asarray(sums / np.maximum(counts, 1))


def _left(models: Built, grips: Mapping[int, Grip], at: _Standing) -> Floats:
    """(T, R, S) residuals, mm."""
    rows = _built_rows(models, at, grips)
    out = np.empty((at.turns.shape[1], len(rows), at.turns.shape[2]))
    for number, row in enumerate(rows):
        out[:, number] = row.residual
    return out


def _missed(models: Built, grips: Mapping[int, Grip], at: _Standing) -> Floats:
    return np.nan_to_num(np.linalg.norm(_left(models, grips, at), axis=1), nan=np.inf)


def _chords(models: Built, phase: _Drawn, grips: Mapping[int, Grip], at: _Standing) -> None:
    """Bring bodies where every model's connections meet; times at which they do are left alone."""
    going = np.arange(at.turns.shape[1])
    for _ in range(MOST_CHORDS):
        some = at.at(going)
        steps = phase.inverse[going] @ -_left(models, grips, some)
        for place, body in enumerate(phase.moving):
            step = steps[:, 3 * place : 3 * place + 3].swapaxes(0, 1)
            some.go(body, phase.centres[body], step, phase.mechanism.size)
        at.put(going, some)
        going = going[np.abs(steps).max(axis=(1, 2)) > CLOSE]
        if not len(going):
            return


def _own_steps(
    models: Built, phase: _Drawn, grips: Mapping[int, Any], poses: Floats, wrong: Ints, miss: Floats
) -> None:
    """Newton's steps with each model's own Jacobian, from the drawn poses, at (M, 2) places of (T, S), in place."""
    left, size = np.arange(len(wrong)), phase.mechanism.size
    here = np.moveaxis(phase.start[:, wrong[:, 0]], 0, 1)
    off = np.full(len(wrong), np.inf)
    for _ in range(MOST_STEPS):
        time, sample = wrong[left].T
        some = models.only(sample)
        held = _grips_of(grips, sample)
        at = _Standing.of(np.moveaxis(here[left], 1, 0), phase.drives[time] + some.drives)
        rows = _built_rows(some, at, held)
        misses = np.stack([np.broadcast_to(row.residual, (len(time),)) for row in rows], axis=1)
        off[left] = np.nan_to_num(np.linalg.norm(misses, axis=1), nan=np.inf)
        origins = [at.point(body, phase.centres[body]) for body in phase.moving]
        steps = -_against(jacobian(rows, phase.columns, origins, size), misses)
        longest = np.abs(steps).max(axis=1, keepdims=True)
        steps *= np.minimum(1.0, FARTHEST * size / np.maximum(longest, 1e-300))
        for place, body in enumerate(phase.moving):
            at.go(body, phase.centres[body], steps[:, 3 * place : 3 * place + 3].T, size)
        here[left] = at.poses()
        left = left[longest[:, 0] > CLOSE]
        if not len(left):
            break
    poses[tuple(wrong.T)] = here
    miss[tuple(wrong.T)] = off


def _against(gradients: Floats, misses: Floats) -> Floats:
    """(M, 3 G) steps that would make good (M, R) misses, by least squares where there are not as many rows."""
    if gradients.shape[1] == gradients.shape[2]:
        try:
            return np.asarray(np.linalg.solve(gradients, misses[..., None])[..., 0])
        except np.linalg.LinAlgError:  # one of them is singular to the last digit
            pass
    return np.asarray((np.linalg.pinv(gradients, rcond=FLAT) @ misses[..., None])[..., 0])


def _of(value: Any, which: Ints) -> Any:
    return value[which] if isinstance(value, np.ndarray) and value.ndim else value
