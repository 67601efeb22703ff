"""A hand at a window with a small aircraft."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.app.sheet.tools.things import aircraft
from tests.app.sketcher import Sketcher
from tests.app.window import opened_window, settle


@pytest.fixture
def hand(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, aircraft()) as window:
        sketcher = Sketcher(window)
        sketcher.canvas.fit()
        sketcher.canvas.setFocus()
        settle()
        yield sketcher
