"""In a window of 1100 by 700 nothing of the details is cut off at their side."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtWidgets import QScrollArea

from core.document.project_file import read_project
from tests.app.window import opened_window, settle

SAMPLES = Path(__file__).resolve().parents[2] / "sample_projects"


@pytest.mark.parametrize("sample", ["merrow-t2", "pellow-3"])
def test_every_kind_of_thing_fits(qtbot, tmp_path: Path, sample: str):
    project = read_project(SAMPLES / sample)
    bare = replace(project, views=tuple(replace(view, drawing=None) for view in project.views))
    with opened_window(qtbot, tmp_path, bare) as window:
        window.resize(1100, 700)
        page = window.details.findChild(QScrollArea)
        of_kind = {}
        for one in (*project.bodies, *project.connections, *project.drives, *project.sequences[0].steps):
            of_kind.setdefault((type(one), getattr(one, "role", None)), one.id)
        for thing in of_kind.values():
            window.session.choose(thing)
            settle()
            assert page.widget().width() <= page.viewport().width(), thing
