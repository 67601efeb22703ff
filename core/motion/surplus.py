"""Of connections that are more than the motion needs the whole sets among which one is too many, and drives that fight.

A row vector that takes the constraints' Jacobian to nothing says which rows can stand for each other. Of the space of
all of them those with the fewest rows are the circuits of the rows (in the sense of H. Whitney, On the abstract
properties of linear dependence, Amer. J. Math. 57, 1935): take any one row of a circuit away, and nothing comes loose.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from core.geometry.planar import Floats
from core.mechanism.constraints import Grip, Row, jacobian, row_count, rows_of
from core.mechanism.freedom import RANK
from core.mechanism.mechanism import Kind, Mechanism
from core.motion.chains import course_of, phases_of
from core.motion.motion import Motion
from core.motion.pivoting import pivoted
from core.motion.placing import Placing
from core.motion.span import Course, Stretch
from core.motion.trouble import Jam

LOOKS = 5
PART = 1e-6
"""Of the largest share that a row has in a circuit: one with less has none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Surplus:
    """A set of connections of which any one is too many."""

    connections: tuple[str, ...]
    drives: tuple[str, ...] = ()
    """The drives that have a part in it: two or more hold against each other and have to agree."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fight:
    """Two or more drives that move the same freedom."""

    drives: tuple[str, ...]
    connections: tuple[str, ...]
    time: float
    """When they first cannot agree; where they always do, the beginning."""
    agree: bool
    """Whether the sequence asks them for what goes together, all the way."""


def surplus_of(motion: Motion) -> tuple[Surplus, ...]:
    """One set for each connection too many, however many there are, of all phases of the sequence."""
    course, found = course_of(motion), dict[tuple[str, ...], Surplus]()
    for stretch in phases_of(course):
        for one in _most_general(course, stretch):
            found.setdefault(one.connections, one)
    return tuple(found.values())


def fights_of(motion: Motion) -> tuple[Fight, ...]:
    """Drives that have a circuit in common: jammed at one time, or asked for what agrees throughout."""
    course, found = course_of(motion), dict[tuple[str, ...], Fight]()
    for jam in sorted((one for one in motion.troubles if isinstance(one, Jam)), key=lambda one: one.time):
        for one in _fighting(course, motion, jam):
            fight = Fight(drives=one.drives, connections=one.connections, time=jam.time, agree=False)
            found.setdefault(one.drives, fight)
    for one in surplus_of(motion):
        if len(one.drives) > 1:
            fight = Fight(drives=one.drives, connections=one.connections, time=0.0, agree=True)
            found.setdefault(one.drives, fight)
    return tuple(found.values())


def fights_in(motion: Motion, jam: Jam) -> tuple[tuple[str, ...], ...]:
    """The drives that fight in one jam: each set moves one freedom and cannot agree."""
    return tuple(dict.fromkeys(one.drives for one in _fighting(course_of(motion), motion, jam)))


def _fighting(course: Course, motion: Motion, jam: Jam) -> list[Surplus]:
    sets = _before(course, motion, jam)
    return [one for one in sets if len(one.drives) > 1 and set(one.connections) & set(jam.connections)]


def _most_general(course: Course, stretch: Stretch) -> tuple[Surplus, ...]:
    """The circuits at that of a few moments at which there are fewest: at a dead centre there are more for a moment."""
    poses, good = stretch.on_grid()
    usable = np.flatnonzero(good.all(axis=1))
    if not len(usable):
        return ()
    frames = [int(part[len(part) // 2]) for part in np.array_split(usable, min(LOOKS, len(usable)))]
    times = stretch.phase.grid[frames]
    looks = [
        tuple(_circuits(course.mechanism, Placing.at_poses(poses[frame], course.inputs.at(times[[at]])), {}))
        for at, frame in enumerate(frames)
    ]
    return max(
        (one for one in looks if len(one) == min(map(len, looks))), key=lambda one: sum(len(s.connections) for s in one)
    )


def _before(course: Course, motion: Motion, jam: Jam) -> tuple[Surplus, ...]:
    """The circuits where the bodies of a jam last held together, the latches' rows among them."""
    time = np.array([jam.time])
    grips = next((s.phase.plan.grips for s in course.stretches if s.phase.begin <= jam.time <= s.phase.end), {})
    return tuple(_circuits(course.mechanism, Placing.at_poses(motion.poses_at(time)[0], course.inputs.at(time)), grips))


def _circuits(mechanism: Mechanism, placing: Placing, grips: Mapping[int, Grip]) -> Iterator[Surplus]:
    rows, owners, drives = _rows(mechanism, placing, grips)
    free = [body for body, fixed in enumerate(mechanism.fixed) if not fixed]
    if not rows or not free:
        return
    columns = [free.index(body) if body in free else -1 for body in range(len(mechanism.bodies))]
    matrix = jacobian(rows, columns, [placing.bodies[body].u for body in free], mechanism.size)[0]
    left, values, _ = np.linalg.svd(matrix)
    rank = int((values > RANK * max(values.max(initial=0.0), 1e-300)).sum())
    for shares in _sparse(left[:, rank:]).T:
        part = np.flatnonzero(np.abs(shares) > PART * np.abs(shares).max())
        yield Surplus(
            connections=tuple(mechanism.links[owner].id for owner in sorted({owners[row] for row in part})),
            drives=tuple(mechanism.drives[drive] for drive in sorted({drives[row] for row in part} - {-1})),
        )


def _rows(mechanism: Mechanism, placing: Placing, grips: Mapping[int, Grip]) -> tuple[list[Row], list[int], list[int]]:
    """All rows, the connection that each is of, and the drive that each asks for, or -1."""
    rows, owners, drives = list[Row](), list[int](), list[int]()
    for number, link in enumerate(mechanism.links):
        own = rows_of(mechanism, number, placing, grips)
        asks = link.kind in (Kind.PIVOT, Kind.SLIDE, Kind.JACK) and link.drive >= 0 and row_count(link) == len(own)
        rows += own
        owners += [number] * len(own)
        drives += [link.drive if asks and at == len(own) - 1 else -1 for at in range(len(own))]
    return rows, owners, drives


def _sparse(basis: Floats) -> Floats:
    """A basis of the same space in which every vector has one row that the others have not: each is a circuit."""
    if basis.shape[1] == 0:
        return basis
    _, order = pivoted(basis.T)
    return np.asarray(basis @ np.linalg.inv(basis[order[: basis.shape[1]]]))
