"""A stroke used out of a stroke available, against a leg whose motion is known in closed form, and solved ones."""

from __future__ import annotations

import math
from typing import Any

import pytest
from msgspec.structs import replace

from core.document.checks import problems
from core.document.project import Aircraft, Body, Drive, Figure, Jack, Move, Pivot, Project, Sequence, Slot, Step
from core.figures.conflicts import Kind, conflicts
from core.figures.result import FigureResult, StrokeUse
from core.figures.told import sentence, to_json
from core.report import to_json as study_to_json
from core.study import run
from tests.core.figures.test_evaluate import END, START, UP, leg_with_jack, result, results, stops_apart

INCH = 25.4
USED: dict[str, Any] = {"id": "it", "name": "Brace stroke", "quantity": "stroke", "between": [START, UP]}


def use_of(one: FigureResult) -> StrokeUse:
    assert isinstance(one.beside, StrokeUse)
    return one.beside


def limited(project: Project, thing: str, limits: tuple[float, float]) -> Project:
    connections = tuple(replace(one, limits=limits) if one.id == thing else one for one in project.connections)
    return replace(project, connections=connections)


# ---- common practice with no source: pins 0.109 in apart closed and 1.256 in apart open -----------------------------


@pytest.mark.parametrize("published", ["1 ft 1.85 in ± 0.04 in", "13.85 in ± 0.04 in full size"])
def test_the_stroke_used_is_compared_and_what_is_left_is_told(published: str):
    """1.147 in is 13.76 in at full size, 0.007 in short of the 1.154 in that 1:12 asks; the slide has 1.2 in."""
    figure = Figure(**USED, of="oleo", published=published, full_size=True, shop="0.010 in", confidence="quoted")
    one = result(limited(stops_apart(figure), "oleo", (-0.02 * INCH, 1.18 * INCH)))
    assert one.model == pytest.approx(1.147 * INCH, abs=1e-9)
    assert one.model * 12 / INCH == pytest.approx(13.76, abs=0.005)
    assert one.wanted == pytest.approx(1.154 * INCH, abs=0.0005 * INCH)
    assert one.off == pytest.approx(-0.007 * INCH, abs=0.0005 * INCH)
    assert (one.within_published, one.within_shop, one.is_off) == (False, True, True)
    use = use_of(one)
    assert use.available == pytest.approx(1.2 * INCH)
    assert use.left == (pytest.approx(0.02 * INCH), pytest.approx(0.033 * INCH))


def test_the_sentence_says_both_in_the_aircrafts_unit():
    figure = Figure(**USED, of="oleo", published="13.85 in ± 0.04 in", full_size=True, shop="0.010 in")
    inches = replace(limited(stops_apart(figure), "oleo", (-0.02 * INCH, 1.18 * INCH)), length_unit="in")
    assert sentence(result(inches), inches) == (
        "Brace stroke is 1.147 in, 0.0072 in (0.182 mm; 0.086 in, 2.18 mm at full size) short of 1.154 in: outside the "
        "published tolerance, within the workshop's. It uses 1.147 in of 1.2 in: 0.02 in left at its lower limit, "
        "0.033 in left at its upper limit."
    )


def test_the_published_size_may_be_of_what_is_available():
    figure = Figure(**USED, of="oleo", compared="available", published="14.4 in", full_size=True, shop="0.001 in")
    one = result(limited(stops_apart(figure), "oleo", (0.0, 1.2 * INCH)))
    assert (one.model, one.off) == (pytest.approx(1.2 * INCH), pytest.approx(0.0, abs=1e-9))
    assert use_of(one).used == pytest.approx(1.147 * INCH)
    assert one.within_shop is True


# ---- between moments -------------------------------------------------------------------------------------------------


def test_a_stroke_is_the_most_less_the_least_and_not_the_end_less_the_start():
    """The leg goes to 90° and back to 45°: a travel between the two ends sees half of what was used."""
    figure = Figure(**(USED | {"between": [START, END]}), of="leg-pivot", published="90°")
    one = result(limited(leg_with_jack(figure), "leg-pivot", (-3.0, 95.0)))
    assert (one.unit, one.model, one.off) == ("deg", pytest.approx(90.0), pytest.approx(0.0, abs=1e-9))
    assert use_of(one).left == (pytest.approx(3.0), pytest.approx(5.0))


@pytest.mark.parametrize("start", [-80.0, -100.0, -150.0])
def test_what_turns_between_two_frames_is_found(start: float):
    """A jack is longest as its end passes the line from its other end through the leg's pivot, and the frames miss it:
    its own length there is the sum of the two radii."""
    ends = ((30.0, 14.0), (3.0, -12.0))
    between = [{"sequence": "swing", "at": "start"}, {"sequence": "swing", "at": "end"}]
    figure = Figure(**(USED | {"between": between}), of="brace")
    swing = Sequence(
        id="swing", start={"gear": start}, steps=(Step(id="over", duration=1.0, moves=(Move(drive="gear", to=30.0),)),)
    )
    project = replace(leg_with_jack(figure), sequences=(swing,))
    (one,) = run(project, frames=4).figures
    reach, arm = math.hypot(*ends[0]), math.hypot(*ends[1])
    angle = math.atan2(ends[0][1], ends[0][0]) - math.atan2(ends[1][1], ends[1][0])

    def length(degrees: float) -> float:
        return math.sqrt(reach**2 + arm**2 - 2.0 * reach * arm * math.cos(math.radians(degrees) - angle))

    opposite = math.degrees(angle) - 180.0
    assert start < opposite < 30.0
    assert one.model == pytest.approx(reach + arm - min(length(start), length(30.0)), abs=1e-7)


