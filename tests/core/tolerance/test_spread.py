"""How built models spread, against what can be worked out by hand and by scipy's distributions."""

from __future__ import annotations

import dataclasses
import math

import pytest
from msgspec.structs import replace
from scipy.stats import norm

from core.document.project import Body, Circle, Made, Moment, PairRule, Polygon, Project, Target, Workshop
from core.study import run
from core.tolerance.measures import What
from core.tolerance.spread import MODELS, Spread, Spreads, spread
from core.tolerance.told import holds_up, summary, to_json, to_text
from tests.mechanisms.sketch import exactly_driven, frame, moving, pivot, project, rod, slide, step


def spreads(one: Project, **options: int) -> Spreads:
    study = run(one)
    return spread(study, study.sequences[0], **options)


def only(found: Spreads, what: What) -> Spread:
    (one,) = (one for one in found.spreads if one.what is what)
    return one


def block(name: str, left: float, bottom: float, *, fixed: bool = False) -> Body:
    corners = ((left, bottom), (left + 10.0, bottom), (left + 10.0, bottom + 10.0), (left, bottom + 10.0))
    return Body(id=name, view="side", fixed=fixed, made="drilled", shapes=(Polygon(points=corners),))


def sliding(gap: float, within: float) -> Project:
    """A block that slides to `gap` before another; what is drilled is off by `within`, all else is exact."""
    one = project(
        (block("stop", 20.0, 0.0, fixed=True), block("runner", 0.0, 0.0)),
        (slide("guide", "stop", "runner", 5 + 5j, 1),),
        {"push": "guide"},
        (step("in", 1.0, {"push": 10.0 - gap}),),
    )
    rule = PairRule(bodies=("stop", "runner"), rule="check")
    workshop = Workshop(play=0.0, tolerances={"drilled": within})
    return replace(exactly_driven(one), pairs=(rule,), workshop=workshop)


def test_the_share_that_stays_clear_is_that_of_the_normal_distribution():
    """Two holes along the way and two edges, each with a standard deviation of a third of its tolerance."""
    gap, within = 0.3, 0.3
    found = spreads(sliding(gap, within), models=4000)
    one = only(found, What.GAP)
    sigma = 2.0 * within / 3.0
    share = norm.sf(0.0, loc=gap, scale=sigma)
    assert one.works == pytest.approx(share, abs=4.0 * math.sqrt(share * (1.0 - share) / 4000))
    assert one.sigma == pytest.approx(sigma, rel=4.0 / math.sqrt(2.0 * 4000))
    assert one.worst == pytest.approx(4.0 * within, rel=1e-3)
    assert one.usual == pytest.approx(2.0 * within, rel=1e-3)
    assert found.works == one.works


def lever(*, made: Made, play: float) -> Project:
    """A crank that turns a lever by a rod."""
    arm = Body(
        id="lever", view="side", role="leg", shapes=(Polygon(points=((60.0, -1.0), (61.0, 30.0), (59.0, 30.0))),)
    )
    one = project(
        (frame(), *moving("crank"), arm),
        (
            pivot("a", "frame", "crank", 0j),
            pivot("b", "frame", "lever", 60 + 0j),
            rod("rod", "crank", "lever", -20 + 0j, 60 + 20j),
        ),
        {"turn": "a"},
        (step("turn", 1.0, {"turn": 20.0}),),
    )
    return replace(one, workshop=Workshop(made=made, play=play))


@pytest.mark.parametrize("made", ["milled", "drilled", "printed"])
def test_first_order_agrees_with_models_where_the_motion_is_smooth(made: Made):
    """Within four standard errors of a standard deviation, sigma / sqrt(2 N)."""
    found = only(spreads(lever(made=made, play=0.05)), What.PLACE)
    assert found.sigma == pytest.approx(found.expected, rel=4.0 / math.sqrt(2.0 * MODELS))


