"""Where points of bodies are when the bodies stand at poses of x, y in mm and turn in radians, and back."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from core.geometry.planar import Floats


def carried(poses: Floats, points: Floats) -> Floats:
    """(..., 3) poses and (..., 2) drawn points -> (..., 2) where the points are."""
    cosine, sine = np.cos(poses[..., 2]), np.sin(poses[..., 2])
    x, y = points[..., 0], points[..., 1]
    return np.stack([cosine * x - sine * y + poses[..., 0], sine * x + cosine * y + poses[..., 1]], axis=-1)


def carried_point(pose: Floats, point: Sequence[float]) -> tuple[float, float]:
    """Where one point is of a body, pose (3,)."""
    x, y, turn = pose.tolist()
    cosine, sine = math.cos(turn), math.sin(turn)
    return (cosine * point[0] - sine * point[1] + x, sine * point[0] + cosine * point[1] + y)


def drawn_point(pose: Floats, place: Sequence[float]) -> tuple[float, float]:
    """Where a point is drawn that a body, pose (3,), has at a place."""
    x, y, turn = (float(value) for value in pose)
    cosine, sine = math.cos(turn), math.sin(turn)
    return (cosine * (place[0] - x) + sine * (place[1] - y), cosine * (place[1] - y) - sine * (place[0] - x))
