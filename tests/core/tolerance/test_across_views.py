"""Pairs that are drawn in different views, in built models: against the normal distribution."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace
from scipy.stats import norm

from core.document.project import Body, Drive, Polygon, Project, Sequence, Slide, View, Workshop
from core.study import run
from core.tolerance.measures import What
from core.tolerance.spread import Spread, spread
from core.tolerance.told import to_text
from tests.mechanisms.sketch import exactly_driven, project, step

WITHIN, MODELS = 0.3, 3000
VIEWS = (View(id="side", name="Side elevation", plane="side"), View(id="front", name="Front elevation", plane="front"))


def box(name: str, view: str, low: tuple[float, float], high: tuple[float, float], depth: tuple[float, float]) -> Body:
    corners = (low, (high[0], low[1]), high, (low[0], high[1]))
    fixed = view == "front"
    return Body(id=name, view=view, fixed=fixed, made="drilled", depth=depth, shapes=(Polygon(points=corners),))


def leg_by_a_door(along: tuple[float, float], gap: float, door_from: float, door_top: float) -> Project:
    """A leg of 10 by 20 mm slides in the side view until it is `gap` from a door of the front view, which lies from
    `door_from` on along the station, and up to a waterline."""
    bay = Body(id="bay", view="side", fixed=True, made="drilled")
    leg = box("leg", "side", (0.0, 0.0), (10.0, 20.0), (-5.0, 5.0))
    door = box("door", "front", (-20.0, door_top - 10.0), (20.0, door_top), (door_from, door_from + 30.0))
    one = project((bay, leg, door), (Slide(id="guide", bodies=("bay", "leg"), at=(5.0, 10.0), along=along),), {}, ())
    one = replace(
        one,
        views=VIEWS,
        drives=(Drive(id="push", on="guide"),),
        sequences=(Sequence(id="run", steps=(step("in", 1.0, {"push": 10.0 - gap}),)),),
        workshop=Workshop(play=0.0, tolerances={"drilled": WITHIN}),
    )
    return exactly_driven(one)


def gap_of(one: Project) -> Spread:
    study = run(one)
    found = spread(study, study.sequences[0], models=MODELS)
    assert "Leg and door" in to_text(one, found) or "leg and door" in to_text(one, found)
    (gap,) = (spread for spread in found.spreads if spread.what is What.GAP)
    return gap


@pytest.mark.parametrize(
    ("along", "door_from", "door_top", "edges"),
    [
        ((0.0, -1.0), -10.0, -10.0, 2),
        ((1.0, 0.0), 20.0, 15.0, 1),
    ],
    ids=["down, which both views show", "aft, where the door's face is its depth and has no outline"],
)
def test_the_share_that_stays_clear_is_that_of_the_normal_distribution(
    along: tuple[float, float], door_from: float, door_top: float, edges: int
):
    """Two holes along the way and the edges that face each other, each with a standard deviation of a third of its
    tolerance."""
    found = gap_of(leg_by_a_door(along, 0.3, door_from, door_top))
    sigma = math.sqrt(2.0 + edges) * WITHIN / 3.0
    share = float(norm.sf(0.0, loc=0.3, scale=sigma))
    assert set(found.of) == {"leg", "door"}
    assert found.drawn == pytest.approx(0.3, abs=1e-6)
    assert found.works == pytest.approx(share, abs=4.0 * math.sqrt(share * (1.0 - share) / MODELS))
    assert found.expected == pytest.approx(sigma, rel=1e-3)
    assert found.worst == pytest.approx((2.0 + edges) * WITHIN, rel=1e-3)


def test_one_that_passes_cornerwise_is_as_far_as_both_views_together_say():
    """0.3 mm along the station and 0.4 mm along the waterline, which are 0.5 mm in space: what moves the leg along the
    station changes that by three fifths, and the door's edges, which face the waterline, by four fifths."""
    one = leg_by_a_door((1.0, 0.0), 0.3, 20.0, -0.4)
    found = gap_of(one)
    third = WITHIN / 3.0
    moved = 2.0 * (0.6 * third) ** 2  # both holes along the way; across it the guide lets nothing be off but both alike
    across = 2.0 * (0.8 * third) ** 2
    edges = third**2 + (0.8 * third) ** 2
    assert found.drawn == pytest.approx(0.5, abs=1e-6)
    assert found.expected == pytest.approx(math.sqrt(moved + across + edges), rel=0.02)
