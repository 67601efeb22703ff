"""Curves below the lanes: they follow what is chosen, stay when kept, share the time ruler, and are written."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from app.sequence.time_scale import NAMES_WIDTH
from core.curves.quantities import Quantity, Sort
from core.document.edits import SetMoveTarget
from core.findings.finding import Kind
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window, wait_for_check

HINGE, GEAR = Quantity(Sort.VALUE, ("hinge",)), Quantity(Sort.DRIVE, ("gear",))


@pytest.fixture
def window(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path, small_aircraft()) as window:
        yield window


def test_choosing_a_connection_shows_its_curve_and_letting_it_go_puts_it_away(window):
    curves = window.sequence.curves
    assert not curves.isVisible()
    window.session.choose("leg-pivot")
    assert curves.isVisible()
    assert curves.scale == window.sequence.ruler.scale, "they share the time ruler"
    before = curves.grab().toImage()
    window.session.set_moment(3.0)
    assert curves.grab().toImage() != before
    window.session.choose(None)
    assert not curves.isVisible()


def test_the_rule_in_the_plot_stands_under_the_rule_of_the_lanes(qtbot, window):
    window.session.choose("leg-pivot")
    qtbot.wait(50)
    plot, scale = window.sequence.curves.plot, window.sequence.ruler.scale
    for moment in (0.0, 1.7, 5.0):
        window.session.set_moment(moment)
        box = plot.getPlotItem().vb
        x = box.mapViewToScene(box.viewRange() and plot._rule.pos()).x() + NAMES_WIDTH
        assert x == pytest.approx(scale.x(moment), abs=1.0)


def test_a_press_in_the_plot_brings_the_rule_there(qtbot, window):
    window.session.choose("leg-pivot")
    qtbot.wait(50)
    plot, scale = window.sequence.curves.plot, window.sequence.ruler.scale
    at = QPoint(round(scale.x(2.0)) - NAMES_WIDTH, plot.height() // 2)
    QTest.mouseClick(plot.viewport(), Qt.MouseButton.LeftButton, pos=at)
    assert window.session.moment == pytest.approx(2.0, abs=2 * scale.seconds_per_pixel)


def test_kept_curves_stay_and_are_taken_away(window):
    curves = window.sequence.curves
    curves.keep(HINGE)
    window.session.choose("leg-pivot")
    assert [one.title for one in curves.shown] == ["Main door hinge", "Leg trunnion"]
    window.session.choose(None)
    assert [one.title for one in curves.shown] == ["Main door hinge"]
    curves.drop(HINGE)
    assert not curves.isVisible()


def test_curves_are_drawn_over_another_value(window):
    curves = window.sequence.curves
    curves.keep(HINGE)
    curves.draw_over(GEAR)
    assert curves.over_button.text() == "Over a value"
    low, high = curves.plot.getPlotItem().vb.viewRange()[0]
    reach = curves._over_series.reach
    assert low <= reach[0] < reach[1] <= high
    curves.draw_over(None)
    assert curves.over_button.text() == "Over time"


def test_while_it_is_checked_anew_no_value_is_told(qtbot, window):
    curves = window.sequence.curves
    curves.keep(HINGE)
    assert curves._values[0].text() != "…"
    window.session.push(SetMoveTarget("retract", "leg-up", "gear", 60.0))
    assert curves._values[0].text() == "…"
    wait_for_check(qtbot, window)
    assert curves._values[0].text() != "…"


def test_the_ribbon_of_a_chosen_finding_is_in_sight_above_its_curve(qtbot, window):
    clash = next(one for one in window.session.sequence_study.findings if one.kind is Kind.CLASH)
    window.session.show_finding(clash)
    qtbot.wait(100)
    ribbons = window.sequence.ribbons
    place = ribbons.place_of(clash.bodies)
    assert ribbons.visibleRegion().contains(place.center())


@pytest.mark.parametrize("kind", [".csv", ".svg", ".png"])
def test_they_are_written(window, tmp_path: Path, kind):
    window.sequence.curves.keep(HINGE)
    window.sequence.curves.write(tmp_path / f"curves{kind}")
    assert (tmp_path / f"curves{kind}").stat().st_size > 200


def test_what_cannot_be_written_is_one_line(window, tmp_path: Path):
    said = []
    window.session.trouble.connect(said.append)
    window.sequence.curves.keep(HINGE)
    window._write_curves(tmp_path / "nowhere" / "curves.csv")
    assert len(said) == 1
    assert "could not be written" in said[0]


def test_the_menus_offer_what_has_a_value(window):
    curves = window.sequence.curves
    window.session.choose("leg-pivot")
    menu = curves.which_menu()
    assert [part.text() for part in menu.actions()][:2] == ["Drives", "Connections"]
    menu = curves.over_menu()
    assert menu.actions()[0].text() == "Time"
