"""SVG's shapes and paths come as outlines, y turned up."""

from __future__ import annotations

import math

import pytest

from core.document.project import Circle, Polygon
from core.errors import SenselessRequest
from core.geometry.outlines import outline_of_shape
from core.sketch.outside.svg import outlines_of_svg
from core.sketch.reshaping import bulge_of

PAGE = 'width="100mm" height="50mm" viewBox="0 0 100 50"'


@pytest.fixture
def read(tmp_path):
    def read(inside, page=PAGE):
        file = tmp_path / "door.svg"
        file.write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {page}>{inside}</svg>')
        return outlines_of_svg(file)

    return read


def only(found):
    (shape,) = found.shapes
    return shape


def test_a_polygon_is_turned_up(read):
    found = read('<polygon points="0,0 10,0 10,5"/>')
    assert found.unit == "mm"
    assert set(only(found).points) == {(0.0, 0.0), (10.0, 0.0), (10.0, -5.0)}
    assert outline_of_shape(only(found)).area == pytest.approx(25.0)


def test_a_circle_is_a_circle_and_within_a_rectangle_a_hole(read):
    assert only(read('<circle cx="4" cy="3" r="2"/>')) == Circle(centre=(4.0, -3.0), radius=2.0)
    plate = only(read('<rect width="10" height="6"/><circle cx="4" cy="3" r="2"/>'))
    assert outline_of_shape(plate).area == pytest.approx(60.0 - 4.0 * math.pi, abs=0.05)


def test_a_rounded_rectangle_has_four_quarter_arcs(read):
    shape = only(read('<rect x="1" y="1" width="10" height="6" rx="2"/>'))
    bulges = [bulge_of(corner) for corner in shape.points if bulge_of(corner)]
    assert [abs(one) for one in bulges] == [pytest.approx(math.tan(math.pi / 8.0))] * 4
    assert outline_of_shape(shape).area == pytest.approx(60.0 - 4.0 * (4.0 - math.pi), abs=0.02)


@pytest.mark.parametrize(
    ("data", "area"),
    [
        ("M0 0H10V5H0z", 50.0),
        ("m0,0 10,0 0,5 -10,0z", 50.0),
        ("M0 0 A5 5 0 0 1 10 0 Z", 0.5 * math.pi * 25.0),
        ("M0 0 A5 5 0 1 0 10 0 Z", 0.5 * math.pi * 25.0),
        ("M0,0a1,1 0 0,1 2,0z", 0.5 * math.pi),
        ("M0 0 A10 10 0 0 1 10 10 L 0 10Z", 0.25 * math.pi * 100.0),
        ("M0 0 A10 10 0 0 0 10 10 L 10 0Z", 0.25 * math.pi * 100.0),
        ("M0 0 Q5 10 10 0Z", 2.0 / 3.0 * 50.0 * 0.5 * 2.0),
        ("M0 0 A10 5 0 0 1 20 0Z", 0.5 * math.pi * 50.0),
    ],
)
def test_paths_have_the_area_they_should(read, data, area):
    """A quadratic segment takes up two thirds of its triangle: Archimedes, Quadrature of the Parabola."""
    assert outline_of_shape(only(read(f'<path d="{data}"/>'))).area == pytest.approx(area, rel=2e-3)


def test_cubics_that_draw_a_circle_come_as_few_arcs(read):
    """The usual four-curve circle is at most 0.027 % off its radius (common knowledge of type design, from memory)."""
    k = 5.0 * 4.0 / 3.0 * (math.sqrt(2.0) - 1.0)
    data = f"M5 0C5 {k} {k} 5 0 5C{-k} 5 -5 {k} -5 0C-5 {-k} {-k} -5 0 -5C{k} -5 5 {-k} 5 0Z"
    shape = only(read(f'<path d="{data}"/>'))
    assert len(shape.points) <= 16
    assert outline_of_shape(shape).area == pytest.approx(25.0 * math.pi, rel=2e-3)


def test_transforms_nest(read):
    found = read('<g transform="translate(10,0) rotate(90)"><rect width="4" height="2" transform="scale(2)"/></g>')
    assert outline_of_shape(only(found)).bounds == pytest.approx((6.0, -8.0, 10.0, 0.0))


def test_an_uneven_scale_makes_an_ellipse_of_a_circle(read):
    shape = only(read('<circle r="2" transform="scale(3 1)"/>'))
    assert isinstance(shape, Polygon)
    assert outline_of_shape(shape).area == pytest.approx(12.0 * math.pi, rel=2e-3)


@pytest.mark.parametrize(
    ("page", "unit", "width"),
    [
        ('width="10cm" viewBox="0 0 200 100"', "mm", 5.0),
        ('width="2in" viewBox="0 0 2 1"', "mm", 254.0),
        ('width="100mm"', "mm", 10.0 * 25.4 / 96.0),
        ('width="500" height="20"', None, 10.0),
        ('width="100%" viewBox="0 0 7 7"', None, 10.0),
        ("", None, 10.0),
    ],
)
def test_the_page_gives_the_unit(read, page, unit, width):
    """CSS 2.1 has 96 px to the inch; a page without a size in lengths says nothing, and is asked about."""
    found = read('<rect width="10" height="5"/>', page)
    assert found.unit == unit
    left, _, right, _ = outline_of_shape(only(found)).bounds
    assert right - left == pytest.approx(width)


def test_open_lines_text_and_hidden_things(read):
    found = read('<polyline points="0,0 5,0 5,5"/><text>LEG</text><defs><rect width="9" height="9"/></defs>'
                 '<rect width="3" height="3" display="none"/>')  # fmt: skip
    assert found.shapes == ()
    assert len(found.open_lines) == 1
    assert found.left_out == ("1 text",)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("", "not a whole SVG file"),
        ("<svg", "not a whole SVG file"),
        ("<html/>", "no SVG drawing"),
        ("<svg/>", "no outline"),
        ('<svg><path d="M0 0 L"/></svg>', "cannot be read"),
        ('<svg><path d="M0 0 A1"/></svg>', "cannot be read"),
        ('<svg><circle r="x"/></svg>', "cannot be read"),
        ('<svg><rect width="3" height="3" transform="fold(3)"/></svg>', "'fold' is not known"),
        ('<svg><rect width="3" height="3" transform="matrix(3)"/></svg>', "cannot be read"),
    ],
)
def test_what_cannot_be_read_is_refused_in_one_line(tmp_path, content, said):
    file = tmp_path / "broken.svg"
    file.write_text(content)
    with pytest.raises(SenselessRequest) as refused:
        outlines_of_svg(file)
    assert said in str(refused.value)
    assert "\n" not in str(refused.value)
