"""Values over time: what has one, and what it says."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from core.curves.quantities import Quantity, Sort, quantities, quantity_of, series_of, unit_of
from core.curves.series import Level, Series, Unit, joined
from core.document.project_file import read_project
from core.exports.curves import curves_table
from core.findings.finding import Kind
from core.geometry.planar import point_at
from core.motion.nearness import nearness_of
from core.motion.transmission import transmissions_of
from core.study import Study, run
from tests.app.small_aircraft import small_aircraft

SAMPLES = Path(__file__).resolve().parents[3] / "sample_projects"


@cache
def study() -> Study:
    return run(small_aircraft())


def test_a_pivot_has_its_angle_and_its_limits_where_they_are_near():
    series = series_of(study(), study().sequence("retract"), Quantity(Sort.VALUE, ("hinge",)))
    assert (series.title, series.unit) == ("Main door hinge", Unit.DEGREES)
    assert series.levels == (Level(0, "limit", grave=True), Level(110, "limit", grave=True))
    assert series.at(0.75) == pytest.approx(46.0)
    assert series.reach == pytest.approx((0.0, 110.0)), "the far limit is near enough to be seen"
    assert series.written(series.at(0.75)) == "46°"


def test_a_drive_has_what_it_is_asked_for():
    series = series_of(study(), study().sequence("retract"), Quantity(Sort.DRIVE, ("gear",)))
    assert series.at(7.2) == pytest.approx(92.0)
    assert series.levels == ()


@pytest.mark.parametrize("chosen", [None, "leg", "leg-up", "no-such-thing"])
def test_what_has_no_value_over_time_has_no_curve(chosen: str | None):
    assert quantity_of(study(), study().sequence("retract"), chosen, None) is None


def test_a_rod_that_is_chosen_has_no_curve_of_a_length_that_is_always_the_same():
    merrow = run(read_project(SAMPLES / "merrow-t2"), sequence="retract")
    sequence = merrow.sequence("retract")
    assert quantity_of(merrow, sequence, "door-rod", None) is None
    assert quantity_of(merrow, sequence, "door-jack", None) == Quantity(Sort.VALUE, ("door-jack",))
    assert Quantity(Sort.VALUE, ("door-rod",)) in quantities(merrow, sequence), "who wants it can have it"


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
    flat = Series(title="", unit=Unit.MM, times=np.array([0.0, 1.0]), values=np.array([3.0, 3.0]))
    assert flat.reach == (2.0, 4.0)


def test_limits_far_away_do_not_flatten_the_curve():
    limits = (Level(-0.2, "limit"), Level(500.0, "limit"))
    far = Series(title="", unit=Unit.MM, times=np.array([0.0, 1.0]), values=np.array([0.0, 1.0]), levels=limits)
    assert far.reach == (-0.2, 1.0)
    assert far.seen_levels == limits[:1]


def test_everything_that_has_a_value_is_offered_and_has_a_curve():
    sequence = study().sequence("retract")
    offered = quantities(study(), sequence)
    assert {one.sort for one in offered} >= {Sort.DRIVE, Sort.VALUE, Sort.GAP}
    for one in offered:
        series = series_of(study(), sequence, one)
        assert series is not None, one
        assert len(series.times) == len(series.values)
        assert unit_of(study().project, one) is series.unit


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
    assert series.levels == (Level(40.0, "asked for"),)


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
    broken = Series(title="a", unit=Unit.MM, times=np.array([0.0, 1.0]), values=np.array([np.nan, 2.0]))
    assert curves_table([broken]).splitlines()[1:] == ["0.000000,", "1.000000,2.000000"]


def test_nought_has_no_minus_in_a_table():
    still = Series(title="a", unit=Unit.MM, times=np.array([0.0, 1.0]), values=np.array([-0.0, -4e-7]))
    assert [line.split(",")[1] for line in curves_table([still]).splitlines()[1:]] == ["0.000000", "0.000000"]


# ---- bodies and their points -----------------------------------------------------------------------------------------


def trunnion() -> tuple[float, float]:
    return next(one.at for one in small_aircraft().connections if one.id == "leg-pivot")


def test_a_body_turns_by_what_its_drive_asks_for():
    sequence = study().sequence("retract")
    turned = series_of(study(), sequence, Quantity(Sort.TURN, ("leg",)))
    gear = series_of(study(), sequence, Quantity(Sort.DRIVE, ("gear",)))
    assert np.ptp(turned.values) == pytest.approx(np.ptp(gear.values)) == pytest.approx(92.0)


def test_a_point_goes_along_its_circle():
    """Radius times angle; its speed the same times the drive's rate, in closed form for the eased move."""
    (x, y), radius = trunnion(), 40.0
    sequence = study().sequence("retract")
    point = (x, y - radius)
    way = series_of(study(), sequence, Quantity(Sort.WAY, ("leg",), point))
    assert way.values[-1] == pytest.approx(radius * np.deg2rad(92.0), rel=1e-4)
    across = series_of(study(), sequence, Quantity(Sort.ACROSS, ("leg",), point)).values
    up = series_of(study(), sequence, Quantity(Sort.UP, ("leg",), point)).values
    assert np.hypot(across - x, up - y) == pytest.approx(radius, abs=1e-9)