def test_what_hangs_on_one_pivot_is_off_by_its_holes_and_its_play():
    """Each way: a hole in the ground, one in the leg, and a pin on the rim of its room, whose variance is half its
    square."""
    leg = Body(id="leg", view="side", role="wheel", shapes=(Circle(centre=(0.0, 0.0), radius=5.0),))
    one = project(
        (frame(), leg), (pivot("hip", "frame", "leg", 0j),), {"lift": "hip"}, (step("up", 1.0, {"lift": 90.0}),)
    )
    found = only(spreads(replace(one, workshop=Workshop(made="drilled", play=0.4))), What.PLACE)
    assert found.expected == pytest.approx(math.sqrt(2.0 * (2.0 * (0.2 / 3.0) ** 2 + 0.2**2 / 2.0)), rel=1e-6)
    assert found.worst == pytest.approx(0.2 + 0.2 + 0.2, rel=1e-6)


def brace(past: float, made: Made) -> Project:
    """Two links of 60 mm, `past` mm over the line between their far ends, held open by nothing but that."""
    half = math.sqrt(60.0**2 - past**2)
    one = project(
        (frame(), *moving("upper", "lower", "leg")),
        (
            pivot("top", "frame", "upper", 0j),
            pivot("elbow", "upper", "lower", complex(half, past)),
            pivot("foot", "lower", "leg", complex(2.0 * half, 0.0)),
            pivot("leg-pivot", "frame", "leg", complex(2.0 * half, 90.0)),
        ),
        {"leg": "leg-pivot"},
        (step("rest", 1.0, {"leg": 0.0}),),
    )
    return replace(exactly_driven(one), workshop=Workshop(made=made, play=0.05))


@pytest.mark.parametrize(("past", "made", "drowns"), [(1.5, "drilled", True), (5.0, "turned", False)])
def test_an_over_centre_offset_that_drowns_is_told(past: float, made: Made, drowns: bool):
    """60 mm links 1.5 mm past the line are shortened by 2 (60 - sqrt(60² - 1.5²)) = 0.0375 mm only (elementary), less
    than any drilled hole is off."""
    found = spreads(brace(past, made), models=300)
    ends = [one for one in found.spreads if one.what is What.OVER_CENTRE]
    assert len(ends) == 2  # when it starts and when it ends
    assert [one.drawn for one in ends] == pytest.approx([past, past])
    assert {one.drowns for one in ends} == {drowns}
    assert holds_up(found) is not drowns
    assert ("drowns" in to_text(brace(past, made), found)) is drowns


@pytest.mark.parametrize(("part", "drowns"), [(0.99, True), (1.01, False)])
def test_an_offset_drowns_from_where_it_is_no_more_than_it_may_be_off(part: float, drowns: bool):
    """Set to just below what it may be off at the very worst, and to just above: that falls as the offset grows, since
    what a brace is shortened by goes with the square of it. Nearly all models stand past the line in either."""
    past = 3.0
    for _ in range(6):
        past = math.sqrt(part * past * only_at_start(spreads(brace(past, "turned"), models=100)).worst)
    found = spreads(brace(past, "turned"), models=300)
    one = only_at_start(found)
    assert one.drawn / one.worst == pytest.approx(part, rel=2e-3)
    assert one.works > 0.99
    assert one.drowns is drowns
    assert holds_up(found) is not drowns
    assert to_json(found)["spreads"][0]["drowns"] is drowns


def only_at_start(found: Spreads) -> Spread:
    (one,) = (one for one in found.spreads if one.what is What.OVER_CENTRE and one.time == 0.0)
    return one


def test_a_drive_that_is_not_exact_drowns_a_lock_that_would_hold():
    """The brace is propped by a leg that a servo holds to a degree and a half: at 90 mm its foot may be off by 1.2 mm
    along the line, and the elbow by half of that times 60 / 5 across it."""
    exact = brace(5.0, "turned")
    servo = replace(exact, drives=tuple(replace(one, hysteresis=1.5) for one in exact.drives))
    assert holds_up(spreads(exact, models=100))
    found = spreads(servo, models=100)
    assert only_at_start(found).drowns
    assert "drowns in what it may be off" in to_text(servo, found)


def test_what_matters_most_is_the_worst_made():
    """The runner's edges are filed, all else is nearly exact."""
    one = sliding(0.3, 0.001)
    bodies = tuple(replace(body, made="filed") if body.id == "runner" else body for body in one.bodies)
    holes_exact = replace(one, bodies=bodies)
    found = spreads(holes_exact, models=200)
    assert found.matters is not None
    assert found.matters.dimension.body == "runner"