def test_a_jack_that_goes_beyond_its_stroke_says_by_how_much():
    jack = Figure(**USED, of="brace")
    project = leg_with_jack(jack)
    short = tuple(replace(one, stroke=3.0) if isinstance(one, Jack) else one for one in project.connections)
    one = result(replace(project, connections=short))
    use = use_of(one)
    assert use.available == 3.0
    assert use.left is not None
    assert use.left[0] + use.left[1] + use.used == pytest.approx(3.0)
    assert use.left[1] < 0.0
    assert f"{-use.left[1]:.2f}".rstrip("0") + " mm too far when open." in sentence(one, project)


def test_a_slot_has_its_own_length():
    """A crank of 10 mm turned by 30 degrees draws its pin along a slot that a slider of its own carries."""
    project = Project(
        aircraft=Aircraft(name="Pellow 3"),
        views=leg_with_jack().views,
        bodies=(Body(id="hull", view="side", fixed=True), Body(id="crank", view="side"), Body(id="arm", view="side")),
        connections=(
            Pivot(id="crank-pivot", bodies=("hull", "crank"), at=(0.0, 0.0)),
            Pivot(id="arm-pivot", bodies=("hull", "arm"), at=(-20.0, 0.0)),
            Slot(id="slot", bodies=("arm", "crank"), at=(10.0, 0.0), start=(5.0, 0.0), end=(15.0, 0.0)),
        ),
        drives=(Drive(id="turn", on="crank-pivot"),),
        sequences=(Sequence(id="lift", steps=(Step(id="up", duration=1.0, moves=(Move(drive="turn", to=60.0),)),)),),
        figures=(
            Figure(
                id="it",
                quantity="stroke",
                of="slot",
                between=[{"sequence": "lift", "at": "start"}, {"sequence": "lift", "at": "end"}],
            ),
        ),
    )
    assert problems(project) == ()
    (one,) = run(project).figures
    reached = math.dist((-20.0, 0.0), (10.0 * math.cos(math.pi / 3), 10.0 * math.sin(math.pi / 3)))
    assert one.model == pytest.approx(30.0 - reached, abs=1e-7)
    assert use_of(one).available == pytest.approx(10.0)
    assert use_of(one).left == (pytest.approx(reached - 25.0), pytest.approx(5.0))
    assert "left at its beginning, 5 mm left at its end." in sentence(one, project)


# ---- what cannot be told ---------------------------------------------------------------------------------------------


def test_what_nothing_limits_uses_something_and_has_nothing():
    used, available = results(
        leg_with_jack(
            Figure(**USED, of="oleo"), Figure(**(USED | {"id": "all"}), of="oleo", compared="available", published="8")
        )
    )
    assert (used.model, use_of(used).available, use_of(used).left) == (pytest.approx(7.5), None, None)
    assert "nothing limits it" in sentence(used, leg_with_jack())
    assert available.model is None
    assert "no limits" in available.trouble


def test_a_linkage_that_jams_on_the_way_says_when():
    one = result(leg_with_jack(Figure(**(USED | {"between": [START, END]}), of="brace")), jammed_from=1.0)
    assert one.model is None
    assert "does not go together at 1.20 s" in one.trouble


def test_a_stroke_is_of_one_sequence():
    across = [START, {"sequence": "extend", "at": "end"}]
    (wrong,) = problems(leg_with_jack(Figure(**(USED | {"between": across}), of="oleo")))
    assert "two sequences" in wrong.wrong


# ---- told ------------------------------------------------------------------------------------------------------------


def test_the_json_has_both_and_what_is_left_in_millimetres():
    figure = Figure(**USED, of="oleo", published="13.85 in ± 0.04 in", full_size=True)
    one = result(limited(replace(stops_apart(figure), length_unit="in"), "oleo", (0.0, 30.48)))
    told = to_json(one)
    assert (told["used"], told["available"], told["left"]) == (29.1338, 30.48, [0.0, 1.3462])
    assert told["within_published"] is False


def test_it_is_told_on_the_whole_way_from_a_project():
    study = run(leg_with_jack(Figure(**USED, of="brace", published="200 mm", full_size=True)), frames=31)
    (told,) = study_to_json(study)["figures"]
    assert told["used"] == told["model"]
    assert told["available"] == 20.0
    assert sum(told["left"]) + told["used"] == pytest.approx(20.0, abs=2e-6)


def test_two_sources_of_one_stroke_contradict_each_other_and_used_does_not_contradict_available():
    def against(*figures: Figure) -> list[Kind]:
        project = leg_with_jack(*figures)
        return [one.kind for one in conflicts(project, results(project))]

    one = Figure(**USED, of="brace", published="16.4 mm")
    other = replace(one, id="again", published="17 mm", between=[UP, START])
    assert against(one, other) == [Kind.SOURCES]
    assert against(one, replace(other, compared="available")) == []
    left, right = replace(one, name="Left brace stroke"), replace(other, of="oleo", name="Right brace stroke")
    assert against(left, right) == [Kind.SIDES]
    assert against(left, replace(right, compared="available")) == []
