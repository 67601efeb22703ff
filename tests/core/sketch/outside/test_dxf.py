"""What ezdxf writes comes back as the outlines that were meant."""

from __future__ import annotations

import math

import ezdxf
import pytest

from core.document.project import Circle, Polygon
from core.errors import SenselessRequest
from core.geometry.outlines import outline_of_shape
from core.sketch.outside.dxf import outlines_of_dxf
from core.sketch.reshaping import bulge_of


@pytest.fixture
def drawing(tmp_path):
    document = ezdxf.new("R2010")
    document.header["$INSUNITS"] = 4

    def read():
        document.saveas(tmp_path / "door.dxf")
        return outlines_of_dxf(tmp_path / "door.dxf")

    return document, document.modelspace(), read


def test_a_polyline_keeps_its_bulges(drawing):
    _, space, read = drawing
    corners = [(0, 0, 0), (10, 0, 1.0), (10, 4, 0), (0, 4, -0.25)]
    space.add_lwpolyline(corners, format="xyb", close=True)
    found = read()
    assert found.unit == "mm"
    assert found.shapes == (Polygon(points=((0, 0), (10, 0, 1.0), (10, 4), (0, 4, -0.25))),)


def test_loose_lines_and_arcs_are_chained_whatever_their_order_and_direction(drawing):
    _, space, read = drawing
    space.add_line((10, 4), (0, 4))
    space.add_arc((10, 2), 2, -90, 90)
    space.add_line((0, 0), (10, 0))
    space.add_line((0, 0), (0, 4))
    (shape,) = read().shapes
    assert outline_of_shape(shape).area == pytest.approx(40.0 + 2.0 * math.pi, abs=0.02)
    assert [bulge_of(corner) for corner in shape.points if bulge_of(corner)] == [pytest.approx(1.0)]


def test_circles_within_are_holes_and_alone_are_circles(drawing):
    _, space, read = drawing
    space.add_lwpolyline([(0, 0), (10, 0), (10, 10), (0, 10)], close=True)
    space.add_circle((5, 5), 2)
    space.add_circle((30, 0), 3)
    box, disc = read().shapes
    assert len(box.holes) == 1
    assert outline_of_shape(box).area == pytest.approx(100.0 - 4.0 * math.pi, abs=0.05)
    assert disc == Circle(centre=(30.0, 0.0), radius=3.0)


def test_an_island_in_a_hole_is_solid_again(drawing):
    _, space, read = drawing
    for radius in (10, 6, 2):
        space.add_circle((0, 0), radius)
    ring, island = read().shapes
    assert len(ring.holes) == 1
    assert island == Circle(centre=(0.0, 0.0), radius=2.0)


def test_a_spline_and_an_ellipse_become_arcs_within_a_few_microns(drawing):
    _, space, read = drawing
    space.add_ellipse((0, 0), (10, 0), 0.5)
    (shape,) = read().shapes
    assert len(shape.points) < 60
    assert outline_of_shape(shape).area == pytest.approx(
        math.pi * 50.0, abs=48.5 * 0.004
    )  # its length, times both deviations


def test_blocks_are_opened_where_they_stand(drawing):
    document, space, read = drawing
    block = document.blocks.new("lug")
    block.add_lwpolyline([(0, 0), (2, 0), (2, 1), (0, 1)], close=True)
    space.add_blockref("lug", (10, 20), dxfattribs={"rotation": 90, "xscale": 2, "yscale": 2})
    (shape,) = read().shapes
    assert outline_of_shape(shape).bounds == pytest.approx((8.0, 20.0, 10.0, 24.0))


def test_what_does_not_close_is_told_apart_and_what_is_not_read_is_counted(drawing):
    _, space, read = drawing
    space.add_line((0, 0), (10, 0))
    space.add_line((10, 0), (10, 5))
    space.add_text("LEG")
    found = read()
    assert found.shapes == ()
    assert found.open_lines == (((0.0, 0.0), (10.0, 0.0), (10.0, 5.0)),)
    assert found.left_out == ("1 text",)


@pytest.mark.parametrize(("code", "unit"), [(0, None), (1, "in"), (2, "ft"), (4, "mm"), (5, "cm"), (6, "m"), (9, None)])
def test_units_are_read_as_the_dxf_reference_numbers_them(drawing, code, unit):
    """$INSUNITS: 1 inches, 2 feet, 4 millimetres, 5 centimetres, 6 metres (DXF reference)."""
    document, space, read = drawing
    document.header["$INSUNITS"] = code
    space.add_circle((0, 0), 1)
    assert read().unit == unit


def test_inches_become_millimetres(drawing):
    _, space, read = drawing
    space.add_circle((1, 0), 0.5)
    assert read().in_millimetres(25.4).shapes == (Circle(centre=(25.4, 0.0), radius=12.7),)


@pytest.mark.parametrize(
    "content", [b"", b"not a drawing", b"0\nSECTION\n2\nENTITIES\n0\nEOF\n", bytes(range(256)) * 20]
)
def test_what_is_no_drawing_is_refused_in_one_line(tmp_path, content):
    file = tmp_path / "broken.dxf"
    file.write_bytes(content)
    with pytest.raises(SenselessRequest) as refused:
        outlines_of_dxf(file)
    assert str(refused.value).startswith(f"{file}: ")
    assert "\n" not in str(refused.value)


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(SenselessRequest, match="No such file"):
        outlines_of_dxf(tmp_path / "none.dxf")
