"""Short ways to grab and pull in tests."""

from __future__ import annotations

from collections.abc import Collection

import numpy as np

from core.document.project import Project
from core.geometry.planar import Floats, point_at
from core.mechanism.build import build
from core.mechanism.constraints import rows_of
from core.mechanism.mechanism import Mechanism
from core.motion.placing import Placing
from core.pulling.grab import Grab, grab
from core.pulling.pull import Pulled, pull

MOST_CALLS = 200


def grabbed(project: Project, body: str, at: complex, *, pinned: Collection[str] = ()) -> Grab:
    """A body in hand in the drawn position."""
    return grab(build(project), np.zeros((len(project.bodies), 3)), body, at, pinned=pinned)


def pulled_to(held: Grab, hand: complex, present: Floats | None = None) -> Pulled:
    """Asked for until it has gone as far as it will."""
    result = pull(held, held.poses if present is None else present, hand)
    for _ in range(MOST_CALLS):
        if result.arrived:
            return result
        result = pull(held, result.poses, hand)
    raise AssertionError(f"still on the way after {MOST_CALLS} calls, {result.short_by} mm short")


def place(mechanism: Mechanism, poses: Floats, body: str, drawn: complex) -> complex:
    return complex(point_at(poses[mechanism.bodies.index(body)], drawn))


def off_by(held: Grab, poses: Floats) -> float:
    """The most by which any connection is not met, in mm, by the solver's own rows; drives ask nothing."""
    mechanism = held.mechanism
    standing = Placing.at_poses(poses, np.full((1, len(mechanism.drives)), np.nan))
    rows = [row for number in range(len(mechanism.links)) for row in rows_of(mechanism, number, standing, held.grips)]
    values = [float(np.ravel(row.residual)[0]) for row in rows]
    return max((abs(value) for value in values if np.isfinite(value)), default=0.0)
