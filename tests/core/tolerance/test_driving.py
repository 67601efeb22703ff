"""Gearings' backlash and drives' own error: against what can be worked out by hand, and against models that scipy
draws and solves on rows written anew."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import pytest
from msgspec.structs import replace
from scipy.optimize import fsolve
from scipy.stats import norm

from core.document.project import Body, Moment, PairRule, Polygon, Project, Target, Workshop
from core.mechanism.build import build
from core.motion.schedule import lay_out
from core.motion.solve import solve_motion
from core.study import run
from core.tolerance.built import built
from core.tolerance.dimensions import Sort, dimensions_of, drawn_at_random
from core.tolerance.measures import What
from core.tolerance.solve import solve_built
from core.tolerance.spread import Spread, spread
from core.tolerance.told import dimension_words, summary, to_json, workshop_words
from tests.core.tolerance.linkages import GearedFourBar, geared_four_bar
from tests.mechanisms.sketch import exactly_driven, frame, gearing, moving, pivot, project, slide, step

EXACT = Workshop(play=0.0, backlash=0.0, tolerances={"milled": 0.0})


def only(one: Project, what: What, models: int = 2000) -> Spread:
    study = run(one)
    (found,) = (found for found in spread(study, study.sequences[0], models=models).spreads if found.what is what)
    return found


def off_by(count: int, share: float) -> float:
    """Four standard errors of a share of models."""
    return 4.0 * math.sqrt(share * (1.0 - share) / count)


# ---- what can be worked out by hand ----------------------------------------------------------------------------------


def block(name: str, left: float, *, fixed: bool = False) -> Body:
    corners = ((left, 0.0), (left + 10.0, 0.0), (left + 10.0, 10.0), (left, 10.0))
    return Body(id=name, view="side", fixed=fixed, shapes=(Polygon(points=corners),))


def pushed(gap: float, resolution: float, hysteresis: float) -> Project:
    """A block that a drive slides to `gap` before another; nothing but the drive is off."""
    one = project(
        (block("stop", 20.0, fixed=True), block("runner", 0.0)),
        (slide("guide", "stop", "runner", 5 + 5j, 1),),
        {"push": "guide"},
        (step("in", 1.0, {"push": 10.0 - gap}),),
    )
    drives = tuple(replace(drive, resolution=resolution, hysteresis=hysteresis) for drive in one.drives)
    return replace(one, drives=drives, workshop=EXACT, pairs=(PairRule(bodies=("stop", "runner"), rule="check"),))


def test_within_its_resolution_a_drive_stands_anywhere():
    """0.03 mm are left, and the drive is off by up to 0.05 mm either way: it stays clear in 0.8 of the models."""
    found = only(pushed(0.03, 0.1, 0.0), What.GAP)
    assert found.works == pytest.approx(0.8, abs=off_by(2000, 0.8))
    assert found.sigma == pytest.approx(0.05 / math.sqrt(3.0), rel=0.05)
    assert found.worst == found.usual == pytest.approx(0.05, rel=1e-3)


@pytest.mark.parametrize(("hysteresis", "share"), [(0.05, 1.0), (0.07, 0.5)])
def test_a_drive_comes_from_one_side_or_the_other(hysteresis: float, share: float):
    """0.03 mm are left: half of 0.05 mm fits in, and half of 0.07 mm only where it comes from the far side."""
    found = only(pushed(0.03, 0.0, hysteresis), What.GAP)
    assert found.works == pytest.approx(share, abs=off_by(2000, share))
    assert found.sigma == pytest.approx(hysteresis / 2.0, rel=0.01)


def geared(ratio: float, backlash: float, hysteresis: float, within: float) -> Project:
    """A hand of 40 mm behind a pair of gears, and a target where it stands as drawn."""
    hand = Body(id="hand", view="side", role="leg", shapes=(Polygon(points=((60, -1), (100, 0), (60, 1))),))
    one = project(
        (frame(), *moving("wheel"), hand),
        (
            pivot("first", "frame", "wheel", 0j),
            pivot("second", "frame", "hand", 60 + 0j),
            replace(gearing("gears", "first", "second", ratio), backlash=backlash),
        ),
        {"turn": "first"},
        (step("turn", 1.0, {"turn": 0.0}),),
    )
    drives = tuple(replace(drive, resolution=0.0, hysteresis=hysteresis) for drive in one.drives)
    target = Target(id="there", body="hand", at=Moment(at="end"), x=0.0, y=0.0, turn=0.0, within=within)
    return replace(one, drives=drives, workshop=EXACT, targets=(target,))


@pytest.mark.parametrize(("within", "share"), [(0.36, 1.0), (0.34, 0.0)])
def test_backlash_is_a_turn_of_the_second_pivot_to_either_side(within: float, share: float):
    """Half a degree at 40 mm is a chord of 0.3491 mm."""
    found = only(geared(-3.0, 1.0, 0.0, within), What.TARGET)
    assert found.works == share
    assert found.usual == pytest.approx(40.0 * math.radians(0.5), rel=1e-3)
    (cause,) = found.causes
    assert (cause.dimension.sort, cause.dimension.of, cause.dimension.degrees) == (Sort.BACKLASH, "gears", True)


def test_a_drive_s_error_goes_through_the_gears_by_their_ratio():
    """Three times as much at the second pivot, and root of squares and worst case beside the backlash."""
    found = only(geared(-3.0, 1.0, 0.4, 5.0), What.TARGET)
    parts = (40.0 * math.radians(0.5), 40.0 * math.radians(3.0 * 0.2))
    assert found.worst == pytest.approx(sum(parts), rel=1e-3)
    assert found.usual == pytest.approx(math.hypot(*parts), rel=1e-3)


def test_what_is_not_said_is_as_usual_and_told():
    one = geared(-3.0, 1.0, 0.4, 0.1)
    silent = replace(
        one,
        drives=tuple(replace(drive, resolution=None, hysteresis=None) for drive in one.drives),
        connections=tuple(
            replace(link, backlash=None) if link.id == "gears" else link for link in one.connections
        ),
        workshop=Workshop(backlash=0.8),
    )  # fmt: skip
    found = {one.sort: one.within for one in dimensions_of(silent) if one.degrees}
    assert found == {Sort.BACKLASH: 0.4, Sort.RESOLUTION: 0.225, Sort.HYSTERESIS: 0.25}
    words = workshop_words(silent)
    assert "Gearings have 0.8° of backlash" in words
    assert "drives of pivots come to a value in steps of 0.45° and differ by 0.5° between both sides" in words
    assert "earings" not in workshop_words(one)
    assert "drives" not in workshop_words(one)


def test_a_drive_or_gearing_that_matters_is_named_with_its_unit():
    one = geared(-3.0, 1.0, 2.0, 0.1)
    study = run(one)
    found = spread(study, study.sequences[0], models=100)
    assert "Most hangs on the hysteresis of turn" in summary(one, found)
    assert to_json(found)["matters"] | {"share": None} == {
        "sort": "hysteresis", "of": "turn", "body": "", "within": 1.0, "unit": "deg", "share": None,
    }  # fmt: skip
    words = [dimension_words(dim, one) for dim in found.dimensions]
    assert words == ["the backlash of gears", "the hysteresis of turn"]


# ---- another solver --------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Oracle:
    """A geared four-bar as scipy solves it, model by model: poses of coupler and rocker from their pins alone."""

    bar: GearedFourBar

    def rocker(self, off: dict[str, complex], turned: float, lag: float) -> np.ndarray:
        """x, y, turn of the rocker of a model whose pins are `off` from their drawn places, by connection and body,
        when its motor has turned by so many degrees and its gears are so many degrees ahead."""
        bar = self.bar

        def pin(name: str, body: str) -> complex:
            return bar.pins[name] + off[f"{name} {body}"]

        crank = np.exp(1j * math.radians(bar.ratio * turned + lag))
        driven = pin("o2", "frame") + crank * (pin("a", "crank") - pin("o2", "crank"))

        def rows(unknown: np.ndarray) -> list[float]:
            coupler, rocker = (complex(*unknown[at : at + 2]) for at in (0, 3))
            turns = [np.exp(1j * unknown[at]) for at in (2, 5)]
            gaps = (
                coupler + turns[0] * pin("a", "coupler") - driven,
                coupler + turns[0] * pin("b", "coupler") - rocker - turns[1] * pin("b", "rocker"),
                rocker + turns[1] * pin("o4", "rocker") - pin("o4", "frame"),
            )
            return [part for gap in gaps for part in (gap.real, gap.imag)]

        return np.asarray(fsolve(rows, bar.near(turned), xtol=1e-10))[3:]


def offs_of(one: Project, sample: np.ndarray) -> dict[str, complex]:
    """Where the program has put the pins of a model, by connection and body."""
    mechanism = build(one)
    models = built(mechanism, dimensions_of(one), sample[None])
    offs = {}
    for drawn, made in zip(mechanism.links, models.mechanism.links, strict=True):
        if drawn.first >= 0:
            for body, before, after in ((drawn.first, drawn.p, made.p), (drawn.second, drawn.q, made.q)):
                offs[f"{drawn.id} {mechanism.bodies[body]}"] = complex(np.asarray(after).item()) - before
    return offs


def test_each_model_is_what_scipy_makes_of_it():
    bar = geared_four_bar(backlash=1.5, resolution=0.6, hysteresis=0.9, tolerance=0.1, play=0.1)
    one, oracle = bar.project, Oracle(bar)
    mechanism, schedule = build(one), lay_out(one.sequences[0])
    dimensions, times = dimensions_of(one), np.linspace(0.0, schedule.seconds, 5)
    deviations = drawn_at_random(dimensions, 8, seed=11)
    found = solve_built(
        built(mechanism, dimensions, deviations), solve_motion(mechanism, schedule, times), mechanism, times
    )
    column = {one.sort: one.first for one in dimensions if one.degrees}
    rocker = mechanism.bodies.index("rocker")
    for number, sample in enumerate(deviations):
        error = sample[column[Sort.RESOLUTION]] + sample[column[Sort.HYSTERESIS]]
        for frame_number, time in enumerate(times):
            turned = bar.turn * time / schedule.seconds + error
            answer = oracle.rocker(offs_of(one, sample), turned, sample[column[Sort.BACKLASH]])
            assert found.poses[frame_number, number, rocker] == pytest.approx(answer, abs=1e-7)


ORACLES = 1500


def test_shares_and_spreads_are_those_of_models_that_scipy_draws_and_solves():
    """Its own models, its own scatter: within four standard errors of the two shares' difference, and of standard
    deviations. First order holds too: the linkage is far from its dead centres."""
    bar = geared_four_bar(backlash=1.6, resolution=1.2, hysteresis=1.6, tolerance=0.1, play=0.06, within=0.2)
    one, oracle, source = bar.project, Oracle(bar), np.random.default_rng(77)
    corners = np.array([complex(*point) for point in bar.rocker_corners])
    wanted = bar.wanted
    misses = np.empty((ORACLES, len(corners)), dtype=complex)
    for number in range(ORACLES):
        off = {}
        for name, (first, second) in bar.joins.items():
            holes = source.normal(0.0, 0.1 / 3.0, 4)
            off[f"{name} {first}"] = complex(*holes[:2]) + 0.03 * np.exp(1j * source.uniform(-np.pi, np.pi))
            off[f"{name} {second}"] = complex(*holes[2:])
        error = source.uniform(-0.6, 0.6) + (0.8 if source.random() < 0.5 else -0.8)
        lag = 0.8 if source.random() < 0.5 else -0.8
        x, y, turn = oracle.rocker(off, bar.turn + error, lag)
        misses[number] = x + 1j * y + np.exp(1j * turn) * corners - wanted
    found = only(one, What.TARGET, models=ORACLES)
    share = float((np.abs(misses).max(axis=1) <= bar.within).mean())
    assert 0.1 < share < 0.9
    assert found.works == pytest.approx(share, abs=math.sqrt(2.0) * off_by(ORACLES, share))
    far = int(np.argmax(np.abs(misses).mean(axis=0)))
    sigma = math.sqrt(misses[:, far].real.var() + misses[:, far].imag.var())
    assert found.sigma == pytest.approx(sigma, rel=math.sqrt(2.0) * 4.0 / math.sqrt(2.0 * ORACLES))
    assert found.expected == pytest.approx(sigma, rel=4.0 / math.sqrt(2.0 * ORACLES))


def test_the_share_that_a_normal_drive_would_leave_is_not_taken_for_that_of_a_uniform_one():
    """The laws matter: a normal error of the same standard deviation would leave a twentieth more clear or less."""
    found = only(pushed(0.03, 0.1, 0.0), What.GAP)
    as_normal = norm.cdf(0.03 / (0.05 / math.sqrt(3.0)))
    assert abs(found.works - as_normal) > off_by(2000, 0.8)


def test_what_is_exactly_driven_has_no_error_of_its_drives():
    one = exactly_driven(geared_four_bar(backlash=1.0, resolution=1.0, hysteresis=1.0, tolerance=0.1, play=0.1).project)
    assert not any(dim.degrees for dim in dimensions_of(one))
