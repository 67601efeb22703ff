"""The best small move of a few freedoms that no limit forbids: a strictly convex quadratic with one-sided limits.

With the square root of the quadratic as a measure it is the shortest vector beyond some planes, which Lawson and Hanson
find by non-negative least squares (C. L. Lawson, R. J. Hanson, Solving Least Squares Problems, "LDP"); the planes that
end up active are the limits that hold. scipy is imported where it is first needed, as in core/motion/pivoting.py.
"""

from __future__ import annotations

import numpy as np

from core.geometry.planar import Floats

LEAST = 1e-30
"""Of a residual's square: below this no vector is beyond all planes."""


def downhill(curvature: Floats, slope: Floats, planes: Floats, least: Floats, floor: float) -> tuple[Floats, Floats]:
    """(k,) z for the least of slope . z + z . curvature . z / 2 with planes z >= least, and (m,) how hard each plane
    holds. Directions that curve downwards are taken as curving up; none curves less than `floor`.

    Where no z is beyond all planes, none is made.
    """
    if not len(slope):
        return np.zeros(0), np.zeros(len(planes))
    values, axes = np.linalg.eigh(0.5 * (curvature + curvature.T))
    roots = np.sqrt(np.maximum(np.abs(values), floor))
    free = axes.T @ slope / roots
    if not len(planes):
        return np.asarray(axes @ (-free / roots)), np.zeros(0)
    normals = planes @ axes / roots
    beyond = least + normals @ free
    shortest, held = _shortest(normals, beyond)
    if shortest is None:
        return np.zeros(len(slope)), np.zeros(len(planes))
    return np.asarray(axes @ ((shortest - free) / roots)), held


def _shortest(normals: Floats, beyond: Floats) -> tuple[Floats | None, Floats]:
    """The shortest y with normals y >= beyond, and its multipliers; None where there is no such y."""
    from scipy.optimize import nnls

    none = np.zeros(len(beyond))
    if (beyond <= 0.0).all():
        return np.zeros(normals.shape[1]), none
    lengths = np.maximum(np.linalg.norm(normals, axis=1), 1e-300)
    stacked = np.vstack([(normals / lengths[:, None]).T, beyond / lengths])
    goal = np.zeros(len(stacked))
    goal[-1] = 1.0
    weights, _ = nnls(stacked, goal)
    short = goal - stacked @ weights
    if short[-1] <= LEAST or short @ short <= LEAST:
        return None, none
    return -short[:-1] / short[-1], weights / short[-1] / lengths
