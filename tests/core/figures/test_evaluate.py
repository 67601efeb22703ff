"""Published figures against a leg whose motion is known in closed form."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace
from numpy.typing import NDArray

from core.document.checks import problems
from core.document.project import (
    Aircraft,
    Body,
    Circle,
    Drive,
    Figure,
    Jack,
    Move,
    Pivot,
    Project,
    Rod,
    Sequence,
    Slide,
    Step,
    View,
)
from core.figures.evaluate import evaluate
from core.figures.measure import angle_between, value_at
from core.figures.result import FigureResult
from core.figures.told import sentence
from core.mechanism.build import link_alone
from core.motion.motion import Motion
from core.motion.schedule import Schedule, frame_times, lay_out
from core.units import parse_length

Floats = NDArray[np.float64]
START = {"sequence": "retract", "at": "start"}
END = {"sequence": "retract", "at": "end"}
UP = {"sequence": "retract", "after": "leg-up"}
TRAVEL: dict[str, Any] = {"id": "it", "quantity": "travel", "between": [START, UP]}


def leg_with_jack(*figures: Figure, stroke: float = 7.5) -> Project:
    """A leg that turns about the origin, with a jack to it and a piston that slides down it."""
    return Project(
        aircraft=Aircraft(name="Merrow T.2", scale=12.0),
        views=(View(id="side"),),
        bodies=(
            Body(id="airframe", view="side", fixed=True),
            Body(id="leg", name="Nose leg", view="side"),
            Body(id="piston", view="side"),
        ),
        connections=(
            Pivot(id="leg-pivot", bodies=("airframe", "leg"), at=(0.0, 0.0)),
            Slide(id="oleo", bodies=("leg", "piston"), at=(0.0, -40.0), along=(0.0, -2.0)),
            Jack(id="brace", bodies=("airframe", "leg"), ends=((30.0, 14.0), (3.0, -12.0)), closed=30.0, stroke=20.0),
        ),
        drives=(Drive(id="gear", on="leg-pivot"), Drive(id="stroke", on="oleo")),
        sequences=(
            Sequence(
                id="retract",
                steps=(
                    Step(
                        id="leg-up", duration=2.0, moves=(Move(drive="gear", to=90.0), Move(drive="stroke", to=stroke))
                    ),
                    Step(id="settle", duration=1.0, moves=(Move(drive="gear", to=45.0),)),
                ),
            ),
            Sequence(id="extend", start={"gear": 10.0}, steps=(Step(id="leg-down", duration=1.0),)),
        ),
        figures=figures,
    )


def moved(project: Project, sequence_id: str, *, jammed_from: float = math.inf) -> Motion:
    """The leg turns as its drive says, the piston with it and down it: each pose in closed form."""
    schedule = lay_out(next(one for one in project.sequences if one.id == sequence_id))

    def poses_at(times: Floats) -> Floats:
        turn = np.radians([drive_value(schedule, "gear", time) for time in times])
        slid = np.array([drive_value(schedule, "stroke", time) for time in times])
        still = np.zeros_like(turn)
        airframe, leg = (still, still, still), (still, still, turn)
        piston = (slid * np.sin(turn), -slid * np.cos(turn), turn)
        return np.array([airframe, leg, piston]).transpose(2, 0, 1)

    def assembled_at(times: Floats) -> NDArray[np.bool_]:
        return np.array([[True, time < jammed_from, True] for time in times])

    times = frame_times(schedule, 11)
    return Motion(
        schedule=schedule,
        bodies=tuple(body.id for body in project.bodies),
        connections=tuple(connection.id for connection in project.connections),
        drive_ids=("gear", "stroke"),
        times=times,
        poses=poses_at(times),
        drives=np.array([[drive_value(schedule, drive, time) for drive in ("gear", "stroke")] for time in times]),
        values=np.full((len(times), len(project.connections)), math.nan),
        assembled=assembled_at(times),
        poses_at=poses_at,
        assembled_at=assembled_at,
    )


def drive_value(schedule: Schedule, drive: str, time: float) -> float:
    value = schedule.start.get(drive, 0.0)
    for step in schedule.steps:
        for move in step.moves:
            if move.drive == drive:
                value += (move.to - value) * min(1.0, max(0.0, (time - step.begin) / (step.end - step.begin)))
    return value


def results(project: Project, **how: float) -> tuple[FigureResult, ...]:
    assert problems(project) == ()
    return evaluate(project, lambda sequence_id: moved(project, sequence_id, **how))


def result(project: Project, **how: float) -> FigureResult:
    (only,) = results(project, **how)
    return only


def jack_length(degrees: float) -> float:
    turn = math.radians(degrees)
    end = (3.0 * math.cos(turn) + 12.0 * math.sin(turn), 3.0 * math.sin(turn) - 12.0 * math.cos(turn))
    return math.dist(end, (30.0, 14.0))


def test_the_travel_of_a_jack():
    wanted = abs(jack_length(90.0) - jack_length(0.0))
    figure = Figure(
        **TRAVEL,
        of="brace",
        published=f"{wanted * 12 + 1.2:.6f} mm",
        full_size=True,
        plus_minus="1.5 mm",
        shop="0.05 mm",
    )
    one = result(leg_with_jack(figure))
    assert (one.id, one.unit, one.trouble) == ("it", "mm", "")
    assert one.model == pytest.approx(wanted, abs=1e-6)
    assert one.off == pytest.approx(-0.1, abs=1e-6)
    assert one.off_full_size == pytest.approx(-1.2, abs=1e-5)
    assert (one.within_published, one.within_shop) == (True, False)


def test_the_contracts_own_numbers():
    """The file format's example: 318 mm on the prototype is 26.5 mm at 1:12, and 26.38 mm falls 0.12 mm short of it."""
    figure = Figure(**TRAVEL, of="oleo", published="318 mm", plus_minus="1.5 mm", full_size=True, shop="0.1 mm")
    one = result(leg_with_jack(figure, stroke=26.38))
    assert one.model == pytest.approx(26.38, abs=1e-9)
    assert one.wanted == 26.5
    assert (one.off, one.off_full_size) == (pytest.approx(-0.12, abs=1e-9), pytest.approx(-1.44, abs=1e-8))
    assert (one.within_published, one.within_shop) == (True, False)


