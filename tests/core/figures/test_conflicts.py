"""Figures that cannot all be right are told; what their tolerances or their last figures allow is not."""

from __future__ import annotations

from typing import Any

import pytest

from core.document.project import Aircraft, Body, Circle, Figure, Pivot, Project, View
from core.figures.conflicts import Conflict, Kind, conflicts
from core.figures.evaluate import evaluate
from core.figures.told import conflict_sentence, conflict_to_json

STOP = {"body": "spar", "point": [0.0, 0.0]}
AXLE = {"body": "spar", "point": [30.0, 0.0]}
CAP = {"body": "spar", "point": [50.0, 0.2]}
ASIDE = {"body": "spar", "point": [20.0, 12.0]}


def project(*figures: Figure, scale: float = 1.0) -> Project:
    return Project(
        aircraft=Aircraft(name="Skarn P.9", scale=scale),
        views=(View(id="front"),),
        bodies=(
            Body(id="spar", view="front", fixed=True, shapes=(Circle(centre=(0.0, 0.0), radius=3.0),)),
            Body(id="leg", view="front", shapes=(Circle(centre=(10.0, 0.0), radius=2.0),)),
        ),
        connections=(Pivot(id="hinge", bodies=("spar", "leg"), at=(10.0, 0.0)),),
        figures=figures,
    )


def distance(name: str, one: Any, other: Any, published: str, **more: Any) -> Figure:
    between = [one, other]
    return Figure(id=name, name=name.title(), quantity="distance", between=between, published=published, **more)


def found(*figures: Figure) -> tuple[Conflict, ...]:
    made = project(*figures)
    return conflicts(made, evaluate(made, lambda _: pytest.fail("nothing moves")))


def test_a_chain_that_does_not_come_to_its_overall():
    overall = distance("span", STOP, CAP, "50 mm")
    chain = (distance("inner", STOP, "hinge", "10 mm"), distance("middle", AXLE, "hinge", "20.0 mm"))
    (only,) = found(overall, *chain, distance("outer", AXLE, CAP, "22 mm"))
    assert (only.kind, only.figures) == (Kind.CHAIN, ("span", "inner", "middle", "outer"))
    assert (only.off, only.allowed) == (pytest.approx(2.0), pytest.approx(0.5 + 0.5 + 0.05 + 0.5))
    assert found(overall, *chain, distance("outer", AXLE, CAP, "21 mm")) == ()
    assert conflict_sentence(only, project(overall, *chain, distance("outer", AXLE, CAP, "22 mm"))) == (
        "Inner + Middle + Outer come to 2 mm more than the overall Span; their figures allow 1.55 mm."
    )


def test_what_lies_beside_the_line_is_no_chain():
    figures = (distance("span", STOP, CAP, "50"), distance("up", STOP, ASIDE, "23"), distance("down", ASIDE, CAP, "32"))
    assert found(*figures) == ()


def test_a_chain_with_tolerances_may_be_off_by_all_of_them():
    span = distance("span", STOP, AXLE, "30 mm ± 0.1 mm")
    inner = distance("inner", STOP, "hinge", "10.15 mm", plus_minus="0.05 mm")
    assert found(span, inner, distance("outer", "hinge", AXLE, "20.00 ± 0.001 mm")) == ()
    assert len(found(span, inner, distance("outer", "hinge", AXLE, "20.01 ± 0.001 mm"))) == 1


def test_left_and_right_that_differ():
    left = distance("left brace", STOP, AXLE, "30.0 mm")
    for name in ("right brace", "Brace, right"):
        right = distance(name, STOP, CAP, "30.4 mm")
        wanted = 1 if name == "right brace" else 0
        assert [one.kind for one in found(left, right)] == [Kind.SIDES] * wanted
    assert found(left, distance("right brace", STOP, CAP, "30.1 mm")) == ()
    assert found(left, distance("left brace 2", STOP, CAP, "31 mm")) == ()
    told = project(left, distance("right brace", STOP, CAP, "30.4 mm"))
    (only,) = found(*told.figures)
    assert conflict_sentence(only, told) == (
        "Left Brace and Right Brace differ between left and right: 0.4 mm apart, and their figures allow 0.1 mm."
    )


def test_two_sources_of_one_size():
    one = distance("track", STOP, "hinge", "10.16 mm", source="works drawing 12")
    other = distance("track again", "hinge", STOP, "0.42 in", source="manual, page 3")
    (only,) = found(one, other)
    assert (only.kind, only.off) == (Kind.SOURCES, pytest.approx(0.42 * 25.4 - 10.16))
    assert only.allowed == pytest.approx(0.005 + 0.127)
    assert conflict_to_json(only)["figures"] == ["track", "track again"]
    assert "works drawing 12 against manual, page 3" in conflict_sentence(only, project(one, other))


def test_both_unit_families_of_one_print_do_not_contradict_each_other():
    """352 mm and 1 ft 1.85 in beside each other: common practice, no source."""
    one = distance("stops", STOP, AXLE, "352 mm ± 1 mm")
    assert found(one, distance("stops in inches", STOP, AXLE, "1 ft 1.85 in ± 0.04 in")) == ()


def test_angles_differ_in_degrees():
    ends = [STOP, "hinge", ASIDE]
    figures = [Figure(id=name, quantity="angle", between=ends, published=text) for name, text in
               (("a", "101° 30'"), ("b", "101.5°"), ("c", "102.5°"))]  # fmt: skip
    assert [one.figures for one in found(*figures)] == [("a", "c"), ("b", "c")]
