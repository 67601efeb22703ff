"""The curves below the lanes: what has one, and what it says."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from app.sequence.series import Series, series_of
from core.findings.finding import Kind
from core.study import Study, run
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window


@cache
def study() -> Study:
    return run(small_aircraft())


def test_a_pivot_has_its_angle_and_its_limits_where_they_are_near():
    series = series_of(study(), study().sequence("retract"), "hinge", None)
    assert (series.title, series.unit, series.limits) == ("Main door hinge", "°", (0, 110))
    assert series.at(0.75) == pytest.approx(46.0)
    assert series.reach == pytest.approx((0.0, 110.0)), "the far limit is near enough to be seen"
    assert series.written(series.at(0.75)) == "46°"


def test_a_drive_has_what_it_is_asked_for():
    series = series_of(study(), study().sequence("retract"), "gear", None)
    assert series.at(7.2) == pytest.approx(92.0)
    assert series.limits is None


@pytest.mark.parametrize("chosen", [None, "leg", "leg-up", "no-such-thing"])
def test_what_has_no_value_over_time_has_no_curve(chosen: str | None):
    assert series_of(study(), study().sequence("retract"), chosen, None) is None


def test_the_pair_of_a_clash_has_its_gap_and_the_clearance_it_should_keep():
    sequence = study().sequence("retract")
    clash = next(one for one in sequence.findings if one.kind == Kind.CLASH)
    series = series_of(study(), sequence, "hinge", clash)
    assert (series.title, series.wanted) == ("Nose leg – Main door", 0.5)
    for moment in (clash.begin, clash.time, clash.end):
        assert series.told(series.at(moment)) == "touching", "also between two frames"
    touching = (series.times > clash.begin) & (series.times < clash.end)
    assert np.all(series.values[touching] == 0.0)
    assert np.nanmax(series.values) > 4.0
    assert series.reach == (0.0, 4.0), "what happens far apart is of no interest"


def test_a_value_that_stays_has_room_about_it():
    flat = Series(title="", unit="mm", times=np.array([0.0, 1.0]), values=np.array([3.0, 3.0]))
    assert flat.reach == (2.0, 4.0)


def test_limits_far_away_do_not_flatten_the_curve():
    far = Series(title="", unit="mm", times=np.array([0.0, 1.0]), values=np.array([0.0, 1.0]), limits=(-0.2, 500.0))
    assert far.reach == (-0.2, 1.0)


def test_choosing_a_connection_shows_its_curve_and_letting_it_go_puts_it_away(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        curve = window.sequence.curve
        assert not curve.isVisible()
        window.session.choose("leg-pivot")
        assert curve.isVisible()
        assert curve.scale == window.sequence.ruler.scale, "they share the time ruler"
        empty = curve.grab().toImage()
        window.session.set_moment(3.0)
        assert curve.grab().toImage() != empty
        window.session.choose(None)
        assert not curve.isVisible()
