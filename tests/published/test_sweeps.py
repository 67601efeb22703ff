"""Swept areas in closed form. A sweep holds the true one and reaches no farther than its tolerance beyond it, so that
its area is no less than the true one's and no more than that grown by the tolerance: by its girth times the tolerance
and a disc of it."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from core.document.project import Circle, Polygon
from core.interference.placement import parts_of
from core.interference.sweeps import Sweep, sweep_of
from core.interference.track import track_of
from tests.core.interference.scenes import body, box, motion_of, project_of
from tests.published.cases import Case, case


def swept(shape: Polygon | Circle, path, tolerance: float) -> Sweep:
    return sweep_of(
        track_of(parts_of(project_of(body("leg", shape))), motion_of({"leg": path})), "leg", tolerance=tolerance
    )


def turned(one: Case, tolerance: float) -> Sweep:
    rectangle, pivot, angle = one.given("rectangle", "pivot", "rotation")
    shape = Polygon(points=tuple((x - pivot[0], y - pivot[1]) for x, y in rectangle))
    return swept(shape, lambda times: (0.0, 0.0, math.radians(angle) * times), tolerance)


def holds(sweep: Sweep, true_area: float, girth: float, *, flats: float = 0.0) -> None:
    """`flats` is how far the outline itself stands beyond a curve that it stands for, mm."""
    beyond = sweep.tolerance + flats
    assert true_area <= sweep.area.area <= true_area + girth * beyond + math.pi * beyond**2


@pytest.mark.parametrize("tolerance", [1.0, 0.05, 0.01])
def test_a_rectangle_that_turns_about_its_corner(tolerance: float) -> None:
    one = case("swept-corner-ref")
    sweep = turned(one, tolerance)
    girth = 2 * 300.0 + 2 * 80.0 + math.hypot(300.0, 80.0) * math.radians(50.0)
    holds(sweep, one.expected["swept_area"]["value"], girth)


@pytest.mark.parametrize("tolerance", [1.0, 0.05])
def test_a_rectangle_that_turns_right_round(tolerance: float) -> None:
    one = case("swept-annulus-ref")
    sweep = turned(one, tolerance)
    r_max, r_min = (one.expected[name]["value"] for name in ("r_max", "r_min"))
    holds(sweep, one.expected["swept_area"]["value"], 2.0 * math.pi * (r_max + r_min))
    outer, inner = (shapely.get_coordinates(ring) for ring in shapely.get_rings(sweep.area))
    assert r_max <= np.hypot(*outer.T).max() <= r_max + tolerance
    # the hole's flats are nearest at their middles
    middles = 0.5 * (inner[1:] + inner[:-1])
    assert r_min - tolerance <= np.hypot(*middles.T).min() <= r_min


@pytest.mark.parametrize("way", [(50.0, 0.0), (30.0, -40.0)])
def test_a_disc_that_moves_along_a_line_sweeps_a_stadium(way: tuple[float, float]) -> None:
    """Mensuration, computed: pi r² + 2 r times the way."""
    sweep = swept(Circle(centre=(3.0, 2.0), radius=6.0), lambda t: (way[0] * t, way[1] * t, 0.0), 0.02)
    holds(sweep, math.pi * 36.0 + 12.0 * 50.0, 2.0 * math.pi * 6.0 + 100.0, flats=0.002)


def test_a_thin_bar_that_turns_about_its_middle_sweeps_a_disc() -> None:
    """Computed: half a turn of a bar of 40 x 1 mm covers the disc through its corners."""
    reach = math.hypot(20.0, 0.5)
    holds(
        swept(box(-20.0, -0.5, 20.0, 0.5), lambda t: (0.0, 0.0, math.pi * t), 0.02),
        math.pi * reach**2,
        2 * math.pi * reach,
    )


def test_a_thin_bar_that_turns_about_its_end_sweeps_a_sector() -> None:
    """Computed: a segment of length L through an angle a sweeps L² a / 2; of a blade 0.001 mm thick no more than its
    girth times that."""
    sweep = swept(box(0.0, -0.0005, 30.0, 0.0005), lambda t: (0.0, 0.0, 1.2 * t), 0.02)
    holds(sweep, 0.5 * 900.0 * 1.2, 60.0 + 36.0, flats=0.001)


def test_a_bar_whose_ends_slide_on_two_axes_sweeps_under_an_astroid() -> None:
    """Computed, the envelope of a ladder of length L: x^(2/3) + y^(2/3) = L^(2/3), area 3 pi L² / 32 in the quarter,
    girth 3 L / 2 and the two axes."""
    length = 40.0

    def ladder(times):
        angle = 0.5 * math.pi * times
        return length * np.cos(angle), 0.0 * angle, math.pi - angle

    sweep = swept(box(0.0, -0.0005, length, 0.0005), ladder, 0.02)
    holds(sweep, 3.0 * math.pi * length**2 / 32.0, 1.5 * length + 2.0 * length, flats=0.001)