def test_a_target_missed_by_the_drawing_is_missed_by_the_models():
    leg = Body(id="leg", view="side", role="leg", shapes=(Circle(centre=(0.0, -50.0), radius=5.0),))
    one = project(
        (frame(), leg), (pivot("hip", "frame", "leg", 0j),), {"lift": "hip"}, (step("up", 1.0, {"lift": 90.0}),)
    )
    target = Target(id="stowed", body="leg", at=Moment(at="end"), x=0.0, y=0.0, turn=80.0, within=0.5)
    found = spreads(replace(one, targets=(target,)), models=100)
    missed = only(found, What.TARGET)
    assert missed.works == found.works == 0.0
    assert missed.drawn == pytest.approx(2.0 * 55.0 * math.sin(math.radians(5.0)), rel=1e-3)
    assert "none would work as drawn" in summary(one, found)


def test_the_same_aircraft_spreads_the_same_way():
    assert to_json(spreads(sliding(0.3, 0.2), models=100)) == to_json(spreads(sliding(0.3, 0.2), models=100))


def test_a_workshop_that_makes_nothing_wrong_builds_what_is_drawn():
    one = replace(sliding(0.3, 0.0), workshop=Workshop(play=0.0, tolerances={"drilled": 0.0, "milled": 0.0}))
    found = spreads(one, models=100)
    assert found.dimensions == ()
    assert found.works == 1.0
    assert only(found, What.GAP).low == pytest.approx(0.3)
    assert found.matters is None


def test_the_share_has_its_standard_error():
    found = spreads(sliding(0.3, 0.5), models=400)
    one = only(found, What.GAP)
    assert 0.0 < found.works < 1.0
    assert found.error == one.error == pytest.approx(math.sqrt(found.works * (1.0 - found.works) / 400))
    assert f"give or take {round(400 * found.error)}" in summary(sliding(0.3, 0.5), found)


def test_what_clashes_as_drawn_is_told_and_does_not_hold_up():
    one = sliding(-0.5, 0.05)
    found = spreads(one, models=100)
    assert found.clashes == 1
    assert not holds_up(found)
    assert summary(one, found).startswith(
        "As drawn it has a clash, to be put right first; but for that, of 100 models all"
    )


@pytest.mark.parametrize(
    ("share", "told"),
    [
        (1.0, ""),
        (0.75, "25 could not be put together and driven"),
        (0.0, "None of them could be put together and driven"),
    ],
)
def test_how_many_can_be_put_together_is_told(share: float, told: str):
    one = sliding(0.5, 0.05)
    said = summary(one, dataclasses.replace(spreads(one, models=100), together=share))
    assert told in said
    assert ("put together" in said) is bool(told)


def test_what_jams_as_drawn_is_told_and_not_built():
    """The rod is 40 mm long and its ends come to be 60 mm apart."""
    one = project(
        (frame(), *moving("crank", "lever")),
        (
            pivot("a", "frame", "crank", 0j),
            pivot("b", "frame", "lever", 60 + 0j),
            rod("rod", "crank", "lever", 20 + 0j, 60 + 10j),
        ),
        {"turn": "a"},
        (step("turn", 1.0, {"turn": 180.0}),),
    )
    found = spreads(one)
    assert found.works == 0.0
    assert found.jams is not None
    assert not holds_up(found)
    assert summary(one, found).startswith("It jams as drawn at 0.")
    assert to_json(found)["jams"] == pytest.approx(found.jams, abs=1e-4)


@pytest.mark.parametrize("bodies", [(), (frame(),), moving("adrift")], ids=["empty", "all fixed", "all loose"])
def test_where_nothing_is_joined_every_model_is_as_drawn(bodies: tuple[Body, ...]):
    found = spreads(replace(project(bodies, (), {}, ()), sequences=()), models=100)
    assert (found.works, found.spreads, found.matters) == (1.0, (), None)


def test_the_work_tells_how_far_it_is_and_is_ended_by_what_that_raises():
    told: list[float] = []
    one = sliding(0.3, 0.2)
    study = run(one)
    spread(study, study.sequences[0], models=300, progress=told.append)
    assert told == sorted(told)
    assert told[0] == 0.0
    assert len(told) > 3

    def stop(_share: float) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        spread(study, study.sequences[0], models=300, progress=stop)
