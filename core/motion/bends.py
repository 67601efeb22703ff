"""Bounds of the derivatives of cubics over a span, and of unit numbers that turn by one."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.geometry.planar import Complexes, Floats


@dataclass(frozen=True, slots=True)
class Bends:
    """Greatest absolute values of the first three derivatives; the third is constant."""

    first: Floats
    second: Floats
    third: Floats

    @classmethod
    def of(cls, ends: Floats | Complexes, rates: Floats | Complexes) -> Bends:
        """Of the cubic that has these values and rates (2, ...) at both ends, by the corners of its derivatives'
        Bezier polygons, within whose hull they stay."""
        gone = ends[1] - ends[0]
        middle = 3.0 * gone - rates[0] - rates[1]
        first = np.maximum(np.maximum(np.abs(rates[0]), np.abs(rates[1])), np.abs(middle))
        second = 2.0 * np.maximum(np.abs(middle - rates[0]), np.abs(rates[1] - middle))
        return cls(np.asarray(first), np.asarray(second), np.asarray(6.0 * np.abs(rates[0] + rates[1] - 2.0 * gone)))

    def of_unit(self) -> tuple[Floats, Floats, Floats, Floats, Floats]:
        """Of exp(i turn) where these are of the turn, its first to its fifth derivative, by Faa di Bruno's rule."""
        one, two, three = self.first, self.second, self.third
        fourth = 4.0 * one * three + 3.0 * two**2 + 6.0 * one**2 * two + one**4
        fifth = 10.0 * (one**2 * three + two * three + one**3 * two) + 15.0 * one * two**2 + one**5
        return one, two + one**2, three + 3.0 * one * two + one**3, fourth, fifth
