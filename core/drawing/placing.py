"""Where pieces and connections stand at a moment, for all of them at once."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from core.drawing.drawing import Pose
from core.drawing.pieces import Piece

Floats = NDArray[np.float64]

SETTLED = 10
"""Decimals of millimetres and radians to which bodies stand: what solving it anew changes beyond them is rounding."""


def settled(poses: Floats) -> Floats:
    """Poses of any shape without what is rounding, so that what stands as it stood does so to the last digit."""
    return np.asarray(np.round(poses, SETTLED) + 0.0)  # which has no nought below nought


def carried(poses: Floats, points: Floats) -> Floats:
    """(..., 3) poses and (..., 2) drawn points -> (..., 2) where the points are."""
    cosine, sine = np.cos(poses[..., 2]), np.sin(poses[..., 2])
    x, y = points[..., 0], points[..., 1]
    return np.stack([cosine * x - sine * y + poses[..., 0], sine * x + cosine * y + poses[..., 1]], axis=-1)


def carried_point(pose: Floats, point: Sequence[float]) -> tuple[float, float]:
    """One point of one body, pose (3,)."""
    x, y, turn = pose.tolist()
    cosine, sine = math.cos(turn), math.sin(turn)
    return (cosine * point[0] - sine * point[1] + x, sine * point[0] + cosine * point[1] + y)


def drawn_point(pose: Floats, place: Sequence[float]) -> tuple[float, float]:
    """Where a point is drawn that a body, pose (3,), has at a place."""
    x, y, turn = (float(value) for value in pose)
    cosine, sine = math.cos(turn), math.sin(turn)
    return (cosine * (place[0] - x) + sine * (place[1] - y), cosine * (place[1] - y) - sine * (place[0] - x))


def piece_pose(piece: Piece, poses: Floats) -> Pose:
    """Of a piece, when the bodies stand at (B, 3); that of a bar looks from its first end to its second."""
    if piece.ends is None:
        x, y, turn = poses[piece.bodies[0]]
        return (float(x), float(y), float(turn))
    x1, y1 = carried_point(poses[piece.bodies[0]], piece.ends[0])
    x2, y2 = carried_point(poses[piece.bodies[1]], piece.ends[1])
    return (x1, y1, math.atan2(y2 - y1, x2 - x1))
