"""An aircraft in inches is told in inches, whatever is told: nothing says millimetres, and no number slips by 25.4."""

from __future__ import annotations

import dataclasses
import re
from functools import cache
from pathlib import Path

import pytest
from msgspec.structs import replace

from core.curves.quantities import all_series, quantities
from core.curves.shown import shown
from core.document.lengths import (
    fixed_length,
    plain_number,
    shown_length,
    shown_point,
    shown_speed,
    small_length,
    small_step,
    step_length,
)
from core.document.project import Aircraft, InchFraction, Project
from core.document.project_file import read_project
from core.drawing.strip import lay_out_strip
from core.exports.curves import curves_table
from core.findings.moves import to_text as moves_to_text
from core.report import to_json, to_text
from core.study import Study, run
from core.units import parse_length

SAMPLES = Path(__file__).resolve().parents[2] / "sample_projects"
EVERY = sorted(one.parent.name for one in SAMPLES.glob("*/project.json"))
MILLIMETRES = re.compile(r"\bmm\b|millimet")
LENGTH = re.compile(r"(−?\d+(?:\.\d+)?) (mm|in)\b(?!/)")


@cache
def study(name: str, unit: str) -> Study:
    return run(replace(read_project(SAMPLES / name), length_unit=unit), frames=121)


def told(name: str, unit: str) -> str:
    """All but its figures, which are told in both families of units and have tests of their own."""
    one = study(name, unit)
    moves = (moves_to_text(one.project, each.motion) for each in one.sequences)
    bare = dataclasses.replace(one, project=replace(one.project, figures=()), figures=())
    return "\n".join([to_text(bare), *moves])


@pytest.mark.parametrize("name", EVERY)
def test_a_check_in_inches_says_the_same_lengths_and_no_millimetre(name: str):
    metric, inches = told(name, "mm"), told(name, "in")
    assert MILLIMETRES.search(metric)
    assert not MILLIMETRES.search(inches), MILLIMETRES.search(inches)
    pairs = list(zip(LENGTH.findall(metric), LENGTH.findall(inches), strict=True))
    assert len(pairs) > 5
    for (millimetres, mm), (number, unit) in pairs:
        assert (mm, unit) == ("mm", "in")
        away = abs(float(number.replace("−", "-")) * 25.4 - float(millimetres.replace("−", "-")))
        assert away <= 0.5 * (0.0254 + 0.01) + 1e-9, (millimetres, number)


@pytest.mark.parametrize("name", EVERY)
def test_json_stays_in_millimetres(name: str):
    metric, inches = study(name, "mm"), study(name, "in")
    assert to_json(metric) == to_json(inches)


@pytest.mark.parametrize("unit", ["in", "ft"])
def test_curves_are_drawn_and_written_in_inches(unit: str):
    one = study("merrow-t2", unit)
    sequence = one.sequences[0]
    known = [series for _, series in all_series(one, sequence, quantities(one, sequence)[:40])]
    drawn = [shown(one.project, series) for series in known]
    assert {series.unit.plain for series in drawn} == {"in", "deg"}
    for before, after in zip(known, drawn, strict=True):
        share = 1.0 if before.unit is after.unit else 1.0 / 25.4
        assert after.values == pytest.approx(before.values * share, nan_ok=True)
        levels = [level.value * share for level in before.levels]
        assert [level.value for level in after.levels] == pytest.approx(levels)
        assert after.reach == pytest.approx([end * share for end in before.reach])
        assert not MILLIMETRES.search(after.written(float(after.values[0])))
    head = curves_table(drawn).splitlines()[0]
    assert "(in)" in head
    assert not MILLIMETRES.search(head)


def test_a_strip_in_inches_says_no_millimetre():
    one = study("merrow-t2-flawed", "in")
    strip = lay_out_strip(one, one.sequences[0])
    texts = [label.text for label in strip.sheet.labels]
    texts += [label.text for frame in strip.frames for view in frame.views for label in view.drawing.labels]
    assert any(re.search(r"\d in\b", text) for text in texts)
    assert not [text for text in texts if MILLIMETRES.search(text)]


# ---- the one way -----------------------------------------------------------------------------------------------------


def project(unit: str, fraction: InchFraction | None = None) -> Project:
    return Project(aircraft=Aircraft(name="Skarn P.9"), length_unit=unit, inch_fraction=fraction)


@pytest.mark.parametrize(
    ("unit", "shown_", "small", "fixed"),
    [
        ("mm", "25.4 mm", "0.004 mm", "0.50 mm"),
        ("cm", "2.54 cm", "0.0004 cm", "0.050 cm"),
        ("in", "1 in", "0.0002 in", "0.020 in"),
        ("ft", "1 in", "0.0002 in", "0.020 in"),
        ("furlong", "25.4 mm", "0.004 mm", "0.50 mm"),
    ],
)
def test_lengths_in_every_unit(unit: str, shown_: str, small: str, fixed: str):
    assert shown_length(project(unit), 25.4) == shown_
    assert small_length(project(unit), 0.004) == small
    assert fixed_length(project(unit), 0.5) == fixed
    assert small_length(project(unit), 0.0).startswith("0 ")


def test_a_fraction_stands_where_a_length_is_one():
    parts = project("in", 64)
    assert shown_length(parts, 25.4 / 32.0) == fixed_length(parts, 25.4 / 32.0) == "1/32 in"
    assert fixed_length(parts, 1.0) == "0.039 in"


def test_points_and_speeds_say_their_unit_once():
    assert shown_point(project("mm"), (12.5, -3.254), -1) == "12.5, −3.3 mm"
    assert shown_point(project("in"), (25.4, -12.7)) == "1, −0.5 in"
    assert shown_point(project("ft"), (304.8, 0.0)) == "12, 0 in"
    assert (shown_speed(project("mm"), 12.345), shown_speed(project("in"), 12.345)) == ("12.3 mm/s", "0.49 in/s")


def test_a_machine_reads_a_hyphen_and_no_minus_nought():
    assert plain_number(project("in"), -12.7, 2) == "-0.50000"
    assert plain_number(project("mm"), -0.0) == plain_number(project("mm"), -0.001) == "0.00"


@pytest.mark.parametrize(
    ("unit", "fraction", "step"),
    [("cm", None, 1.0), ("in", None, 1.27), ("ft", 64, 25.4 / 32), ("in", 16, 25.4 / 16), ("in", 8, 3.175)],
)
def test_a_key_changes_a_length_by_what_is_told_without_rounding(unit: str, fraction: InchFraction | None, step: float):
    made = project(unit, fraction)
    assert step_length(made) == pytest.approx(step)
    told = shown_length(made, 7 * step_length(made), 1)
    assert parse_length(told) == pytest.approx(7 * step, rel=1e-12)
    assert small_step(made) == (0.01 if unit == "cm" else pytest.approx(0.0127))