def test_the_travel_of_a_slide_follows_the_leg_that_carries_it():
    one = result(leg_with_jack(Figure(**TRAVEL, of="oleo", published="3 5/8 in", full_size=True, plus_minus="1/8 in")))
    assert one.model == pytest.approx(7.5, abs=1e-6)
    assert one.wanted == pytest.approx(3.625 * 25.4 / 12.0)
    assert one.within_published is True
    assert one.within_shop is None


def test_the_travel_of_a_pivot_is_an_angle_at_any_size():
    figure = Figure(**TRAVEL, of="leg-pivot", published="89° 30'", plus_minus="1°", shop="15'", full_size=True)
    one = result(leg_with_jack(figure))
    assert (one.unit, one.wanted) == ("deg", 89.5)
    assert one.model == pytest.approx(90.0, abs=1e-7)
    assert one.off == pytest.approx(0.5, abs=1e-7)
    assert one.off_full_size == one.off
    assert (one.within_published, one.within_shop) == (True, False)


def test_a_travel_has_no_sign_and_may_end_anywhere():
    back = {"sequence": "retract", "at": 2.5}
    other = {"sequence": "extend", "at": "start"}
    figures = (
        Figure(id="down", quantity="travel", of="leg-pivot", between=[UP, END]),
        Figure(id="between", quantity="travel", of="leg-pivot", between=[back, UP]),
        Figure(id="across", quantity="travel", of="leg-pivot", between=[other, UP]),
        Figure(
            id="late", quantity="travel", of="leg-pivot", between=[{"at": "start"}, {"sequence": "retract", "at": 99.0}]
        ),
    )
    assert [one.model for one in results(leg_with_jack(*figures))] == pytest.approx([45.0, 22.5, 80.0, 45.0], abs=1e-6)


def test_what_is_just_met_is_within():
    figure = Figure(**TRAVEL, of="oleo", published="7.4 mm", plus_minus="0.1 mm", shop="0.0999 mm")
    one = result(leg_with_jack(figure))
    assert (one.within_published, one.within_shop) == (True, False)


def test_a_figure_that_says_full_size_itself_is_divided_once():
    for full_size in (True, False):
        one = result(leg_with_jack(Figure(**TRAVEL, of="oleo", published="90 mm full size", full_size=full_size)))
        assert one.wanted == 7.5
        assert one.off == pytest.approx(0.0, abs=1e-7)


