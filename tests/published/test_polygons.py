"""Areas, centroids and second moments of outlines against published worked examples.

Where a case's standing is "seen", its numbers were read in a public transcription of the book's worked example, named
with it; "computed" ones follow from a formula that is named.
"""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
import shapely

from core.document.project import Body, Circle, Polygon, Wall
from core.geometry.curves import signed_area
from core.geometry.outlines import outline, outline_of_shape


def outline_moments(solid):
    """Area, and second moments about x and y and product of inertia, all about the origin, from an outline's rings.

    Green's theorem on straight edges: Ix is the sum of (y0² + y0 y1 + y1²) (x0 y1 - x1 y0) / 12, and so on.
    """
    area = about_x = about_y = product = 0.0
    for polygon in shapely.get_parts(solid):
        for ring in shapely.get_rings(shapely.geometry.polygon.orient(polygon)):
            corners = shapely.get_coordinates(ring)
            area += signed_area(corners[:-1])
            for (x0, y0), (x1, y1) in pairwise(corners):
                cross = x0 * y1 - x1 * y0
                about_x += cross * (y0 * y0 + y0 * y1 + y1 * y1) / 12.0
                about_y += cross * (x0 * x0 + x0 * x1 + x1 * x1) / 12.0
                product += cross * (x0 * y1 + 2.0 * x0 * y0 + 2.0 * x1 * y1 + x1 * y0) / 24.0
    return area, about_x, about_y, product


def rectangle(left, bottom, right, top):
    return Polygon(points=((left, bottom), (right, bottom), (right, top), (left, top)))


def solid(*shapes):
    return outline(Body(id="section", view="side", shapes=shapes))


def test_composite_plate_with_a_round_hole():
    """F. P. Beer, E. R. Johnston et al., Vector Mechanics for Engineers: Statics, Sample Problem 5.1 (seen, in the
    FOSSEE textbook companions, ch5_1): X = 54.8 mm, Y = 36.6 mm, first moments 506e3 and 758e3 mm³."""
    plate = Polygon(
        points=((0, -60), (120, 0), (120, 80, 1.0), (0, 80)),  # the half disc of radius 60 is an arc of bulge 1
        holes=(((20, 80, 1.0), (100, 80, 1.0)),),
    )
    found = outline_of_shape(plate)
    assert (found.centroid.x, found.centroid.y) == pytest.approx((54.8, 36.6), abs=0.051)
    assert found.area * found.centroid.y == pytest.approx(506_000.0, abs=500.0)
    assert found.area * found.centroid.x == pytest.approx(758_000.0, abs=500.0)


def test_perimeter_of_a_triangle():
    """Beer and Johnston, Statics, Sample Problem 5.2 (seen, in the FOSSEE textbook companions, ch5_1): a wire of 1500
    mm with its centroid at (250, 75); and, computed as a third of its corners, the area's at (200, 83.3)."""
    triangle = solid(Polygon(points=((0, 0), (600, 0), (0, 250))))
    wire = shapely.get_rings(triangle)[0]
    assert wire.length == pytest.approx(1500.0, abs=1e-6)
    assert (wire.centroid.x, wire.centroid.y) == pytest.approx((250.0, 75.0), abs=1e-6)
    assert (triangle.centroid.x, triangle.centroid.y) == pytest.approx((200.0, 250.0 / 3.0))


def test_centroids_of_an_i_section_and_a_z_section():
    """A. K. Tayal, Engineering Mechanics, Examples 4.8 and 4.9 (seen, in the FOSSEE textbook companions, chapter 4):
    y = 10.961538 cm for the one, (13.557692, 7.692308) cm for the other, from shapes that make one solid."""
    i_section = solid(rectangle(-15, 0, 15, 5), rectangle(-2.5, 5, 2.5, 20), rectangle(-10, 20, 10, 25))
    assert i_section.centroid.y == pytest.approx(10.961538, abs=1e-6)
    z_section = solid(rectangle(0, 20, 10, 22.5), rectangle(7.5, 5, 10, 20), rectangle(7.5, 0, 27.5, 5))
    assert (z_section.centroid.x, z_section.centroid.y) == pytest.approx((13.557692, 7.692308), abs=1e-6)


def test_second_moments_of_an_l_section():
    """Tayal, Engineering Mechanics, Example 12.10 (seen, in the FOSSEE textbook companions, chapter 12): area 5000 mm²,
    10761666.667 and 6086666.667 mm⁴ about the centroid."""
    points = ((100, 0), (120, 0), (120, 150), (0, 150), (0, 130), (100, 130))
    section = solid(Polygon(points=points))
    area, about_x, about_y, _ = outline_moments(section)
    assert area == pytest.approx(5000.0, abs=1e-6)
    assert about_x - area * section.centroid.y**2 == pytest.approx(10_761_666.667, abs=1e-3)
    assert about_y - area * section.centroid.x**2 == pytest.approx(6_086_666.667, abs=1e-3)


def test_product_of_inertia_of_an_angle():
    """Tayal, Engineering Mechanics, Example 12.14 (seen, in the FOSSEE textbook companions, chapter 12): 7.75 cm⁴
    about the outer edges."""
    angle = solid(Polygon(points=((0, 0), (4, 0), (4, 1), (1, 1), (1, 4), (0, 4))))
    assert outline_moments(angle)[3] == pytest.approx(7.75, abs=1e-9)


def test_a_rectangle_with_a_half_disc_cut_out():
    """Beer and Johnston, Statics, Sample Problem 9.5 (seen, in the FOSSEE textbook companions, ch9_1): Ix = 45.9e6 mm⁴
    about the base; the cut is an arc."""
    cut = Polygon(points=((0, 0), (240, 0), (240, 120), (210, 120, -1.0), (30, 120), (0, 120)))
    assert outline_moments(solid(cut))[1] == pytest.approx(45_900_000.0, abs=60_000.0)


@pytest.mark.parametrize(
    ("shape", "area"),
    [
        (Circle(centre=(3, -2), radius=7.5), math.pi * 7.5**2),
        # a segment of angle a: r² (a - sin a) / 2; bulge tan(a / 4)
        (
            Polygon(points=((-6.0, 0.0), (6.0, 0.0, math.tan(math.radians(30.0))))),
            0.5 * (6.0 / math.sin(math.radians(60.0))) ** 2 * (math.radians(120.0) - math.sin(math.radians(120.0))),
        ),
        # a quarter ring of mean radius 20 and thickness 4
        (
            Wall(points=((20.0, 0.0, math.tan(math.pi / 8.0)), (0.0, 20.0)), thickness=4.0),
            math.pi / 4.0 * (22**2 - 18**2),
        ),
    ],
)
def test_curved_areas_in_closed_form(shape, area):
    """Disc, segment and ring: any handbook's mensuration tables (computed from the formulas)."""
    assert outline_of_shape(shape).area == pytest.approx(area, rel=2e-3)
    assert outline_of_shape(shape).area >= area
