"""Curves laid over pixels: a curve over another value is the path that it is, also where it turns back."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QPointF

from app.sequence.axes import Reach
from app.sequence.curve_painting import ARROW, BETWEEN_ARROWS, heads_along
from app.sequence.laid_curves import LaidCurves
from app.sequence.time_scale import TimeScale
from core.curves.series import Series, Unit

SECONDS = 2.0 * np.pi
SIZE = (640.0, 200.0)


def round_trip() -> LaidCurves:
    """A circle: sine over cosine, gone through once."""
    times = np.linspace(0.0, SECONDS, 201)
    height = Series(title="height", unit=Unit.MM, times=times, values=np.sin(times))
    along = Series(title="along", unit=Unit.MM, times=times, values=np.cos(times))
    return LaidCurves.of((height,), along, TimeScale(0.0, 600.0, SECONDS), SIZE)


def there_and_back() -> LaidCurves:
    """A line gone through to its end and back again."""
    times = np.array([0.0, 1.0, 2.0])
    height = Series(title="height", unit=Unit.MM, times=times, values=np.array([0.0, 1.0, 0.0]))
    along = Series(title="along", unit=Unit.MM, times=times, values=np.array([0.0, 1.0, 0.0]))
    return LaidCurves.of((height,), along, TimeScale(0.0, 600.0, 2.0), SIZE)


@pytest.mark.parametrize("moment", [0.3, 2.0, 3.5, 5.9])
def test_a_curve_that_is_no_function_goes_through_every_moment(moment: float):
    laid = round_trip()
    (series,) = laid.curves
    spot = laid.spot(series, moment)
    expected = (laid.along.pixel(np.cos(moment)), laid.y_of(series, np.sin(moment)))
    assert (spot.x(), spot.y()) == pytest.approx(expected, abs=0.1)
    assert laid.time_near(spot, 0.0) == pytest.approx(moment, abs=0.01), "and is found there, between frames too"


def test_above_and_below_one_place_are_two_moments():
    laid = round_trip()
    middle = laid.along.pixel(0.0)
    assert laid.time_near(QPointF(middle, 0.0), 0.0) == pytest.approx(np.pi / 2, abs=0.05)
    assert laid.time_near(QPointF(middle, SIZE[1]), 0.0) == pytest.approx(3 * np.pi / 2, abs=0.05)


@pytest.mark.parametrize(("about", "found"), [(0.0, 0.25), (0.9, 0.25), (1.1, 1.75), (2.0, 1.75)])
def test_where_a_curve_comes_back_on_itself_the_moment_stays_on_its_way(about: float, found: float):
    laid = there_and_back()
    (series,) = laid.curves
    assert laid.time_near(laid.spot(series, 0.25), about) == pytest.approx(found)


def test_no_curve_has_no_moment():
    laid = LaidCurves.of((), round_trip().over, TimeScale(0.0, 600.0, SECONDS), SIZE)
    assert laid.time_near(QPointF(3.0, 3.0), 0.0) is None
    nowhere = Series(title="", unit=Unit.MM, times=np.array([0.0, 1.0]), values=np.array([np.nan, 1.0]))
    laid = LaidCurves.of((nowhere,), round_trip().over, TimeScale(0.0, 600.0, SECONDS), SIZE)
    assert laid.time_near(QPointF(3.0, 3.0), 0.0) is None


def test_arrowheads_point_the_way_the_curve_is_gone_through():
    length = 2 * BETWEEN_ARROWS
    there = np.array([0.0, length, 0.0]) + 0j
    heads = heads_along(there)
    assert [way for _, way in heads] == [1, 1, -1, -1]
    assert all(0.0 < at.real < length for at, _ in heads)
    assert heads_along(np.array([0.0, 2 * ARROW]) + 0j) == [], "too short for any"
    assert heads_along(np.array([np.nan, np.nan]) + 0j) == []


@pytest.mark.parametrize("height", [140.0, 480.0])
def test_the_axis_has_its_unit_above_the_topmost_value(height: float):
    laid = LaidCurves.of(round_trip().curves, None, TimeScale(0.0, 600.0, SECONDS), (640.0, height))
    (series,) = laid.curves
    assert laid.y_of(series, 1.0) >= 21.0
    assert laid.y_of(series, -1.0) <= height * 0.95


def test_the_ink_of_a_curve_is_told_closely_and_within_the_plot():
    times = np.array([0.0, 1.0, 2.0, 3.0])
    broken = Series(title="gap", unit=Unit.MM, times=times, values=np.array([0.0, 900.0, np.nan, 0.0]), wanted=0.5)
    laid = LaidCurves.of((broken,), None, TimeScale(0.0, 600.0, 3.0), SIZE)
    assert np.isfinite(laid.ink).all()
    assert (np.abs(np.diff(laid.ink[:-1])) < 5.0).all(), "but where there is no value"
    assert laid.ink.imag.min() > -5.0


def test_a_reach_is_laid_evenly():
    assert Reach(0.0, 10.0, 100.0, 0.0).pixel(2.5) == 75.0
