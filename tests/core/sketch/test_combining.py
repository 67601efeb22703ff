"""Solids joined and cut have the area they should, and their arcs are arcs still."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from core.document.project import Circle, Polygon, Wall
from core.geometry.outlines import outline_of_shape, solid
from core.sketch.combining import cut, joined
from core.sketch.constructing import bar_between, rectangle
from core.sketch.reshaping import bulge_of

BOX = rectangle((0.0, 0.0), (10.0, 6.0))


def area(polygons):
    return sum(outline_of_shape(one).area for one in polygons)


def arcs(polygons):
    return sum(1 for one in polygons for ring in (one.points, *one.holes) for corner in ring if bulge_of(corner))


def test_a_box_and_a_bar_that_lap_become_one_outline():
    made = joined([BOX, rectangle((8.0, 2.0), (15.0, 4.0))])
    assert len(made) == 1
    assert area(made) == pytest.approx(60.0 + 5.0 * 2.0)
    assert arcs(made) == 0


def test_edges_in_one_line_become_one():
    made = joined([BOX, rectangle((10.0, 0.0), (20.0, 6.0))])
    assert len(made[0].points) == 4


def test_what_does_not_touch_stays_apart():
    assert len(joined([BOX, rectangle((20.0, 0.0), (25.0, 1.0))])) == 2


def test_a_round_end_stays_one_arc():
    bar = bar_between((5.0, 3.0), (15.0, 3.0), 4.0)
    made = joined([BOX, bar])
    assert arcs(made) == 1
    assert len(made[0].points) == 8
    assert area(made) == pytest.approx(60.0 + 5.0 * 4.0 + math.pi * 2.0, abs=0.02)


def test_a_round_hole_is_two_half_circles():
    made = cut([BOX], [Circle(centre=(5.0, 3.0), radius=1.5)])
    assert len(made) == 1
    assert len(made[0].holes[0]) == 2
    assert {abs(bulge_of(corner)) for corner in made[0].holes[0]} == {1.0}
    assert area(made) == pytest.approx(60.0 - math.pi * 2.25, abs=0.02)


def test_a_bite_out_of_an_edge_is_one_arc_of_the_true_radius():
    """The segment cut off has the area r²/2 (a - sin a): any handbook of mensuration."""
    made = cut([BOX], [Circle(centre=(5.0, 7.0), radius=3.0)])
    half = math.acos(1.0 / 3.0)
    assert arcs(made) == 1
    assert area(made) == pytest.approx(60.0 - 4.5 * (2.0 * half - math.sin(2.0 * half)), abs=0.02)


def test_a_cut_through_gives_two_pieces_the_larger_first():
    made = cut([BOX], [rectangle((6.0, -1.0), (7.0, 7.0))])
    assert [round(outline_of_shape(one).area, 6) for one in made] == [36.0, 18.0]


def test_what_is_covered_is_gone():
    assert cut([BOX], [rectangle((-1.0, -1.0), (11.0, 7.0))]) == ()


def test_a_bent_wall_keeps_its_bends():
    wall = Wall(points=((0.0, 0.0), (10.0, 0.0, 0.4142135623730951), (12.0, 2.0), (12.0, 9.0)), thickness=1.0)
    made = joined([wall])
    assert arcs(made) == 2
    assert area(made) == pytest.approx(outline_of_shape(wall).area, abs=0.05)


@pytest.mark.parametrize("by", [1e-258, 1e-17, 1e-14, 1e-12, 1e-10, 1e-9, 1e-8, 1e-7])
@pytest.mark.parametrize("right", [0.0, 1.0])
def test_edges_that_all_but_lie_on_each_other_cost_no_corner(by, right):
    """As they do where an outline was turned there and back."""
    made = joined([rectangle((0.0, 0.0), (1.0, 1.0)), rectangle((by, 0.0), (1.0 + right * by, 2.0))])
    assert area(made) == pytest.approx(2.0, abs=1e-6)


shapes = st.one_of(
    st.builds(
        lambda x, y, radius: Circle(centre=(x, y), radius=radius),
        st.floats(-10, 10), st.floats(-10, 10), st.floats(0.5, 8),
    ),
    st.builds(
        lambda x, y, u, v, width: bar_between((x, y), (x + u, y + v), width),
        st.floats(-10, 10), st.floats(-10, 10), st.floats(1, 12), st.floats(-9, 9), st.floats(0.5, 4),
    ),
    st.builds(lambda x, y, u, v: rectangle((x, y), (x + u, y + v)),
              st.floats(-10, 10), st.floats(-10, 10), st.floats(1, 12), st.floats(1, 9)),
)  # fmt: skip


@given(st.lists(shapes, min_size=1, max_size=3), st.lists(shapes, min_size=1, max_size=2))
@settings(max_examples=60, deadline=None)
def test_combining_agrees_with_shapely(first, second):
    """Shapely, on outlines flattened outwards by up to 0.002 mm; their length times that bounds the difference."""
    one, two = solid([outline_of_shape(shape) for shape in first]), solid([outline_of_shape(shape) for shape in second])
    room = 0.01 * (one.length + two.length) + 1e-6
    for made, wanted in (
        (joined([*first, *second]), shapely.union(one, two)),
        (cut(first, second), shapely.difference(one, two)),
    ):
        outline = solid([outline_of_shape(polygon) for polygon in made]) if made else shapely.Polygon()
        assert shapely.symmetric_difference(outline, wanted).area < room
        assert all(isinstance(polygon, Polygon) for polygon in made)