def test_a_figure_that_is_not_published_is_only_measured():
    one = result(leg_with_jack(Figure(**TRAVEL, of="oleo")))
    assert one.model == pytest.approx(7.5, abs=1e-6)
    assert (one.wanted, one.off, one.off_full_size, one.within_published, one.within_shop) == (None,) * 5


def test_distances_and_angles_between_named_points():
    axle = {"body": "leg", "point": [0, -66]}
    figures = (
        Figure(id="drawn", quantity="distance", between=["leg-pivot", axle], published="66 mm"),
        Figure(id="swing", quantity="distance", between=[axle | {"at": START}, axle | {"at": UP}]),
        Figure(id="rake", quantity="angle", between=[{"pivot": "leg-pivot"}, axle | {"at": UP}]),
        Figure(
            id="corner", quantity="angle", between=[axle, {"pivot": "leg-pivot"}, axle | {"at": UP}], published="90 deg"
        ),
        Figure(
            id="lines",
            quantity="angle",
            between=[axle, {"pivot": "leg-pivot"}, axle | {"at": UP}, {"pivot": "leg-pivot"}],
        ),
    )
    found = {one.id: one for one in results(leg_with_jack(*figures))}
    assert found["drawn"].model == pytest.approx(66.0)
    assert found["drawn"].off == pytest.approx(0.0)
    assert found["swing"].model == pytest.approx(66.0 * math.sqrt(2.0), abs=1e-6)
    assert found["rake"].model == pytest.approx(0.0, abs=1e-6)
    assert found["corner"].model == pytest.approx(90.0, abs=1e-6)
    assert found["lines"].model == pytest.approx(90.0, abs=1e-6)


def test_a_figure_whose_linkage_jams_says_so():
    one = result(leg_with_jack(Figure(**TRAVEL, of="brace", published="318 mm")), jammed_from=1.0)
    assert one.model is None
    assert one.wanted == 318.0
    assert "Nose leg does not get there" in one.trouble


def test_points_on_each_other_have_no_direction():
    figure = Figure(id="it", quantity="angle", between=[{"pivot": "leg-pivot"}, {"body": "leg", "point": [0, 0]}])
    assert "no direction" in result(leg_with_jack(figure)).trouble


def test_figures_of_a_project_that_was_never_checked_say_what_is_wrong():
    bad = (
        Figure(**TRAVEL, of="nothing"),
        Figure(id="it", quantity="travel", of="oleo", between="later"),
        Figure(**TRAVEL, of="oleo", published="three"),
        Figure(id="it", quantity="distance", between="the axle and the pivot"),
        Figure(id="it", quantity="distance", between=["leg-pivot"]),
        Figure(id="it", quantity="distance", between=[{"body": "leg", "point": [0, 0]}, {"body": "leg"}]),
        Figure(
            id="it", quantity="distance", between=[{"body": "leg", "point": [0, 0]}, {"pivot": "x", "point": [0, 0]}]
        ),
        Figure(id="it", quantity="distance", between=[{"body": "leg", "point": [0, 0]}, {"pivot": "never"}]),
        Figure(id="it", quantity="travel", of="oleo", between=[START, {"sequence": "retract", "after": "never"}]),
    )
    project = leg_with_jack(*bad)
    for one in evaluate(project, lambda sequence_id: moved(project, sequence_id)):
        assert one.trouble.endswith(".")
        assert one.model is None


@pytest.mark.parametrize(
    ("points", "degrees"),
    [
        ([(0, 0), (1, 1)], 45.0),
        ([(0, 0), (-1, 0)], 180.0),
        ([(1, 0), (0, 0), (0, 1)], 90.0),
        ([(0, 1), (0, 0), (1, 0)], 90.0),
        ([(-1, 0.001), (0, 0), (-1, -0.001)], 2 * math.degrees(math.atan(0.001))),
        ([(0, 0), (1, 0), (5, 5), (5, 6)], 90.0),
        ([(0, 0), (1, 0), (5, 5), (4, 5)], 180.0),
    ],
)
def test_angles_between_points(points: list[tuple[float, float]], degrees: float):
    assert angle_between([np.array(point, dtype=float) for point in points]) == pytest.approx(degrees)


def test_a_slide_is_measured_along_its_line_as_the_first_body_stands():
    slide = Slide(id="oleo", bodies=("leg", "piston"), at=(3.0, -40.0), along=(0.0, -1.0))
    turn = math.radians(30.0)
    way = np.array([7.0 * math.sin(turn), -7.0 * math.cos(turn)])
    first, second = np.array([1.0, 2.0, turn]), np.array([1.0 + way[0], 2.0 + way[1], turn])
    assert value_at(link_alone(slide), np.array([first, second])) == pytest.approx(7.0)


