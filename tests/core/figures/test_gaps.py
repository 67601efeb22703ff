"""Gaps between bodies, points of them, joints and edges, whose distances are known from plane geometry."""

from __future__ import annotations

import math
from typing import Any

import pytest
from msgspec.structs import replace

from core.document.checks import problems
from core.document.project import Circle, Figure, FigurePoint, Polygon, Project
from core.figures.conflicts import Kind, conflicts
from core.figures.gaps import gap_between
from core.sketch.edges import edge_near, rim_of
from tests.core.figures.test_evaluate import UP, leg_with_jack, results

WALL = Polygon(points=((30.0, -10.0), (40.0, -10.0), (40.0, 10.0), (30.0, 10.0)))
TIP = {"body": "leg", "point": [0.0, -20.0]}
FACE = {"body": "airframe", "edge": [[30.0, -10.0], [30.0, 10.0]]}
TYRE = Circle(centre=(0.0, -66.0), radius=12.0)


def bay(*figures: Figure) -> Project:
    """A wall 30 mm to the right of the pivot of a leg that has a wheel of radius 12 at 66 mm."""
    project = leg_with_jack(*figures)
    shapes = {"airframe": (WALL,), "leg": (TYRE,), "piston": ()}
    return replace(project, bodies=tuple(replace(one, shapes=shapes[one.id]) for one in project.bodies))


def gap(one: Any, other: Any, **more: Any) -> Figure:
    return Figure(id=f"gap-{len(str(one) + str(other))}", quantity="gap", between=[one, other], **more)


@pytest.mark.parametrize(
    ("one", "other", "away"),
    [
        ({"body": "airframe"}, TIP, math.dist((0.0, -20.0), (30.0, -10.0))),
        ({"body": "airframe"}, TIP | {"at": UP}, 10.0),
        (FACE, TIP | {"at": UP}, 10.0),
        ("leg-pivot", FACE, 30.0),
        ("leg-pivot", {"body": "leg"}, 54.0),
        (TIP, {"body": "leg", "edge": [list(corner) for corner in rim_of(TYRE)]}, 34.0),
        (FACE, {"body": "leg", "edge": [list(corner) for corner in rim_of(TYRE)]}, math.dist((0, -66), (30, -10)) - 12),
        ({"body": "airframe", "edge": [[30.0, -10.0], [40.0, -10.0]]}, FACE, 0.0),
        (TIP, TIP | {"at": UP}, 20.0 * math.sqrt(2.0)),
    ],
)
def test_gaps_of_every_sort(one: Any, other: Any, away: float):
    (result,) = results(bay(gap(one, other, published=f"{away:.6f} mm ± 0.01 mm")))
    assert result.trouble == ""
    assert result.model == pytest.approx(away, abs=0.003)
    assert result.within_published is True


def test_a_bulged_edge_is_an_arc_and_ends_where_it_ends():
    arch = FigurePoint(body="airframe", edge=((10.0, 0.0, 1.0), (-10.0, 0.0)))
    project = bay()
    above = FigurePoint(body="airframe", point=(0.0, 25.0))
    below = FigurePoint(body="airframe", point=(0.0, -24.0))
    assert gap_between(project, arch, above, motion_for=_nothing) == pytest.approx(15.0, abs=2e-4)
    assert gap_between(project, arch, below, motion_for=_nothing) == pytest.approx(math.hypot(10.0, 24.0), abs=2e-4)


def _nothing(_: str) -> Any:
    pytest.fail("nothing moves")


@pytest.mark.parametrize(
    "wrong",
    [
        {"body": "leg", "edge": [[0, 0]]},
        {"body": "leg", "edge": [[0, 0], [1, 1]], "point": [0, 0]},
        {"edge": [[0, 0], [1, 1]]},
        {"pivot": "leg-pivot", "edge": [[0, 0], [1, 1]]},
    ],
)
def test_what_is_no_end_of_a_gap_is_not_measured(wrong: Any):
    (result,) = results(bay(gap({"body": "airframe"}, wrong)))
    assert "not clear" in result.trouble


def test_an_edge_of_a_body_that_is_not_there_is_refused():
    (found,) = problems(bay(gap({"body": "airframe"}, {"body": "legg", "edge": [[0, 0], [1, 1]]})))
    assert "did you mean 'leg'" in found.right


def test_a_distance_is_between_points_only():
    (result,) = results(bay(Figure(id="far", quantity="distance", between=["leg-pivot", FACE])))
    assert "not clear" in result.trouble


def test_the_same_gap_from_two_sources_whichever_end_comes_first():
    one = gap(FACE, TIP, published="31.0 mm")
    project = bay(one, replace(one, id="again", between=[TIP, FACE], published="32.0 mm"))
    assert [each.kind for each in conflicts(project, results(project))] == [Kind.SOURCES]


# ---- which edge is meant ---------------------------------------------------------------------------------------------


def test_the_edge_that_a_place_lies_on():
    bar = Polygon(points=((0.0, -2.0), (10.0, -2.0, 1.0), (10.0, 2.0), (0.0, 2.0)), holes=(((4, -1), (6, -1), (5, 1)),))
    assert edge_near([bar], (5.0, -2.0)) == ((0.0, -2.0), (10.0, -2.0))
    assert edge_near([bar], (12.0, 0.0)) == ((10.0, -2.0, 1.0), (10.0, 2.0))
    assert edge_near([bar], (5.0, -1.0)) == ((4, -1), (6, -1))
    assert edge_near([bar, TYRE], (0.0, -54.0)) == rim_of(TYRE)
    assert edge_near([], (0.0, 0.0)) is None
