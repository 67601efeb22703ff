"""How pieces stand at a moment."""

from __future__ import annotations

import math

import numpy as np

from core.drawing.drawing import Pose
from core.drawing.pieces import Piece
from core.geometry.planar import Floats
from core.geometry.poses import carried_point

SETTLED = 10
"""Decimals of millimetres and radians to which bodies stand: what solving it anew changes beyond them is rounding."""


def settled(poses: Floats) -> Floats:
    """Poses of any shape without what is rounding, so that what stands as it stood does so to the last digit."""
    return np.asarray(np.round(poses, SETTLED) + 0.0)  # which has no nought below nought


def piece_pose(piece: Piece, poses: Floats) -> Pose:
    """Of a piece, when the bodies stand at (B, 3); that of a bar looks from its first end to its second."""
    if piece.ends is None:
        x, y, turn = poses[piece.bodies[0]]
        return (float(x), float(y), float(turn))
    x1, y1 = carried_point(poses[piece.bodies[0]], piece.ends[0])
    x2, y2 = carried_point(poses[piece.bodies[1]], piece.ends[1])
    return (x1, y1, math.atan2(y2 - y1, x2 - x1))