def test_a_rod_has_no_travel():
    rod = Rod(id="stay", bodies=("a", "b"), ends=((0.0, 0.0), (1.0, 0.0)))
    project = leg_with_jack(Figure(**TRAVEL, of="stay"))
    (one,) = evaluate(replace(project, connections=(*project.connections, rod)), lambda name: moved(project, name))
    assert "nothing of that name that travels" in one.trouble


# ---- common practice with no source: numbers builders work with, on invented parts ----------------------------------


def stops_apart(*figures: Figure) -> Project:
    """A brace jack of the Skarn P.9 at 1:12: pins 0.109 in apart at one end of the stroke and 1.256 in at the other."""
    project = leg_with_jack(*figures, stroke=(1.256 - 0.109) * 25.4)
    return replace(project, aircraft=Aircraft(name="Skarn P.9", scale=12.0))


@pytest.mark.parametrize("published", ["1 ft 1.85 in ± 0.04 in", "13.85 in ± 0.04 in full size"])
def test_a_stroke_outside_the_published_tolerance_at_scale_and_inside_the_shops(published: str):
    """1.147 in makes 13.76 in at full size, 0.007 in short of the 1.154 in that scale asks for."""
    figure = Figure(**TRAVEL, of="oleo", published=published, full_size=True, shop="0.010 in", confidence="quoted")
    one = result(stops_apart(figure))
    assert one.model == pytest.approx(1.147 * 25.4, abs=1e-9)
    assert one.model * 12 / 25.4 == pytest.approx(13.76, abs=0.005)
    assert one.wanted == pytest.approx(1.154 * 25.4, abs=0.0005 * 25.4)
    assert one.off == pytest.approx(-0.007 * 25.4, abs=0.0005 * 25.4)
    assert one.tolerance is not None
    assert one.tolerance.above == pytest.approx(0.04 / 12 * 25.4)
    assert (one.within_published, one.within_shop) == (False, True)
    assert one.is_off


def test_an_oleo_at_a_twelfth():
    """4.284 in is 0.357 in at 1:12; 0.809 in less 0.450 in makes 0.359 in, 0.002 in over."""
    figure = Figure(**TRAVEL, of="oleo", published="4.284 in", full_size=True, shop="0.001 in")
    project = leg_with_jack(figure, stroke=parse_length("0.809 in - 0.450 in"))
    one = result(project)
    assert one.wanted == pytest.approx(0.357 * 25.4, rel=1e-12)
    assert one.off == pytest.approx(0.002 * 25.4, abs=1e-9)
    assert one.within_shop is False
    assert "0.051 mm (0.002 in; 0.61 mm, 0.024 in at full size) more than" in sentence(one, project)


def test_a_tolerance_may_reach_farther_to_one_side():
    up = Figure(**TRAVEL, of="oleo", published="7.4 +0.2/-0 mm")
    down = Figure(**(TRAVEL | {"id": "down"}), of="oleo", published="7.4", plus_minus="+0/-0.2 mm")
    assert [one.within_published for one in results(leg_with_jack(up, down))] == [True, False]


def test_a_gap_is_between_outlines_at_a_moment():
    project = leg_with_jack(
        Figure(id="drawn", quantity="gap", between=[{"body": "airframe"}, {"body": "leg"}], published="2 mm"),
        Figure(id="up", quantity="gap", between=[{"body": "airframe"}, {"body": "leg", "at": UP}]),
        Figure(id="lost", quantity="gap", between=[{"body": "airframe"}, {"body": "piston"}]),
    )
    shapes = {"airframe": Circle(centre=(30.0, 0.0), radius=5.0), "leg": Circle(centre=(0.0, -20.0), radius=4.0)}
    bodies = tuple(replace(one, shapes=(shapes[one.id],) if one.id in shapes else ()) for one in project.bodies)
    drawn, up, lost = results(replace(project, bodies=bodies))
    assert drawn.model == pytest.approx(math.hypot(30.0, 20.0) - 9.0, abs=0.01)
    assert up.model == pytest.approx(10.0 - 9.0, abs=0.01)
    assert "no outline" in lost.trouble
    assert problems(leg_with_jack(Figure(id="it", quantity="gap", between=[{"body": "never"}, {"body": "leg"}])))
