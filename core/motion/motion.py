"""The solved motion: where every body is at every frame, how well that is known, and what went wrong on the way."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from core.geometry.planar import Floats
from core.motion.schedule import Schedule
from core.motion.span import Course
from core.motion.trouble import Trouble


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """F frames of B bodies.

    A body's point drawn at p is at R(turn) p + (x, y): millimetres and radians; turns are continuous over the frames.
    """

    schedule: Schedule
    bodies: tuple[str, ...]
    """Ids, in the order of axis B (the file's order)."""
    connections: tuple[str, ...]
    """Ids, in the order of axis C (the file's order)."""
    drive_ids: tuple[str, ...]
    times: Floats
    """(F,) seconds, increasing."""
    poses: Floats
    """(F, B, 3) x, y, turn."""
    drives: Floats
    """(F, D) what each drive is asked for, in its terms: degrees, or millimetres."""
    values: Floats
    """(F, C) each connection's value in its drive's terms (pivot degrees, slide and slot mm along the line, jack mm
    beyond closed, rod mm of length); NaN for gearings and latches."""
    assembled: NDArray[np.bool_]
    """(F, B) False where a body is held at its last good pose because its connections cannot meet."""
    troubles: tuple[Trouble, ...] = ()
    poses_at: Callable[[Floats], Floats] = field(compare=False, repr=False)
    """(T,) any times within the sequence -> (T, B, 3) solved poses on the same branch as the frames about them."""
    assembled_at: Callable[[Floats], NDArray[np.bool_]] = field(compare=False, repr=False)
    """(T,) -> (T, B), as `assembled`."""
    course: Course | None = field(default=None, compare=False, repr=False)
    """How it was solved, for what is asked of it afterwards: what moves what, and how what is loose could move."""


def in_order(motion: Motion, bodies: tuple[str, ...]) -> Motion | None:
    """The motion with its bodies in another order, for showing; None where they are not the same ones.

    How it was solved is left behind, since that goes by the order it was solved in.
    """
    if bodies == motion.bodies:
        return motion
    if len(bodies) != len(motion.bodies) or set(bodies) != set(motion.bodies):
        return None
    number = {body: i for i, body in enumerate(motion.bodies)}
    order = np.array([number[body] for body in bodies], dtype=np.intp)
    return replace(
        motion,
        bodies=bodies,
        poses=motion.poses[:, order],
        assembled=motion.assembled[:, order],
        poses_at=lambda times: motion.poses_at(times)[:, order],
        assembled_at=lambda times: motion.assembled_at(times)[:, order],
        course=None,
    )
