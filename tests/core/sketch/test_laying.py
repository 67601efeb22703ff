"""Drawings laid under a view, and what a place of it reads on the prototype."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from core.document.checks import problems
from core.document.drawing_edits import AddDrawing, AddView, RemoveDrawing, SetDatum, SetDrawing
from core.document.project import Aircraft, Datum, Project, TracedDrawing, View
from core.document.project_file import decode, encode, read_project
from core.sketch.fitting import mapped
from core.sketch.laying import laid, pixel_at, place_of_reading, reading, refitted, turned_over, with_known, with_length

MERROW = Path(__file__).resolve().parents[3] / "sample_projects" / "merrow-t2"
SIDE = View(id="side", plane="side")
PROJECT = Project(aircraft=Aircraft(name="Merrow T.2", scale=12), views=(SIDE,))
DATUM = Datum(at=(0.0, 0.0), reads=(2520.0, -120.0), right=1, up=1)


def test_a_new_drawing_stands_upright_at_the_origin():
    new = laid("drawings/side.png", 1000, 500)
    assert mapped(new.pixel_to_mm, [(0, 500), (1000, 0)]).tolist() == [[0.0, 0.0], [200.0, 100.0]]


def test_a_known_point_moves_it_two_scale_it_and_the_pixel_comes_back():
    new = laid("drawings/side.png", 1000, 500)
    once = with_known(new, (100.0, 400.0), (-50.0, 10.0))
    assert mapped(once.pixel_to_mm, [(100.0, 400.0)])[0] == pytest.approx((-50.0, 10.0))
    twice = with_known(once, (900.0, 400.0), (50.0, 10.0))
    assert mapped(twice.pixel_to_mm, [(500.0, 400.0)])[0] == pytest.approx((0.0, 10.0))
    assert pixel_at(twice, (50.0, 10.0)) == pytest.approx((900.0, 400.0))
    assert len(with_known(twice, (900.2, 400.0), (60.0, 10.0)).known) == 2, "the same point said again"


def test_a_length_gives_the_scale():
    scaled = with_length(laid("drawings/side.png", 1000, 500), (0.0, 0.0), (300.0, 400.0), 25.0, None)
    a, b = mapped(scaled.pixel_to_mm, [(0.0, 0.0), (300.0, 400.0)])
    assert ((b - a) ** 2).sum() ** 0.5 == pytest.approx(25.0, abs=1e-6)


@pytest.mark.parametrize("angle", [None, 0.0, 30.0])
def test_lengths_scale_and_turn_it_about_where_the_first_was_picked(angle):
    new = laid("drawings/side.png", 1000, 500)
    once = with_length(new, (100.0, 400.0), (300.0, 400.0), 800.0, angle)
    twice = with_length(once, (500.0, 100.0), (500.0, 300.0), 790.0, None)
    for fitted in (once, twice, turned_over(twice)):
        middle = mapped(fitted.pixel_to_mm, [(200.0, 400.0)])[0]
        assert middle == pytest.approx(mapped(new.pixel_to_mm, [(200.0, 400.0)])[0])
    placed = with_known(twice, (500.0, 400.0), (7.0, 8.0))
    assert mapped(placed.pixel_to_mm, [(500.0, 400.0)])[0] == pytest.approx((7.0, 8.0), abs=1e-3), (
        "where a point is known, that counts"
    )


def test_the_samples_drawings_are_fitted_as_they_say():
    """Fitted anew from what is known of it, a drawing of this project comes to lie where its file says."""
    for view in read_project(MERROW).views:
        if view.drawing is None or len(view.drawing.known) < 2:
            continue
        again, fit = refitted(view.drawing)
        corners = [(0.0, 0.0), (3000.0, 0.0), (3000.0, 2000.0), (0.0, 2000.0)]
        assert abs(mapped(again.pixel_to_mm, corners) - mapped(view.drawing.pixel_to_mm, corners)).max() < 0.05
        assert fit.suspect is None


def test_turning_over_twice_gives_it_back():
    new = laid("drawings/side.png", 1000, 500)
    assert turned_over(turned_over(new)) == new
    left, right = mapped(turned_over(new).pixel_to_mm, [(0.0, 0.0), (1000.0, 0.0)])
    assert left[0] > right[0]


def test_a_place_reads_station_and_waterline_and_back():
    view = replace(SIDE, datum=DATUM)
    assert reading(view, 12.0, (10.0, -5.0)) == (2640.0, -180.0)
    assert place_of_reading(view, 12.0, (2640.0, -180.0)) == (10.0, -5.0)
    forward = replace(SIDE, datum=replace(DATUM, right=-1))
    assert reading(forward, 12.0, (10.0, -5.0)) == (2400.0, -180.0)
    assert reading(SIDE, 12.0, (10.0, -5.0)) is None


def test_edits_of_views_and_drawings(tmp_path):
    one, two = laid("drawings/a.png", 10, 10), laid("drawings/b.png", 10, 10)
    both = AddDrawing("side", two).apply(AddDrawing("side", one).apply(PROJECT))
    assert both.views[0].drawings == (one, two)
    faint = SetDrawing("side", 1, replace(two, opacity=0.2)).apply(both)
    assert faint.views[0].more_drawings[0].opacity == 0.2
    left = RemoveDrawing("side", 0).apply(faint)
    assert [drawing.file for drawing in left.views[0].drawings] == ["drawings/b.png"]
    seen = SetDatum("side", DATUM).apply(AddView(View(id="front", plane="front")).apply(left))
    assert not problems(seen)
    assert decode(encode(seen), tmp_path / "project.json") == seen
    assert SetDatum("side", DATUM).apply(seen) is seen


def test_what_cannot_be_is_found_in_every_drawing():
    bad = replace(laid("../b.png", 10, 10), opacity=3.0)
    both = AddDrawing("side", bad).apply(AddDrawing("side", TracedDrawing(file="drawings/a.png")).apply(PROJECT))
    places = {one.place for one in problems(both)}
    assert any("more_drawings[0].opacity" in place for place in places)
    assert any("more_drawings[0].file" in place for place in places)
