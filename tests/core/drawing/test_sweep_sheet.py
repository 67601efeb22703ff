"""Sweeps on paper, at full size where they fit."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.document.project_file import read_project
from core.drawing.drawing import Line
from core.drawing.sweep_sheet import lay_out_sweeps, sweeps_of
from core.errors import SenselessRequest
from core.study import Study, run

SAMPLES = Path(__file__).resolve().parents[3] / "sample_projects"


@pytest.fixture(scope="module")
def study() -> Study:
    """The Merrow's, with its retraction alone."""
    return run(read_project(SAMPLES / "merrow-t2"), sequence="retract")


def test_a_sheet_at_full_size_holds_all_of_the_sweep(study):
    (one,) = study.sequences
    swept = sweeps_of(study, one, ("leg",))
    sweep = swept[0].sweep
    sheet = lay_out_sweeps(study, one, swept)
    assert str(sheet.scale) == "1 : 1"
    (view,) = sheet.frames[0].views
    left, low, right, high = view.room
    x0, y0, x1, y1 = sweep.area.bounds
    assert left < view.x + x0 < view.x + x1 < right
    assert low < view.y + y0 < view.y + y1 < high
    lines = [mark.line for mark in view.drawing.marks]
    assert Line.DIMENSION in lines
    assert "Nose leg" in sheet.title
    assert "left to" in sheet.frames[0].words.drives[0]


def test_every_part_that_moves_where_none_is_named(study):
    parts = {one.sweep.part for one in sweeps_of(study, study.sequences[0], None, step="leg-up")}
    assert {"leg", "wheel"} <= parts
    assert "airframe" not in parts


def test_nothing_swept_is_refused(study):
    with pytest.raises(SenselessRequest):
        lay_out_sweeps(study, study.sequences[0], [])
    with pytest.raises(SenselessRequest, match="has no outline"):
        sweeps_of(study, study.sequences[0], ("nothing",))
