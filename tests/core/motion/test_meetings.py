"""Circles that meet circles and lines: against sympy's geometry, and where they only just meet."""

from __future__ import annotations

import numpy as np
import pytest
import sympy

from core.motion.meetings import Side, chord, triangle


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize(("base", "side", "opposite"), [((7, 1), 5, 4), ((-3, 2), 2, 3), ((0, 9), 12, 4)])
def test_two_circles_meet_where_sympy_says(base, side, opposite, sign) -> None:
    first, second = sympy.Circle((0, 0), side), sympy.Circle(base, opposite)
    points = [complex(float(point.x), float(point.y)) for point in first.intersection(second)]
    line = complex(*base)
    wanted = next(point for point in points if sign * (line.conjugate() * point).imag > 0)
    along, near = triangle(np.array([line]), np.float64(side), np.float64(opposite), Side(sign))
    assert abs(along[0] * side - wanted) < 1e-12
    assert near.margin[0] == pytest.approx(min(side + opposite - abs(line), abs(line) - abs(side - opposite)))


def test_a_triangle_that_does_not_close_says_by_how_much_and_lies_in_line() -> None:
    base = np.array([10.0 + 0j, 10.0 + 0j, 1.0 + 0j])
    along, near = triangle(base, np.array([6.0, 4.0, 5.0]), np.array([4.0, 3.0, 2.0]), Side(1.0))
    assert near.margin == pytest.approx([0.0, -3.0, -2.0], abs=1e-12)
    assert along == pytest.approx([1.0, 1.0, 1.0], abs=1e-12)
    assert np.isfinite(along).all()


@pytest.mark.parametrize("gap", [1e-2, 1e-6, 1e-9])
def test_nothing_is_lost_near_a_dead_centre(gap: float) -> None:
    """The height over the base against forty digits."""
    along, _ = triangle(np.array([100.0 + 0j]), np.float64(60.0), np.float64(40.0 + gap), Side(1.0))
    a, b, c = sympy.Integer(60), sympy.Float(40.0 + gap, 40), sympy.Integer(100)
    cosine = (a**2 + c**2 - b**2) / (2 * a * c)
    wanted = float(60 * sympy.sqrt(1 - cosine**2).evalf(40))
    assert float(along[0].imag) * 60.0 == pytest.approx(wanted, rel=2e-14 * 100 / gap + 1e-13)


def test_coinciding_centres_are_no_error() -> None:
    along, near = triangle(np.array([0j]), np.float64(5.0), np.float64(5.0), Side(1.0))
    assert np.isfinite(along).all()
    assert near.margin[0] == 0.0


def test_a_line_cuts_a_circle() -> None:
    along, near = chord(np.array([5.0, 5.0, 5.0]), np.array([3.0, -4.0, 6.0]), Side(-1.0))
    assert along == pytest.approx([-4.0, -3.0, 0.0])
    assert near.margin == pytest.approx([2.0, 1.0, -1.0])


def test_a_root_may_be_taken_from_its_course() -> None:
    side = Side(np.array([1.0, 1.0, -1.0]), ((np.array([1]), np.array([0.25])),))
    assert side.root(np.array([4.0, 1e-17, 9.0])) == pytest.approx([2.0, 0.25, -3.0])
