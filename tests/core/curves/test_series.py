"""Values over time: what has one, and what it says."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from core.curves.series import Quantity, Series, Sort, quantities, quantity_of, series_of
from core.document.project_file import read_project
from core.exports.curves import curves_table
from core.findings.finding import Kind
from core.motion.transmission import transmissions_of
from core.study import Study, run
from tests.app.small_aircraft import small_aircraft

SAMPLES = Path(__file__).resolve().parents[3] / "sample_projects"


@cache
def study() -> Study:
    return run(small_aircraft())


def test_a_pivot_has_its_angle_and_its_limits_where_they_are_near():
    series = series_of(study(), study().sequence("retract"), Quantity(Sort.VALUE, ("hinge",)))
    assert (series.title, series.unit, series.limits) == ("Main door hinge", "°", (0, 110))
    assert series.at(0.75) == pytest.approx(46.0)
    assert series.reach == pytest.approx((0.0, 110.0)), "the far limit is near enough to be seen"
    assert series.written(series.at(0.75)) == "46°"


def test_a_drive_has_what_it_is_asked_for():
    series = series_of(study(), study().sequence("retract"), Quantity(Sort.DRIVE, ("gear",)))
    assert series.at(7.2) == pytest.approx(92.0)
    assert series.limits is None


@pytest.mark.parametrize("chosen", [None, "leg", "leg-up", "no-such-thing"])
def test_what_has_no_value_over_time_has_no_curve(chosen: str | None):
    assert quantity_of(study(), study().sequence("retract"), chosen, None) is None


def test_the_pair_of_a_clash_has_its_gap_and_the_clearance_it_should_keep():
    sequence = study().sequence("retract")
    clash = next(one for one in sequence.findings if one.kind == Kind.CLASH)
    series = series_of(study(), sequence, quantity_of(study(), sequence, "hinge", clash))
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


def test_everything_that_has_a_value_is_offered_and_has_a_curve():
    sequence = study().sequence("retract")
    offered = quantities(study(), sequence)
    assert {one.sort for one in offered} >= {Sort.DRIVE, Sort.VALUE, Sort.GAP}
    for one in offered:
        series = series_of(study(), sequence, one)
        assert series is not None, one
        assert len(series.times) == len(series.values)


def test_what_is_not_there_any_more_has_no_curve():
    sequence = study().sequence("retract")
    for sort in Sort:
        assert series_of(study(), sequence, Quantity(sort, ("gone", "too"))) is None


def test_how_a_link_pushes_is_its_transmission_angle():
    merrow = run(read_project(SAMPLES / "merrow-t2"), sequence="retract")
    (sequence,) = merrow.sequences
    one = next(one for one in quantities(merrow, sequence) if one.sort is Sort.TRANSMISSION)
    series = series_of(merrow, sequence, one)
    angles = {(each.link, each.driven): each.angles for each in transmissions_of(sequence.motion)}
    assert np.array_equal(series.values, angles[one.of], equal_nan=True)
    assert series.asked == 40.0


def test_the_spans_of_touching_are_where_the_gap_is_closed():
    sequence = study().sequence("retract")
    clash = next(one for one in sequence.findings if one.kind == Kind.CLASH)
    series = series_of(study(), sequence, Quantity(Sort.GAP, clash.bodies))
    spans = series.touching
    assert any(begin == pytest.approx(clash.begin) and end == pytest.approx(clash.end) for begin, end in spans)


def test_the_table_has_a_column_for_each_curve_and_one_for_what_they_are_over():
    sequence = study().sequence("retract")
    hinge = series_of(study(), sequence, Quantity(Sort.VALUE, ("hinge",)))
    gear = series_of(study(), sequence, Quantity(Sort.DRIVE, ("gear",)))
    lines = curves_table([hinge], gear).splitlines()
    assert lines[0] == f"seconds,{gear.title} (deg),{hinge.title} (deg)"
    assert len(lines) == len(hinge.times) + 1
    seconds, over, value = (float(part) for part in lines[100].split(","))
    assert (over, value) == (pytest.approx(gear.at(seconds), abs=1e-5), pytest.approx(hinge.at(seconds), abs=1e-5))


def test_what_a_curve_does_not_know_is_left_empty():
    broken = Series(title="a", unit="mm", times=np.array([0.0, 1.0]), values=np.array([np.nan, 2.0]))
    assert curves_table([broken]).splitlines()[1:] == ["0.000000,", "1.000000,2.000000"]
