"""Diameters and lengths, of outlines and rods whose sizes are known exactly."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from core.document.checks import problems
from core.document.project import Aircraft, Body, Circle, Figure, Jack, Pivot, Polygon, Project, Rod, Shape, View, Wall
from core.figures.conflicts import Kind, conflicts
from core.figures.evaluate import evaluate
from core.figures.fresh import circle_under, fresh_figure
from core.figures.result import FigureResult, MadeLength, Roundness, Sides
from core.figures.told import sentence, to_json
from core.figures.words import measured_words
from core.study import run
from tests.core.figures.test_evaluate import END, leg_with_jack

ACROSS: dict[str, Any] = {"id": "across", "name": "Wheel", "quantity": "diameter", "of": "wheel"}
EDGE_ON = Polygon(
    points=((-2.0, -11.0, 0.41421356), (-1.0, -12.0), (1.0, -12.0, 0.41421356), (2.0, -11.0), (2.0, 11.0, 0.41421356),
            (1.0, 12.0), (-1.0, 12.0, 0.41421356), (-2.0, 11.0)),
)  # fmt: skip
"""A tyre of 24 by 4 seen from in front, with round shoulders."""


def wheel(*shapes: Shape, axle: tuple[float, float] | None = (0.0, 0.0), **more: Any) -> Project:
    return Project(
        aircraft=Aircraft(name="Pellow 3", scale=10.0),
        views=(View(id="side"),),
        bodies=(Body(id="fork", view="side", fixed=True), Body(id="wheel", view="side", role="wheel", shapes=shapes)),
        connections=() if axle is None else (Pivot(id="axle", name="Axle", bodies=("fork", "wheel"), at=axle),),
        figures=(Figure(**(ACROSS | more)),),
    )


def measured(project: Project) -> FigureResult:
    assert problems(project) == ()
    return evaluate(project, lambda _: pytest.fail("nothing moves"))[0]


def test_a_wheel_is_as_wide_as_its_circle_and_not_as_what_it_is_flattened_to():
    hub = Polygon(points=((-3.0, -3.0), (3.0, -3.0), (3.0, 3.0), (-3.0, 3.0)))
    project = wheel(Circle(centre=(0.0, 0.0), radius=12.7), hub, published="10 in ± 0.1 in", full_size=True)
    one = measured(project)
    assert (one.model, one.off) == (25.4, pytest.approx(0.0, abs=1e-12))
    assert isinstance(one.beside, Roundness)
    assert (one.beside.is_round, one.beside.about) == (True, "axle")
    assert sentence(one, project) == "Wheel is 25.4 mm, as published."


def test_the_published_tolerance_is_brought_to_scale():
    """10.3 in at 1:10 is 1.03 in: 1 in is 0.03 in short, beyond 0.1 in ÷ 10 and within a workshop's 1 mm."""
    tyre = Circle(centre=(0.0, 0.0), radius=12.7)
    one = measured(wheel(tyre, published="10.3 in ± 0.1 in", full_size=True, shop="1 mm"))
    assert one.off == pytest.approx(-0.03 * 25.4, abs=1e-12)
    assert one.off_full_size == pytest.approx(-0.3 * 25.4, abs=1e-12)
    assert (one.within_published, one.within_shop) == (False, True)


def test_a_tyre_with_a_flat_is_not_round_and_says_so():
    flat = Polygon(points=((-6.0, -8.0), (6.0, -8.0, 3.0)))
    one = measured(project := wheel(flat, axle=None))
    assert isinstance(one.beside, Roundness)
    assert one.model == pytest.approx(20.0, abs=1e-9)
    assert not one.beside.is_round
    assert one.beside.nearest == pytest.approx(8.0, abs=0.01)
    assert sentence(one, project).endswith(
        "It is not round about its middle: its outline reaches 10 mm at the farthest and 8 mm at the nearest."
    )
    assert to_json(one)["round"] is False


def test_an_axle_off_the_middle_makes_a_wheel_that_turns_in_a_larger_circle():
    one = measured(project := wheel(Circle(centre=(0.0, 0.0), radius=12.0), axle=(0.5, 0.0)))
    assert one.model == 25.0
    assert "not round about Axle: its outline reaches 12.5 mm at the farthest and 11.5 mm" in sentence(one, project)
    far = measured(wheel(Circle(centre=(0.0, 0.0), radius=12.0), axle=(0.0, 30.0)))
    assert far.model == pytest.approx(24.0)


def test_a_wheel_seen_edge_on_is_its_long_side():
    one = measured(project := wheel(EDGE_ON, axle=None, across="outline"))
    assert one.model == pytest.approx(24.0, abs=1e-9)
    assert isinstance(one.beside, Sides)
    assert (one.beside.long, one.beside.short) == (one.model, pytest.approx(4.0, abs=1e-6))
    assert np.array(one.beside.across) == pytest.approx(np.array([[0.0, -12.0], [0.0, 12.0]]), abs=1e-9)
    assert sentence(one, project) == "Wheel is 24 mm. Its outline is 24 mm by 4 mm."
    assert (to_json(one)["long"], to_json(one)["short"]) == (24.0, 4.0)


def test_a_body_that_is_bent_has_nothing_in_its_middle():
    bent = Wall(points=((0.0, 0.0), (20.0, 0.0), (20.0, 20.0)), thickness=1.0)
    one = measured(wheel(bent, axle=None))
    assert isinstance(one.beside, Roundness)
    assert (one.beside.nearest, one.beside.is_round) == (0.0, False)


def test_what_has_no_outline_has_no_diameter():
    one = measured(wheel(axle=None))
    assert one.model is None
    assert "no outline" in one.trouble


