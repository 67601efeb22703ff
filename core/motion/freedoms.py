"""What is loose and what is redundant in each phase of a course.

A plan that places everything without holding anything and without checks leaves neither, so that the ranks are only
looked at where it does. A wheel that is round about its only pivot may turn as it likes: that is not called loose.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

import numpy as np

from core.geometry.planar import Floats
from core.mechanism.constraints import Pull, Row, jacobian, rows_of
from core.mechanism.freedom import Space, named, null_spaces
from core.mechanism.mechanism import Kind, Mechanism
from core.motion.assembly import Knot, Stage
from core.motion.placing import Placing, Pose
from core.motion.span import Course, Stretch
from core.motion.trouble import Loose, Redundant

SAMPLES = 7
WEAK = 0.01
"""Of the largest singular value: a movement that the connections mind less than this is near to free."""
MOVES = 1e-3
"""Of a movement of the whole: a body that takes less part than this has none."""


def loose_of(course: Course) -> tuple[Loose, ...]:
    """Loose bodies with the spans through which they are; neighbouring phases with the same are one span."""
    found: list[Loose] = []
    stretches = _counted(course)
    for stretch in stretches:
        if any(stage.held for stage in stretch.phase.plan.stages):
            begin, end = stretch.phase.begin, stretch.phase.end
            found += [
                Loose(bodies=bodies, freedoms=freedoms, begin=begin, end=end)
                for bodies, freedoms in _free(course.mechanism, stretch)
            ]
    return tuple(_run_together(found))


def redundant_of(course: Course) -> tuple[Redundant, ...]:
    found: dict[tuple[str, ...], Redundant] = {}
    for stretch in _counted(course):
        plan = stretch.phase.plan
        links = course.mechanism.links
        surplus = any(links[number].kind is not Kind.LATCH for number in plan.checks)
        surplus |= any(
            isinstance(stage.step, Knot) and _has_excess(stretch, at) for at, stage in enumerate(plan.stages)
        )
        if surplus:
            for connections, count in _too_many(course.mechanism, stretch):
                found.setdefault(connections, Redundant(connections=connections, count=count))
    return tuple(found.values())


def carried_through(course: Course, stage: Stage, time: float) -> bool:
    """Whether connections more than a stage needs take its bodies through a dead centre, all of them together.

    Two locomotive cranks a quarter turn apart do that for each other.
    """
    plans = [stretch.phase for stretch in course.stretches if stretch.phase.begin <= time <= stretch.phase.end]
    if not any(loop & set(stage.placed) for phase in plans for loop in phase.loops):
        return False
    placing = Placing.at_poses(course.poses_at(np.array([time]))[0], course.inputs.at(np.array([time])))
    mechanism = course.mechanism
    rows = [row for number in range(len(mechanism.links)) for row in rows_of(mechanism, number, placing, {})]
    matrix, free = _matrix(mechanism, placing, rows)
    _, values, moves = np.linalg.svd(matrix[0])
    strength = np.concatenate([values, np.zeros(max(0, len(moves) - len(values)))])[: len(moves)]
    weak = moves[strength <= WEAK * strength[0]]
    columns = [3 * at + part for at, body in enumerate(free) if body in stage.placed for part in range(3)]
    return not bool((np.abs(weak[:, columns]) > MOVES).any())


def _counted(course: Course) -> list[Stretch]:
    """The phases of the sequence that take time; of one that takes none, the only one."""
    inside = [stretch for stretch in course.stretches if stretch.phase.end > stretch.phase.begin >= 0.0]
    return inside or list(course.stretches[-1:])


def _has_excess(stretch: Stretch, number: int) -> bool:
    tangle = stretch.phase.branches[number].tangle
    return tangle is not None and len(tangle.kept) < tangle.row_count()


def _samples(stretch: Stretch) -> Placing | None:
    """A few good moments, away from dead centres as far as the margins show."""
    poses, good = stretch.on_grid()
    margins = np.full(len(poses), np.inf)
    for outcome in stretch.settled.result.outcomes:
        margins = np.minimum(margins, np.where(outcome.asked, outcome.margin, np.inf))
    usable = np.flatnonzero(good.all(axis=1) & (margins > -np.inf))
    if not len(usable):
        usable = np.flatnonzero(good.sum(axis=1) == good.sum(axis=1).max())
    parts = np.array_split(usable, min(SAMPLES, len(usable)))
    frames = np.array([part[np.argmax(margins[part])] for part in parts])
    return _standing(stretch, frames, poses[frames])


def _standing(stretch: Stretch, frames: np.ndarray, poses: Floats) -> Placing:
    times = stretch.phase.grid[frames]
    bodies = [
        Pose(poses[:, body, 0] + 1j * poses[:, body, 1], np.exp(1j * poses[:, body, 2]), poses[:, body, 2])
        for body in range(poses.shape[1])
    ]
    return Placing(times, stretch.phase.inputs.at(times), bodies, [np.True_] * len(bodies))  # type: ignore[list-item]


def _matrix(mechanism: Mechanism, placing: Placing, rows: list[Row]) -> tuple[Floats, list[int]]:
    """(T, R, 3 N) by the N bodies that are not fixed, and their numbers; each turns about the middle of its points."""
    free = [body for body, fixed in enumerate(mechanism.fixed) if not fixed]
    columns = [-1] * len(mechanism.bodies)
    for at, body in enumerate(free):
        columns[body] = at
    origins = [placing.point(body, _middle(mechanism, body)) for body in free]
    if not rows:
        return np.zeros((1, 0, 3 * len(free))), free
    return jacobian(rows, columns, origins, mechanism.size), free


def _middle(mechanism: Mechanism, body: int) -> complex:
    points = [link.p for link in mechanism.links if link.first == body]
    points += [link.q for link in mechanism.links if link.second == body]
    return complex(np.mean(points)) if points else 0j


def _free(mechanism: Mechanism, stretch: Stretch) -> Iterator[tuple[tuple[str, ...], int]]:
    placing = _samples(stretch)
    if placing is None:
        return
    grips = stretch.phase.plan.grips
    rows = [row for number in range(len(mechanism.links)) for row in rows_of(mechanism, number, placing, grips)]
    rows += [_spin(mechanism, link.bodies) for link in mechanism.links if _of_round_wheel(mechanism, link.bodies)]
    matrix, free = _matrix(mechanism, placing, rows)
    spaces, _ = null_spaces(matrix)
    owners = [body for body in free for _ in range(3)]
    for bodies, freedoms in _by_owner(spaces, owners):
        yield tuple(mechanism.bodies[body] for body in bodies), freedoms


def _by_owner(spaces: Iterable[Space], owners: list[int]) -> list[tuple[tuple[int, ...], int]]:
    """Spaces that share an owner are one: the freedoms of one body may fall apart into its x, its y and its turn."""
    merged: list[tuple[frozenset[int], int]] = []
    for space in spaces:
        members, dimension = frozenset(named(space, owners)), space.dimension
        meeting = [one for one in merged if one[0] & members]
        merged = [one for one in merged if not one[0] & members]
        merged.append((members.union(*(one[0] for one in meeting)), dimension + sum(one[1] for one in meeting)))
    return [(tuple(sorted(members)), dimension) for members, dimension in merged if dimension]


def _of_round_wheel(mechanism: Mechanism, bodies: tuple[int, int]) -> bool:
    return any(body >= 0 and mechanism.round[body] for body in bodies)


def _spin(mechanism: Mechanism, bodies: tuple[int, int]) -> Row:
    """As if the wheel were fast on its axle."""
    nowhere, size = np.zeros(1, dtype=complex), mechanism.size
    return Row(np.zeros(1), (Pull(bodies[1], 0j, nowhere, size), Pull(bodies[0], 0j, nowhere, -size)))


def _too_many(mechanism: Mechanism, stretch: Stretch) -> Iterator[tuple[tuple[str, ...], int]]:
    placing = _samples(stretch)
    if placing is None:
        return
    rows, owners = [], []
    for number in range(len(mechanism.links)):
        own = rows_of(mechanism, number, placing, {})
        rows += own
        owners += [number] * len(own)
    matrix, _ = _matrix(mechanism, placing, rows)
    _, spaces = null_spaces(matrix)
    for links, count in _by_owner(spaces, owners):
        yield tuple(mechanism.links[link].id for link in links), count


def _run_together(found: list[Loose]) -> Iterator[Loose]:
    alike: dict[tuple[tuple[str, ...], int], list[Loose]] = {}
    for one in found:
        alike.setdefault((one.bodies, one.freedoms), []).append(one)
    for (bodies, freedoms), spans in alike.items():
        breaks = [after.begin for before, after in pairwise(spans) if after.begin > before.end + 1e-9]
        begin = spans[0].begin
        for cut in [*breaks, np.inf]:
            end = max(span.end for span in spans if begin <= span.begin < cut)
            yield Loose(bodies=bodies, freedoms=freedoms, begin=begin, end=end)
            begin = float(cut)
