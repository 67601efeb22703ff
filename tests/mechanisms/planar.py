"""Plane geometry in complex numbers, over arrays: all that the known answers are made of, and nothing of core.

A point is x + iy. Every function takes scalars or (F,) arrays and answers NaN where the construction does not meet.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Points = NDArray[np.complex128]
NOWHERE = complex(np.nan, np.nan)


def degrees(angle: Floats | float) -> Points:
    """The unit vector at an angle."""
    return np.exp(1j * np.deg2rad(np.asarray(angle, dtype=float)))


def cross(a: Points | complex, b: Points | complex) -> Floats:
    return np.imag(np.conj(a) * b)


def dot(a: Points | complex, b: Points | complex) -> Floats:
    return np.real(np.conj(a) * b)


def unit(a: Points | complex) -> Points:
    return np.asarray(a / np.abs(a), dtype=complex)


def side_of(a: complex, b: complex, point: complex) -> float:
    """+1 where the point stands to the left of the way from a to b, -1 to the right."""
    return float(np.sign(cross(b - a, point - a)))


def meet_circles(
    a: Points | complex, from_a: float, b: Points | complex, from_b: float, side: Floats | float
) -> Points:
    """The point at two distances from a and b, left (+1) or right (-1) of the way from a to b."""
    span = np.asarray(b - a, dtype=complex)
    distance = np.abs(span)
    along = (distance**2 + from_a**2 - from_b**2) / (2 * distance)
    # As a product, so that nothing is lost near a dead centre: Heron's formula.
    square = (
        (distance + from_a + from_b)
        * (from_a + from_b - distance)
        * (distance + from_a - from_b)
        * (distance - from_a + from_b)
    ) / (4 * distance**2)
    up = np.sqrt(np.where(square >= 0, square, np.nan))
    return np.asarray(a + span / distance * (along + 1j * side * up), dtype=complex)


def meet_line(
    a: Points | complex, from_a: float, through: Points | complex, along: Points | complex, side: Floats | float
) -> Points:
    """The point of a line at a distance from a: the one further along (+1) or further back (-1)."""
    direction = unit(along)
    foot = through + direction * dot(direction, a - through)
    square = from_a**2 - np.abs(foot - a) ** 2
    return np.asarray(foot + side * direction * np.sqrt(np.where(square >= 0, square, np.nan)), dtype=complex)


def carried(first: Points | complex, second: Points | complex, drawn: tuple[complex, complex, complex]) -> Points:
    """Where a point of a rigid body goes, from where two others of it are; `drawn` has all three, the point last."""
    a, b, point = drawn
    return np.asarray(first + (second - first) * (point - a) / (b - a), dtype=complex)
