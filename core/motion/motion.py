"""The solved motion: where every body is at every frame, how well that is known, and what went wrong on the way."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from core.motion.schedule import Schedule
from core.motion.span import Course
from core.motion.trouble import Trouble

Floats = NDArray[np.float64]


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
