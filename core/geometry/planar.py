"""Plane geometry of points and placements as complex numbers over arrays of frames: x + iy, mm and radians."""

from __future__ import annotations

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Complexes = NDArray[np.complex128]
Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]
"""What all arrays are; the docstrings give their shapes."""
Value = TypeVar("Value", bound=np.generic)


def cross(a: Complexes, b: Complexes) -> Floats:
    """The left-hand component of b across a, times the length of a."""
    return np.asarray(a.real * b.imag - a.imag * b.real)


def dot(a: Complexes, b: Complexes) -> Floats:
    return np.asarray(a.real * b.real + a.imag * b.imag)


def unit(a: Complexes) -> Complexes:
    """The direction of a; where a has no length, the x axis, so that nothing becomes NaN."""
    length = np.abs(a)
    has_length = length > 0.0
    if np.count_nonzero(has_length) == has_length.size:
        return np.asarray(a / length)
    return np.asarray(np.where(has_length, a, 1.0) / np.where(has_length, length, 1.0))


def within(values: Floats, low: float, high: float) -> Floats:
    """As `numpy.clip` has it, which takes several times as long for few values."""
    return np.asarray(np.minimum(np.maximum(values, low), high))


def at_all(values: NDArray[Value], count: int) -> NDArray[Value]:
    """(T,) of what is given so, or as one for all times; to be read only."""
    if values.ndim and len(values) == count:
        return values
    every = np.empty(count, dtype=values.dtype)
    every[...] = values
    return every


def near(angle: Floats, reference: Floats | float) -> Floats:
    """The angle, by whole turns as near to the reference as may be."""
    return np.asarray(angle - 2.0 * np.pi * np.round((angle - reference) / (2.0 * np.pi)))


def point_at(poses: Floats, point: complex | Complexes) -> Complexes:
    """(...) where a point drawn at `point` is at poses (..., 3) of x, y, turn."""
    return np.asarray(poses[..., 0] + 1j * poses[..., 1] + np.exp(1j * poses[..., 2]) * point)