def test_a_diameter_across_a_wheel_does_not_contradict_its_width():
    project = wheel(EDGE_ON, axle=None, published="24 mm")
    other = replace(project.figures[0], id="again", published="26 mm")
    both = replace(project, figures=(*project.figures, other))
    results = evaluate(both, lambda _: pytest.fail("nothing moves"))
    assert [one.kind for one in conflicts(both, results)] == [Kind.SOURCES]
    apart = replace(both, figures=(project.figures[0], replace(other, across="outline")))
    assert conflicts(apart, evaluate(apart, lambda _: pytest.fail("nothing moves"))) == ()


# ---- a wheel that is drawn in one with its leg -----------------------------------------------------------------------

LEG = Polygon(points=((-4.0, 4.0), (4.0, 4.0), (3.0, -60.0), (-3.0, -60.0)))
TYRE, RIM = Circle(centre=(0.0, -66.0), radius=12.0), Circle(centre=(0.0, -66.0), radius=7.0)


def test_the_circle_about_a_point_of_a_body_alone():
    about = [{"body": "wheel", "point": [0.0, -66.0]}]
    one = measured(
        project := wheel(LEG, RIM, TYRE, axle=None, between=about, published="240 mm ± 1 mm", full_size=True)
    )
    assert (one.model, one.within_published) == (24.0, True)
    assert sentence(one, project) == "Wheel is 24 mm, as published."
    assert measured_words(project, one.figure) == "diameter of wheel, its circle about 0, −66 mm"
    lost = measured(wheel(LEG, TYRE, axle=None, between=[{"body": "wheel", "point": [0.0, -60.0]}]))
    assert "No circle" in lost.trouble


@pytest.mark.parametrize(
    "about", [[{"body": "fork", "point": [0, 0]}], [{"body": "wheel"}], [{"pivot": "axle"}], [], "it"]
)
def test_a_diameter_is_about_one_point_of_its_own_body(about: Any):
    (found,) = problems(wheel(TYRE, between=about))
    assert "about a point of it" in found.wrong


def test_the_circle_under_the_hand_is_the_largest_there_unless_the_body_is_round():
    both = wheel(LEG, RIM, TYRE, axle=None)
    leg = both.bodies[1]
    assert circle_under(both, leg, (0.0, -70.0)) == (0.0, -66.0)
    assert circle_under(both, leg, (0.0, -20.0)) is None
    assert circle_under(wheel(RIM, TYRE), wheel(RIM, TYRE).bodies[1], (0.0, -70.0)) is None
    figure = fresh_figure(both, "diameter", leg, about=(0.0, -66.0))
    assert figure.between == [{"body": "wheel", "point": [0.0, -66.0]}]
    assert measured(replace(both, figures=(figure,))).model == 24.0
    assert fresh_figure(both, "diameter", leg).across == "outline", "slim as a whole"


# ---- lengths ---------------------------------------------------------------------------------------------------------


def rod_and_jack(*figures: Figure, length: float | None = None) -> Project:
    project = leg_with_jack(*figures)
    rod = Rod(id="stay", name="Stay", bodies=("leg", "piston"), ends=((3.0, 0.0), (0.0, -4.0)), length=length)
    return replace(project, connections=(*project.connections, rod))


def test_a_rod_is_as_long_as_it_is_drawn_or_as_it_is_made():
    figure = Figure(id="it", name="Stay", quantity="length", of="stay", published="5.1 mm ± 0.2 mm")
    drawn = measured(rod_and_jack(figure))
    assert (drawn.model, drawn.beside, drawn.within_published) == (5.0, None, True)
    made = measured(project := rod_and_jack(figure, length=5.5))
    assert (made.model, made.beside, made.within_published) == (5.5, MadeLength(made=5.5, drawn=5.0), False)
    assert sentence(made, project).endswith("outside the published tolerance. It is made 5.5 mm long and drawn 5 mm.")
    assert to_json(made)["drawn"] == 5.0


def test_a_jack_is_so_long_from_pin_to_pin_at_a_moment():
    figures = (
        Figure(id="drawn", quantity="length", of="brace"),
        Figure(id="up", quantity="length", of="brace", between=[END]),
        Figure(id="travel", quantity="travel", of="brace", between=[{"sequence": "retract", "at": "start"}, END]),
    )
    drawn, up, travel = (one.model or 0.0 for one in run(leg_with_jack(*figures), frames=31).figures)
    assert drawn == pytest.approx((27.0**2 + 26.0**2) ** 0.5)
    assert abs(up - drawn) == pytest.approx(travel)


def test_two_sources_of_a_rod_contradict_each_other_at_whichever_moment():
    one = Figure(id="one", quantity="length", of="stay", published="5.0 mm")
    other = Figure(id="other", quantity="length", of="stay", published="5.4 mm", between=[END])
    project = rod_and_jack(one, other)
    study = evaluate(replace(project, figures=(one, replace(other, between=None))), lambda _: pytest.fail("no"))
    moved = (study[0], replace_figure(study[1], other))
    assert [each.kind for each in conflicts(project, moved)] == [Kind.SOURCES]
    brace = (replace_figure(study[0], replace(one, of="brace")), replace_figure(study[1], replace(other, of="brace")))
    assert isinstance(next(each for each in project.connections if each.id == "brace"), Jack)
    assert conflicts(project, brace) == ()


def replace_figure(one: FigureResult, figure: Figure) -> FigureResult:
    return FigureResult(figure=figure, unit=one.unit, model=one.model, wanted=one.wanted, rounding=one.rounding)
