"""Plane geometry of points and placements as complex numbers over arrays of frames: x + iy, mm and radians."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Complexes = NDArray[np.complex128]


def cross(a: Complexes, b: Complexes) -> Floats:
    """The left-hand component of b across a, times the length of a."""
    return np.asarray(a.real * b.imag - a.imag * b.real)


def dot(a: Complexes, b: Complexes) -> Floats:
    return np.asarray(a.real * b.real + a.imag * b.imag)


def unit(a: Complexes) -> Complexes:
    """The direction of a; where a has no length, the x axis, so that nothing becomes NaN."""
    length = np.abs(a)
    return np.asarray(np.where(length > 0.0, a, 1.0) / np.where(length > 0.0, length, 1.0))


def near(angle: Floats, reference: Floats | float) -> Floats:
    """The angle, by whole turns as near to the reference as may be."""
    return np.asarray(angle - 2.0 * np.pi * np.round((angle - reference) / (2.0 * np.pi)))


def point_at(poses: Floats, point: complex | Complexes) -> Complexes:
    """(...) where a point drawn at `point` is at poses (..., 3) of x, y, turn."""
    return np.asarray(poses[..., 0] + 1j * poses[..., 1] + np.exp(1j * poses[..., 2]) * point)
