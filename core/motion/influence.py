"""Which drive moves which body along the motion: the bodies' rates for a drive's rate, by the constraints' Jacobian.

The order in which a mechanism is put together says on what a body's place may hang; a body that is put together with
others before they are placed seems to hang on all that moves them. Only the rates say whether it does.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from core.geometry.planar import Floats
from core.mechanism.constraints import Grip, Row, jacobian, row_count, rows_of
from core.mechanism.freedom import RANK
from core.mechanism.mechanism import Kind, Mechanism
from core.motion.placing import Placing
from core.motion.span import Course, Stretch

LOOKS = 7
"""At how many moments of a phase the rates are looked at."""
FELT = 1e-4
"""Of the rate of the body that a drive moves most: one that it moves less than this does not follow it."""


def influence(course: Course, stretch: Stretch) -> NDArray[np.bool_]:
    """(B, D) whether a drive moves a body at any of a few moments of a phase; fixed bodies follow nothing."""
    mechanism, phase = course.mechanism, stretch.phase
    found = np.zeros((len(mechanism.bodies), len(mechanism.drives)), dtype=bool)
    poses, good = stretch.on_grid()
    usable = np.flatnonzero(good.all(axis=1)) if good.all(axis=1).any() else np.arange(len(poses))
    parts = np.array_split(usable, min(LOOKS, len(usable)))
    frames = [int(part[len(part) // 2]) for part in parts]
    drives = phase.inputs.at(phase.grid[frames])
    for frame, values in zip(frames, drives, strict=True):
        speeds = np.abs(rates(mechanism, Placing.at_poses(poses[frame], values[None]), phase.plan.grips)).max(axis=1)
        found |= speeds > FELT * np.maximum(speeds.max(axis=0, initial=0.0), 1e-300)
    return found


def rates(mechanism: Mechanism, placing: Placing, grips: Mapping[int, Grip]) -> Floats:
    """(B, 3, D) mm of each body's shift and of its turn's arc for the rate of each drive, in the drive's terms.

    Of what is loose the least movement that goes along; where a drive has no hold, none.
    """
    free = [body for body, fixed in enumerate(mechanism.fixed) if not fixed]
    out = np.zeros((len(mechanism.bodies), 3, len(mechanism.drives)))
    rows, asked = list[Row](), list[tuple[int, int, float]]()
    for number, link in enumerate(mechanism.links):
        own = rows_of(mechanism, number, placing, grips)
        if link.drive >= 0 and own and row_count(link):
            worth = np.deg2rad(mechanism.size) if link.kind is Kind.PIVOT else 1.0
            asked.append((len(rows) + len(own) - 1, link.drive, float(worth)))
        rows += own
    if not rows or not free:
        return out
    columns = [free.index(body) if body in free else -1 for body in range(len(mechanism.bodies))]
    origins = [placing.bodies[body].u for body in free]
    matrix = jacobian(rows, columns, origins, mechanism.size)[0]
    wanted = np.zeros((len(rows), len(mechanism.drives)))
    for row, drive, worth in asked:
        wanted[row, drive] = worth
    # Least squares with the least movement, by the normal equations with a little damping: a tenth of the work of an
    # SVD, and what its digits lack is far below what counts as following.
    normal = matrix.T @ matrix
    damping = RANK * RANK * max(float(np.trace(normal)), 1e-300)
    moved = np.linalg.solve(normal + damping * np.eye(len(normal)), matrix.T @ wanted)
    out[free] = moved.reshape(len(free), 3, -1)
    return out