def test_a_points_speed_is_the_slope_of_its_way():
    """Of s = r a (10 t^3 - 15 t^4 + 6 t^5) the slope is greatest half way, r a / T times 15/8 (from its derivative)."""
    (x, y), radius = trunnion(), 40.0
    sequence = study().sequence("retract")
    step = sequence.schedule.step("leg-up")
    (move,) = step.moves
    factor = 15.0 / 8.0 if move.profile == "eased" else 1.0
    speed = series_of(study(), sequence, Quantity(Sort.SPEED, ("leg",), (x, y - radius)))
    greatest = radius * np.deg2rad(92.0) / (step.end - step.begin) * factor
    assert speed.at(0.5 * (step.begin + step.end)) == pytest.approx(greatest, rel=1e-3)
    assert speed.written(12.345) == "12.3 mm/s"
    assert np.nanmax(speed.values) <= greatest * (1 + 1e-6)


def test_what_stands_still_is_not_offered():
    offered = {one.of for one in quantities(study(), study().sequence("retract")) if one.sort is Sort.SPEED}
    assert ("leg",) in offered
    assert ("airframe",) not in offered


# ---- dead centres ----------------------------------------------------------------------------------------------------


def test_how_far_a_linkage_is_from_standing_in_line_agrees_with_its_nearest_moment():
    merrow = run(read_project(SAMPLES / "merrow-t2"), sequence="retract")
    (sequence,) = merrow.sequences
    nearest = {one.connections: one for one in nearness_of(sequence.motion)}
    offered = [one for one in quantities(merrow, sequence) if one.sort is Sort.DEAD_CENTRE]
    assert len(offered) >= 5
    for one in offered:
        series = series_of(merrow, sequence, one)
        assert np.nanmin(series.values) == pytest.approx(nearest[one.of].distance, abs=1e-6)
        assert np.all(np.diff(series.times) >= 0.0)
        assert series.levels[0].word == "in line"


def test_what_is_left_of_a_brace_is_by_its_triangle():
    """Two lengths meet over a distance while it is no more than their sum and no less than their difference; what is
    left is the nearer of both (Euclid, Elements, book 1, proposition 20)."""
    merrow = run(read_project(SAMPLES / "merrow-t2"), sequence="retract")
    (sequence,) = merrow.sequences
    motion = sequence.motion
    of = ("leg-pivot", "brace-foot", "brace-elbow")
    pins = {one.id: one for one in merrow.project.connections if one.id in of}
    pivot, foot, elbow = (complex(*pins[one].at) for one in of)
    leg, brace = abs(foot - pivot), abs(elbow - foot)
    upper = next(body for body in pins["brace-elbow"].bodies if body not in pins["brace-foot"].bodies)
    there = point_at(motion.poses[:, motion.bodies.index(upper)], elbow)
    apart = np.abs(there - pivot)
    left = np.minimum(leg + brace - apart, apart - abs(leg - brace))
    series = series_of(merrow, sequence, Quantity(Sort.DEAD_CENTRE, of))
    assert [series.at(time) for time in motion.times] == pytest.approx(left, abs=1e-6)


def test_nothing_is_told_between_pieces_that_do_not_meet():
    times, values = joined([(np.array([0.0, 1.0]), np.array([2.0, 3.0])), (np.array([4.0]), np.array([5.0]))])
    assert times.tolist() == [0.0, 1.0, 1.0, 4.0, 4.0]
    assert np.isnan(values[2:4]).all()
    times, values = joined([(np.array([0.0, 1.0]), np.array([2.0, 3.0])), (np.array([1.0]), np.array([3.0]))])
    assert values.tolist() == [2.0, 3.0, 3.0]
