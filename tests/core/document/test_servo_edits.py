"""A servo fitted to a drive limits its pivot, stays in the file, and goes again without a trace."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from core.document.checks import problems
from core.document.project import Drive, Jack, Servo
from core.document.project_file import read_project, write_project
from core.document.servo_edits import FitServo, fit, limits_by
from tests.app.small_aircraft import small_aircraft

SERVO = Servo(name="Hatch servo", torque=180.0, travel=120.0, arm=8.0, speed=0.11)


def pivot(project, one):
    return next(connection for connection in project.connections if connection.id == one)


def drive(project, one="gear") -> Drive:
    return next(held for held in project.drives if held.id == one)


def test_the_pivot_gets_the_servos_travel_from_its_lower_limit_on():
    project = fit(small_aircraft(), "gear", SERVO).apply(small_aircraft())
    assert drive(project).servo == SERVO
    assert pivot(project, drive(project).on).limits == (0.0, 120.0)
    assert problems(project) == ()


def test_without_limits_it_begins_where_the_drive_is_asked_to_stand_lowest():
    project = small_aircraft()
    bare = replace(
        project,
        connections=tuple(replace(one, limits=None) if hasattr(one, "limits") else one for one in project.connections),
        sequences=(replace(project.sequences[0], start={"gear": -12.0}),),
    )
    assert limits_by(bare, drive(bare), 120.0) == (-12.0, 108.0)


def test_taken_away_the_limits_stay():
    fitted = fit(small_aircraft(), "gear", SERVO).apply(small_aircraft())
    bare = fit(fitted, "gear", None)
    assert bare.label.startswith("Take the servo from")
    assert drive(bare.apply(fitted)).servo is None
    assert pivot(bare.apply(fitted), drive(fitted).on).limits == (0.0, 120.0)


def test_the_same_servo_again_or_none_of_that_name_changes_nothing():
    fitted = fit(small_aircraft(), "gear", SERVO).apply(small_aircraft())
    assert FitServo("gear", SERVO).apply(fitted) is fitted
    assert FitServo("nothing", SERVO).apply(fitted) is fitted


def test_it_is_in_the_file(tmp_path: Path):
    fitted = fit(small_aircraft(), "gear", SERVO).apply(small_aircraft())
    write_project(fitted, tmp_path)
    assert read_project(tmp_path) == fitted


@pytest.mark.parametrize(("key", "value"), [("travel", 0.0), ("torque", -1.0), ("arm", 0.0), ("speed", -0.1)])
def test_sizes_that_cannot_be_are_found(key, value):
    project = small_aircraft()
    drives = tuple(
        replace(one, servo=replace(SERVO, **{key: value})) if one.id == "gear" else one for one in project.drives
    )
    (found,) = problems(replace(project, drives=drives))
    assert found.place.startswith("drives")
    assert found.place.endswith(f"servo.{key}") or key in found.place


def test_a_servo_turns_a_pivot_and_nothing_else():
    project = small_aircraft()
    jack = Jack(id="jack", bodies=("airframe", "door"), ends=((20.0, 20.0), (60.0, 0.0)), closed=30.0, stroke=20.0)
    driven = replace(
        project,
        connections=(*project.connections, jack),
        drives=(*project.drives, Drive(id="push", on="jack", servo=SERVO)),
    )
    assert any("a servo turns a pivot" in str(one) for one in problems(driven))
