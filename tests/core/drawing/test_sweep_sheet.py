"""Sweeps on paper, at full size where they fit."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.document.project_file import read_project
from core.drawing.drawing import Line
from core.drawing.sweep_sheet import Swept, lay_out_sweeps
from core.errors import SenselessRequest
from core.interference.sweeps import rooms_left, swept_by
from core.study import run

SAMPLES = Path(__file__).resolve().parents[3] / "sample_projects"


@pytest.fixture(scope="module")
def merrow():
    project = read_project(SAMPLES / "merrow-t2")
    return project, run(project, sequence="retract")


def test_a_sheet_at_full_size_holds_all_of_the_sweep(merrow):
    project, study = merrow
    (one,) = study.sequences
    (sweep,) = swept_by(one.interference.track, ("leg",))
    swept = Swept(sweep=sweep, rooms=rooms_left(sweep, study.parts))
    sheet = lay_out_sweeps(project, one, study.parts, [swept])
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


def test_every_part_that_moves_where_none_is_named(merrow):
    _, study = merrow
    swept = swept_by(study.sequences[0].interference.track, None, step="leg-up")
    assert {"leg", "wheel"} <= {one.part for one in swept}
    assert "airframe" not in {one.part for one in swept}


def test_nothing_swept_is_refused(merrow):
    project, study = merrow
    with pytest.raises(SenselessRequest):
        lay_out_sweeps(project, study.sequences[0], study.parts, [])
    with pytest.raises(SenselessRequest, match="has no outline"):
        swept_by(study.sequences[0].interference.track, ("nothing",))
