"""The window of an aircraft in inches says no millimetre, whatever is found, chosen or measured in it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractItemView, QLabel

from app.panels.finding_model import AMOUNT_ROLE, NOTE_ROLE
from app.sequence.ribbons import told
from core.curves.quantities import Quantity, Sort
from core.curves.series import Unit
from core.document.aircraft_edits import SetLengthUnit
from core.document.project_file import read_project
from tests.app.window import opened_window, settle, wait_for_check

SAMPLES = Path(__file__).resolve().parents[2] / "sample_projects"
MILLIMETRES = re.compile(r"\bmm\b|millimet")
ROLES = (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole, NOTE_ROLE, AMOUNT_ROLE)


@pytest.fixture
def window(qtbot, tmp_path: Path):
    sample = read_project(SAMPLES / "merrow-t2-flawed")
    bare = tuple(replace(view, drawing=None, more_drawings=()) for view in sample.views)
    project = replace(sample, views=bare, length_unit="in", figures=())
    with opened_window(qtbot, tmp_path, project) as window:
        wait_for_check(qtbot, window)
        yield window


def said(window) -> Iterator[str]:
    """Every text of the window that is not typed in: labels, rows of lists, and what is written on the sheet."""
    yield from (label.text() for label in window.findChildren(QLabel))
    for view in window.findChildren(QAbstractItemView):
        model = view.model()
        rows = range(model.rowCount()) if model is not None and view.accessibleName() else ()
        yield from (str(model.data(model.index(row, 0), role)) for row in rows for role in ROLES)
    yield from (label.text for canvas in window.sheet.canvases for label in canvas.drawing.labels)


def in_millimetres(window) -> list[str]:
    return [text for text in said(window) if MILLIMETRES.search(text)]


def test_findings_and_what_is_chosen(window, qtbot):
    session = window.session
    assert in_millimetres(window) == []
    assert any("0.002 in deep" in text for text in said(window)), "the clash's amount"
    assert any(text.startswith("Clash") or "overlap" in text for text in said(window))
    for finding in session.sequence_study.findings:
        session.show_finding(finding)
        settle()
        assert in_millimetres(window) == []
    for thing in ("wheel", "oleo", "brace-jack", "valve-rod", "doors-open"):
        session.choose(thing)
        settle()
        assert in_millimetres(window) == []
        assert any(re.search(r"\bin\b", text) for text in said(window))


def test_ribbons_and_curves(window, qtbot):
    ribbons = [told(one) for one in window.sequence.ribbons.ribbons]
    assert ribbons
    assert not [text for text in ribbons if MILLIMETRES.search(text)]
    assert any(re.search(r"0\.\d{3} in", text) for text in ribbons)
    curves = window.sequence.curves
    curves.keep(Quantity(Sort.VALUE, ("brace-jack",)))
    curves.keep(Quantity(Sort.SPEED, ("leg",)))
    qtbot.waitUntil(lambda: len(curves.shown) == 2)
    assert curves.chart.plot.laid.units == (Unit.INCHES, Unit.INCH_SPEED)
    assert [axis.accessibleName() for axis in curves.chart.ups if not axis.isHidden()] == ["Axis of in", "Axis of in/s"]


def test_another_unit_is_told_as_soon_as_it_is_chosen(window, qtbot):
    window.session.push(SetLengthUnit("mm"))
    wait_for_check(qtbot, window)
    assert any("0.05 mm deep" in text for text in said(window))
    window.session.undo()
    wait_for_check(qtbot, window)
    assert in_millimetres(window) == []
