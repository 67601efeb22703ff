"""What holds of built models whatever the aircraft: orders of worst case and root of squares, and shares."""

from __future__ import annotations

import math

from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.document.project import Body, Made, Moment, Polygon, Project, Target, Workshop
from core.study import run
from core.tolerance.measures import What
from core.tolerance.spread import Spreads, spread
from core.tolerance.told import holds_up, to_json, to_text
from tests.mechanisms.sketch import exactly_driven, frame, gearing, moving, pivot, project, rod, step

MODELS = 120
SLACK = 1e-9
WAYS: tuple[Made, ...] = ("milled", "drilled", "turned")
SMALL = st.floats(0.0, 0.3).map(lambda value: round(value, 3))
EXACT = Workshop(play=0.0, backlash=0.0, tolerances=dict.fromkeys(WAYS, 0.0))


@st.composite
def levers(draw: st.DrawFn) -> Project:
    """A motor turns a crank through gears, and that a lever by a rod; all of them more or less well made."""
    tip = draw(st.floats(25.0, 60.0))
    lever = Body(
        id="lever", view="side", role="leg", made=draw(st.none() | st.sampled_from(WAYS)),
        shapes=(Polygon(points=((70.0, -2.0), (72.0, tip), (68.0, tip))),),
    )  # fmt: skip
    turn = draw(st.floats(-20.0, 20.0))
    within = draw(st.floats(0.05, 2.0))
    one = project(
        (frame(), *moving("motor", "crank"), lever),
        (
            pivot("m", "frame", "motor", -40 + 0j),
            pivot("a", "frame", "crank", 0j),
            pivot("b", "frame", "lever", 70 + 0j),
            rod("rod", "crank", "lever", complex(0.0, draw(st.floats(12.0, 20.0))), 70 + 25j),
            replace(gearing("gears", "m", "a", draw(st.sampled_from((-2.0, -0.5, 1.0)))), backlash=draw(SMALL)),
        ),
        {"turn": "m"},
        (step("turn", 1.0, {"turn": turn}),),
    )
    target = Target(id="there", body="lever", at=Moment(at="start"), x=0.0, y=0.0, turn=0.0, within=within)
    drives = tuple(replace(drive, resolution=draw(SMALL), hysteresis=draw(SMALL)) for drive in one.drives)
    workshop = Workshop(play=draw(SMALL), tolerances={way: draw(SMALL) for way in WAYS})
    return replace(one, drives=drives, targets=(target,), workshop=workshop)


def spreads(one: Project, models: int = MODELS) -> Spreads:
    study = run(one)
    return spread(study, study.sequences[0], models=models)


def share(found: Spreads) -> float:
    return next(one.works for one in found.spreads if one.what is What.TARGET)


@settings(max_examples=25)
@given(levers())
def test_the_worst_case_is_never_inside_the_root_of_squares(one: Project) -> None:
    found = spreads(one)
    for each in found.spreads:
        assert each.worst >= each.usual - SLACK
        assert each.usual >= 0.0
        assert each.worst <= each.usual * math.sqrt(max(1, len(found.dimensions))) + SLACK  # Cauchy and Schwarz
        assert each.low <= each.high + SLACK
        assert 0.0 <= each.works <= found.together <= 1.0
        assert 0.0 <= sum(cause.share for cause in each.causes) <= 1.0 + SLACK
    assert found.works <= min(each.works for each in found.spreads)
    assert isinstance(to_text(one, found), str)
    assert to_json(found)["works"] <= 1.0


@settings(max_examples=15)
@given(levers())
def test_models_without_any_tolerance_all_work_or_none_does(one: Project) -> None:
    bodies = tuple(replace(body, made=None) for body in one.bodies)
    exact = replace(exactly_driven(one), bodies=bodies, workshop=EXACT)
    moved = replace(one.targets[0], x=one.targets[0].within * 2.0)
    found = spreads(exact)
    assert (found.works, found.dimensions) == (1.0, ())
    assert holds_up(found)
    missed = spreads(replace(exact, targets=(moved,)))
    assert missed.works == 0.0
    assert all(each.worst == each.usual == 0.0 for each in (*found.spreads, *missed.spreads))


@settings(max_examples=15)
@given(levers(), st.floats(1.1, 4.0))
def test_what_is_made_worse_works_no_more_often(one: Project, by: float) -> None:
    """The same models, each off by so many times as much, of one that starts where its target wants it: what misses
    it by a little misses it by more. To first order, so that a model or two may go the other way."""
    workshop = one.workshop or Workshop()
    worse = replace(
        one,
        drives=tuple(
            replace(drive, resolution=by * (drive.resolution or 0.0), hysteresis=by * (drive.hysteresis or 0.0))
            for drive in one.drives
        ),
        connections=tuple(
            replace(link, backlash=by * link.backlash) if link.id == "gears" else link for link in one.connections
        ),
        workshop=Workshop(
            play=by * workshop.play, tolerances={way: by * within for way, within in workshop.tolerances.items()}
        ),
    )  # fmt: skip
    assert share(spreads(worse)) <= share(spreads(one)) + 2.0 / MODELS


@settings(max_examples=15)
@given(levers(), st.floats(1.1, 4.0))
def test_what_is_allowed_more_works_no_less_often(one: Project, by: float) -> None:
    wider = replace(one, targets=(replace(one.targets[0], within=by * one.targets[0].within),))
    assert share(spreads(wider)) >= share(spreads(one))
