"""Motions and projects made by hand for the interference tests."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from core.document.project import Aircraft, Body, Circle, Connection, PairRule, Polygon, Project, View
from core.interference.check import interfere
from core.interference.interference import Clearance, Contact, Interference
from core.interference.pairs import checked_pairs
from core.interference.placement import parts_of
from core.motion.motion import Motion
from core.motion.schedule import Schedule, ScheduledStep

Floats = NDArray[np.float64]
Path = Callable[[Floats], tuple[Floats | float, Floats | float, Floats | float]]
"""Times (T,) -> x, y and turn (radians), each (T,) or a number."""


def still(times: Floats) -> tuple[float, float, float]:
    return 0.0, 0.0, 0.0


def motion_of(
    paths: dict[str, Path],
    *,
    frames: int = 101,
    seconds: float = 1.0,
    landmarks: Sequence[float] = (),
    held: Callable[[Floats], NDArray[np.bool_]] | None = None,
) -> Motion:
    """A motion whose bodies follow given paths; `landmarks` are where one step ends and the next begins.

    `held` says for times (T,) which are not assembled.
    """

    def poses_at(times: Floats) -> Floats:
        poses = np.zeros((len(times), len(paths), 3))
        for body, path in enumerate(paths.values()):
            for axis, value in enumerate(path(np.asarray(times, dtype=float))):
                poses[:, body, axis] = value
        return poses

    def assembled_at(times: Floats) -> NDArray[np.bool_]:
        good = np.ones(len(times), dtype=bool) if held is None else ~held(np.asarray(times))
        return np.repeat(good[:, None], len(paths), axis=1)

    times = np.linspace(0.0, seconds, frames) if seconds else np.zeros(1)
    ends = [0.0, *landmarks, seconds]
    steps = tuple(
        ScheduledStep(f"step-{number}", "", begin, end, (), (), ())
        for number, (begin, end) in enumerate(pairwise(ends))
    )
    return Motion(
        schedule=Schedule("made", steps, seconds, {}),
        bodies=tuple(paths),
        connections=(),
        drive_ids=(),
        times=times,
        poses=poses_at(times),
        drives=np.zeros((len(times), 0)),
        values=np.zeros((len(times), 0)),
        assembled=assembled_at(times),
        poses_at=poses_at,
        assembled_at=assembled_at,
    )


def project_of(
    *bodies: Body,
    connections: tuple[Connection, ...] = (),
    pairs: tuple[PairRule, ...] = (),
    least_clearance: float = 0.0,
) -> Project:
    views = tuple(View(id=view) for view in dict.fromkeys(body.view for body in bodies))
    return Project(
        aircraft=Aircraft(name="Skarn P.9"),
        views=views,
        bodies=bodies,
        connections=connections,
        pairs=pairs,
        least_clearance=least_clearance,
    )


def body(name: str, *shapes: Polygon | Circle, **rest: object) -> Body:
    return Body(id=name, view="front", shapes=shapes, **rest)  # type: ignore[arg-type]


def box(left: float, bottom: float, right: float, top: float) -> Polygon:
    return Polygon(points=((left, bottom), (right, bottom), (right, top), (left, top)))


def check(project: Project, motion: Motion) -> Interference:
    parts = parts_of(project)
    return interfere(parts, checked_pairs(project, parts), motion)


def only_contact(found: Interference) -> Contact:
    assert len(found.contacts) == 1, found.contacts
    return found.contacts[0]


def clearance_of(found: Interference, one: str, other: str) -> Clearance:
    return next(clearance for clearance in found.clearances if clearance.parts == (one, other))
