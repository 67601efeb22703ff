"""Snapping switched off and on, its kinds chosen and the grid typed, and all of it there again the next day."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.sheet.film import Squares
from app.sheet.snap_choice import SnapChoice, kept_choice
from core.sketch.snap_targets import Kind
from tests.app.sheet.tools.things import aircraft, body
from tests.app.sketcher import Sketcher
from tests.app.window import opened_window, settings_in

POPUP = pytest.mark.qt_log_ignore("This plugin does not support (raise|grabbing)")


@pytest.fixture
def hand(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, aircraft()) as window:
        sketcher = Sketcher(window)
        sketcher.canvas.fit()
        yield sketcher


def type_grid(hand: Sketcher, text: str) -> str:
    """Types a grid, and answers why it was refused."""
    hand.command("snapping")
    field = hand.window.sheet.snap_popup.grid
    field.line.selectAll()
    QTest.keyClicks(field.line, text)
    QTest.keyClick(field.line, Qt.Key.Key_Return)
    return field.reason


def drawn_at(hand: Sketcher, start: tuple[float, float], end: tuple[float, float]) -> tuple[float, float]:
    """Where the first corner of a rectangle comes to lie."""
    if hand.window.sheet.tool != "box":
        hand.tool("box")
    hand.click(*start)
    hand.click(*end)
    return hand.window.session.project.bodies[-1].shapes[0].points[0]


def test_with_the_switch_off_a_point_is_where_the_hand_is(hand):
    hand.command("snap")
    assert hand.window.sheet.tray.snap.text() == "Snap: off"
    assert not hand.window.sheet.tray.snap.isChecked()
    assert drawn_at(hand, (-19.6, -19.6), (-10, -10)) != (-20.0, -20.0)
    hand.press_on(hand.window.sheet.tray.snap)
    assert hand.window.commands["snap"].isChecked()
    assert drawn_at(hand, (-25.1, -25.1), (-10, -10)) == (-25.0, -25.0)


@POPUP
def test_a_kind_that_is_switched_off_is_passed_over(hand):
    hand.command("snapping")
    popup = hand.window.sheet.snap_popup
    assert popup.on.hasFocus()
    popup.kinds[Kind.CORNER].click()
    popup.hide()
    hand.tool("pivot")
    at = hand.pixel(30, -20)
    raw = hand.canvas.placement.to_drawing(at.x() + 3, at.y())
    bench = hand.window.sheet.bench
    bench.view = "side"
    assert bench.snapped(raw, bench.reach, None, free=False).kind is not Kind.CORNER
    bench.set_snapping_to(Kind.CORNER, True)
    assert bench.snapped(raw, 1.5, None, free=False).kind is Kind.CORNER


@POPUP
def test_a_typed_grid_is_drawn_by_and_drawn(hand):
    assert type_grid(hand, "5 mm") == ""
    hand.window.sheet.snap_popup.hide()
    assert hand.canvas._squares == Squares(5.0, "metric")
    assert Squares(5.0, "metric").drawn(0.1)[0] == 5.0
    bench = hand.window.sheet.bench
    assert bench.snapped((-19.0, -16.0), 1.5, None, free=False).at == (-20.0, -15.0)
    assert type_grid(hand, "none") == ""
    assert bench.grid is None
    assert bench.snapped((-19.9, -15.1), 1.5, None, free=False).kind is Kind.NOTHING


@POPUP
@pytest.mark.parametrize("text", ["0.001", "nought", "2 km", "5 m"])
def test_a_grid_that_is_none_is_refused_and_the_old_one_stays(hand, text):
    assert "is not taken" in type_grid(hand, text)
    assert hand.window.sheet.bench.grid == 1.0


@POPUP
def test_inches_have_a_grid_of_their_own(hand):
    session = hand.window.session
    session.open(replace(session.project, length_unit="in"), None)
    assert hand.window.sheet.bench.grid == 25.4 / 32
    hand.command("snapping")
    assert hand.window.sheet.snap_popup.grid.line.text() == "1/32 in"
    assert type_grid(hand, "1/16 in") == ""
    choice = hand.window.sheet.bench.snapping
    assert (choice.metric, choice.inch) == (1.0, 25.4 / 16)


def test_it_is_as_it_was_the_next_day(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, aircraft()) as window:
        window.sheet.bench.set_snapping(False)
        window.sheet.bench.set_snapping_to(Kind.GRID, False)
        window.sheet.bench.set_grid(2.5)
    with opened_window(qtbot, tmp_path) as window:
        choice = window.sheet.bench.snapping
        assert (choice.on, Kind.GRID in choice.kinds, Kind.EDGE in choice.kinds, choice.metric) == (
            False,
            False,
            True,
            2.5,
        )
        assert not window.commands["snap"].isChecked()


@pytest.mark.parametrize("text", ["", "wide", "nan", "-3", "1e9"])
def test_a_kept_grid_that_is_none_is_as_if_never_kept(tmp_path: Path, text):
    settings = settings_in(tmp_path)
    settings.keep_text("grid-metric", text)
    assert kept_choice(settings) == SnapChoice()


def test_the_bodies_are_left_alone(hand):
    before = body(hand, "door")
    hand.command("snap")
    hand.command("snap")
    assert body(hand, "door") is before
    assert hand.window.session.undo_label is None
