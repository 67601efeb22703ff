"""Curves below the lanes: they follow what is chosen, stay when kept, share the time ruler, and are written."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication, QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QImage, QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog, QMenu

from app.sequence import curve_work
from app.sequence.curve_pens import DASHES, MOST
from app.sequence.curve_picture import FINER, SIZE
from app.sequence.curve_rows import CurveRow
from app.sequence.ribbon_spans import State
from app.settings import Look
from core.curves.quantities import Quantity, Sort, quantities
from core.curves.series import Unit
from core.document.project import Sequence
from core.document.sequence_edits import AddSequence
from core.document.step_edits import SetMove
from core.findings.finding import Kind
from tests.app.small_aircraft import small_aircraft
from tests.app.window import opened_window, settle, wait_for_check

SAMPLE = Path(__file__).resolve().parents[3] / "sample_projects" / "merrow-t2"
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
    settle()
    plot, scale = window.sequence.curves.chart.plot, window.sequence.ruler.scale
    left = plot.mapTo(window.sequence, QPoint(0, 0)).x()
    (series,) = window.sequence.curves.shown
    for moment in (0.0, 1.7, 5.0, scale.seconds):
        spot = plot.laid.spot(series, moment)
        assert spot.x() + left == pytest.approx(scale.x(moment), abs=1e-6)
        assert 0.0 < spot.x() < plot.width(), "nothing of a curve is cut off at either end"
        drawn = plot.curve_place(series.unit, moment, series.at(moment))
        assert (drawn.x(), drawn.y()) == pytest.approx((spot.x(), spot.y()), abs=1e-6), "nor drawn elsewhere"


def test_a_press_in_the_plot_brings_the_rule_there(qtbot, window):
    window.session.choose("leg-pivot")
    settle()
    plot, scale = window.sequence.curves.chart.plot, window.sequence.ruler.scale
    at = QPoint(round(scale.x(2.0)) - plot.mapTo(window.sequence, QPoint(0, 0)).x(), plot.height() // 2)
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


def test_a_curve_that_follows_what_is_chosen_can_be_put_away_until_something_else_is(window):
    curves = window.sequence.curves
    window.session.choose("leg-pivot")
    curves.drop(Quantity(Sort.VALUE, ("leg-pivot",)))
    assert not curves.isVisible()
    window.session.choose("hinge")
    window.session.choose("leg-pivot")
    assert curves.isVisible()


def test_the_buttons_of_a_row_keep_it_and_take_it_away(qtbot, window):
    curves = window.sequence.curves
    window.session.choose("leg-pivot")
    (row,) = curves.findChildren(CurveRow)
    qtbot.mouseClick(row.keep_button, Qt.MouseButton.LeftButton)
    window.session.choose(None)
    settle()
    row = next(one for one in curves.findChildren(CurveRow) if one.isVisible())
    assert row.keep_button.isHidden()
    qtbot.mouseClick(row.drop_button, Qt.MouseButton.LeftButton)
    assert not curves.isVisible()


def test_pressing_a_pair_that_is_clear_shows_its_gap(qtbot, tmp_path: Path):
    with opened_window(qtbot, tmp_path) as window:
        shutil.copytree(SAMPLE, tmp_path / "merrow")
        assert window.keeping.open(tmp_path / "merrow")
        wait_for_check(qtbot, window)
        ribbons, curves = window.sequence.ribbons, window.sequence.curves
        pair = next(one.parts for one in ribbons.ribbons if one.worst is State.CLEAR)
        place = ribbons.place_of(pair)
        QTest.mouseClick(ribbons, Qt.MouseButton.LeftButton, pos=QPoint(40, place.center().y()))
        assert list(curves.shown_quantities) == [Quantity(Sort.GAP, pair)]
        window.session.choose("leg-pivot")
        assert [one.sort for one in curves.shown_quantities] == [Sort.VALUE]


def test_curves_are_drawn_over_another_value(window):
    curves = window.sequence.curves
    curves.keep(HINGE)
    curves.draw_over(GEAR)
    assert "Leg angle" in curves.list.over_button.toolTip()
    laid = curves.chart.plot.laid
    (series,) = curves.shown
    gear = curves.over
    for moment in (0.5, 3.0, 6.0):
        assert laid.spot(series, moment) == QPointF(
            laid.along.pixel(gear.at(moment)), laid.y_of(series, series.at(moment))
        )
        assert series.at(laid.time_near(laid.spot(series, moment), moment)) == pytest.approx(
            series.at(moment), abs=1e-6
        )
    curves.draw_over(None)
    assert curves.list.over_button.toolTip() == "Drawn over time"


def test_there_are_two_axes_and_what_counts_in_a_third_unit_is_not_offered(window):
    curves = window.sequence.curves
    curves.keep(HINGE)
    curves.keep(Quantity(Sort.WAY, ("leg",)))
    assert curves.chart.plot.laid.units == (Unit.MM, Unit.DEGREES)
    assert all(not axis.isHidden() for axis in curves.chart.ups)
    speed = Quantity(Sort.SPEED, ("leg",))
    rows = {part.text(): part.isEnabled() for part in curves.which_menu().actions() if part.text()}
    assert [words for words, enabled in rows.items() if not enabled] == [
        "There are two axes, and none is left for:", "Speeds of bodies",
    ]  # fmt: skip
    curves.keep(speed)
    assert len(curves.shown) == 2
    curves.drop(HINGE)
    assert all(part.isEnabled() for part in curves.which_menu().actions())
    curves.keep(speed)
    assert curves.chart.plot.laid.units == (Unit.MM, Unit.SPEED)


@pytest.mark.parametrize("size", [(1440, 900), (1100, 700)])
def test_curves_that_come_into_a_low_region_are_not_cut(qtbot, window, size):
    window.resize(*size)
    region, curves = window.sequence, window.sequence.curves
    window.regions.setSizes([size[1], 100])
    window.session.choose("leg-pivot")
    curves.draw_over(GEAR)
    qtbot.waitUntil(lambda: curves.mapTo(region, QPoint(0, curves.height())).y() <= region.height())
    along = curves.chart.along
    assert along.isVisible()
    assert along.mapTo(region, QPoint(0, along.height())).y() <= region.height()


def test_only_as_many_as_can_be_told_apart(qtbot, window):
    curves, session = window.sequence.curves, window.session
    for one in quantities(session.study, session.sequence_study):
        curves.keep(one)
    qtbot.waitUntil(lambda: not curves.stale)
    assert len(curves.shown) == MOST == len(set(DASHES))
    assert not curves.list.add_button.isEnabled()
    (row,) = curves.which_menu().actions()
    assert (row.text(), row.isEnabled()) == (f"No more than {MOST} curves can be told apart", False)


def test_the_pointer_has_the_values_where_it_is(qtbot, window):
    curves = window.sequence.curves
    curves.keep(HINGE)
    settle()
    plot = curves.chart.plot
    seen = []
    plot.pointed.connect(seen.append)
    before = plot.grab().toImage()
    at = QPointF(plot.laid.x_at(2.0), 30.0)
    nothing = Qt.MouseButton.NoButton
    moved = QMouseEvent(
        QEvent.Type.MouseMove, at, plot.mapToGlobal(at), nothing, nothing, Qt.KeyboardModifier.NoModifier
    )
    QCoreApplication.sendEvent(plot.viewport(), moved)
    assert seen == [pytest.approx(2.0)]
    assert plot.grab().toImage() != before
    assert window.session.moment == 0.0, "the pointer alone moves nothing"


def test_while_it_is_checked_anew_no_value_is_told(qtbot, window):
    curves = window.sequence.curves
    curves.keep(HINGE)
    assert curves.values[0] != "…"
    window.session.push(SetMove("retract", "leg-up", "gear", 60.0))
    assert curves.values[0] == "…"
    assert curves.stale
    wait_for_check(qtbot, window)
    assert curves.values[0] != "…"


def test_the_ribbon_of_a_chosen_finding_is_in_sight_above_its_curve(qtbot, window):
    clash = next(one for one in window.session.sequence_study.findings if one.kind is Kind.CLASH)
    window.session.show_finding(clash)
    ribbons = window.sequence.ribbons
    qtbot.waitUntil(lambda: ribbons.visibleRegion().contains(ribbons.place_of(clash.bodies).center()))


def test_a_table_is_written(window, tmp_path: Path):
    window.sequence.curves.keep(HINGE)
    window.sequence.curves.write(tmp_path / "curves.csv")
    lines = (tmp_path / "curves.csv").read_text(encoding="utf-8").splitlines()
    assert lines[0] == "seconds,Main door hinge (deg)"
    assert len(lines) == len(window.session.sequence_study.motion.times) + 1


@pytest.mark.parametrize("over", [None, GEAR])
def test_a_picture_is_drawn_in_lines_and_words_and_not_in_pixels(window, tmp_path: Path, over):
    curves = window.sequence.curves
    curves.keep(HINGE)
    curves.keep(Quantity(Sort.GAP, ("leg", "door")))
    curves.draw_over(over)
    curves.write(tmp_path / "curves.svg")
    text = (tmp_path / "curves.svg").read_text(encoding="utf-8")
    assert "<image" not in text
    along = "seconds" if over is None else "Leg angle"
    for word in ("Main door hinge", "Nose leg – Main door", "wanted", "limit", "deg", along):
        assert word in text
    curves.write(tmp_path / "curves.png")
    image = QImage(str(tmp_path / "curves.png"))
    assert image.size() == SIZE * FINER
    inks = {image.pixelColor(x, y).name() for x in range(0, image.width(), 7) for y in range(0, image.height(), 3)}
    assert len(inks) > 3


def test_a_picture_is_the_same_whatever_the_window_wears(window, tmp_path: Path):
    window.sequence.curves.keep(HINGE)
    window.sequence.curves.write(tmp_path / "light.svg")
    window.set_look(Look.DARK)
    window.sequence.curves.write(tmp_path / "dark.svg")
    assert (tmp_path / "light.svg").read_bytes() == (tmp_path / "dark.svg").read_bytes()


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


def test_where_no_curve_is_shown_nothing_is_asked_and_it_is_said(window):
    said, asked = [], []
    window.session.trouble.connect(said.append)
    window.sequence.curves.write_wanted.connect(asked.append)
    window.commands["write-curves"].trigger()
    assert (len(said), asked) == (1, [])
    window.sequence.curves.keep(HINGE)
    window.sequence.curves.ask_to_write()
    assert asked == ["retract-curves.csv"]
    for dialog in window.findChildren(QFileDialog):
        dialog.reject()


def test_a_curve_is_added_by_the_menu_alone(window, monkeypatch):
    popped: list[QMenu] = []
    monkeypatch.setattr(QMenu, "popup", lambda menu, *_: popped.append(menu))
    window.commands["add-curve"].trigger()
    drives = popped[0].actions()[0].menu()
    assert popped[0].actions()[0].text() == "Drives"
    drives.actions()[0].trigger()
    assert [one.title for one in window.sequence.curves.shown] == ["Leg angle"]


def test_what_takes_long_is_measured_away_from_the_window(qtbot, window, monkeypatch):
    curves = window.sequence.curves
    curves.keep(HINGE)
    monkeypatch.setattr(curve_work, "AT_ONCE", 0)
    gap = Quantity(Sort.GAP, ("leg", "door"))
    curves.keep(gap)
    assert [one.title for one in curves.shown] == ["Main door hinge"], "until then the others stay in sight"
    assert curves.values == ("…",)
    qtbot.waitUntil(lambda: not curves.stale)
    assert list(curves.shown_quantities) == [HINGE, gap]
    assert "…" not in curves.values


def test_the_newest_wish_counts(qtbot, window, monkeypatch):
    curves = window.sequence.curves
    monkeypatch.setattr(curve_work, "AT_ONCE", 0)
    gap = Quantity(Sort.GAP, ("leg", "door"))
    curves.keep(gap)
    curves.drop(gap)
    curves.keep(GEAR)
    curves.keep(gap)
    qtbot.waitUntil(lambda: not curves.stale)
    assert list(curves.shown_quantities) == [GEAR, gap]
    curves.drop(gap)
    curves.keep(gap)
    window.session.open(small_aircraft(), None)
    qtbot.waitUntil(lambda: not curves._work._newest._aside.busy)
    settle()
    assert curves.shown == (), "another aircraft has been opened meanwhile"


def test_a_fault_in_measuring_is_said_in_one_line(qtbot, window, monkeypatch):
    said: list[str] = []
    window.session.trouble.connect(said.append)
    monkeypatch.setattr(curve_work, "AT_ONCE", 0)

    def fails(*_: object) -> None:
        raise ValueError("no such\nluck")

    monkeypatch.setattr(curve_work, "all_series", fails)
    window.sequence.curves.keep(Quantity(Sort.GAP, ("leg", "door")))
    qtbot.waitUntil(lambda: bool(said))
    assert said == ["ValueError: no such luck"]


def test_a_window_starts_without_what_draws_curves():
    said = subprocess.run(
        [sys.executable, "-c", "import sys, app.main_window; print('pyqtgraph' in sys.modules)"],
        capture_output=True, text=True, check=True, cwd=SAMPLE.parents[1],
    )  # fmt: skip
    assert said.stdout.strip() == "False"


def test_a_sequence_without_any_time_has_no_curve_and_does_no_harm(qtbot, window):
    curves = window.sequence.curves
    curves.keep(HINGE)
    window.session.set_moment(5.0)
    empty = Sequence(id="empty", name="Empty")
    window.session.push(AddSequence(empty))
    window.session.choose_sequence("empty")
    window.session.choose("leg-pivot")
    wait_for_check(qtbot, window)
    assert not curves.isVisible(), "a dot is no curve, and takes the lanes' room"
    window.session.choose_sequence("retract")
    assert curves.isVisible()
    window.session.set_moment(5.0)
    curves.chart.plot.set_moment(5.0)
    assert window.session.moment == 5.0


def test_a_name_that_has_no_room_beside_its_value_stands_above_it(qtbot, window):
    project = window.session.project
    doors = replace(next(one for one in project.drives if one.id == "doors"), name="Main door on its long piano hinge")
    window.session.open(replace(project, drives=(project.drives[0], doors)), None)
    wait_for_check(qtbot, window)
    curves = window.sequence.curves
    curves.keep(GEAR)
    curves.keep(Quantity(Sort.DRIVE, ("doors",)))
    settle()
    short, long = (row for row in curves.findChildren(CurveRow) if row.isVisible())
    assert (short.two_lines, long.two_lines) == (False, True)
    before = long.height()
    assert before > short.height()
    for moment in (0.0, 2.0, 5.0):
        window.session.set_moment(moment)
        assert long.height() == before, "rows do not jump while a moment is scrubbed"
