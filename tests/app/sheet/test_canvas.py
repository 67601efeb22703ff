"""A view under the hand: zoomed, moved, fitted, pointed at and chosen from."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.session import Session
from app.sheet.film import name_of
from app.sheet.sheet import Sheet
from tests.app.sheet.under_hand import at, canvas_of, drag, pixels

# ---- moving about ---------------------------------------------------------------------------------------------------


def test_it_opens_fitted_with_the_whole_motion_in_sight(sheet: Sheet):
    canvas = canvas_of(sheet)
    for x, y in ((-8.6, 16.6), (92.6, -4.0), (0.0, -72.0)):
        assert canvas.rect().contains(at(canvas, x, y))


@pytest.mark.parametrize("notches", [120, -120, 360, 15])
def test_the_wheel_zooms_about_the_pointer(sheet: Sheet, notches: int):
    canvas = canvas_of(sheet)
    place = QPoint(222, 333)
    before, scale = canvas.placement.to_drawing(222, 333), canvas.placement.scale
    there = canvas.mapTo(canvas.window(), place).toPointF()
    QTest.wheelEvent(canvas.window().windowHandle(), there, QPoint(0, notches))
    assert canvas.placement.to_drawing(222, 333) == pytest.approx(before, abs=1e-9)
    assert (canvas.placement.scale > scale) is (notches > 0)


def test_a_trackpad_that_gives_pixels_only_zooms_too(sheet: Sheet):
    canvas = canvas_of(sheet)
    before, scale = canvas.placement.to_drawing(100, 200), canvas.placement.scale
    event = QWheelEvent(
        QPointF(100, 200), QPointF(100, 200), QPoint(0, 30), QPoint(0, 0),
        Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.ScrollUpdate, False,
    )  # fmt: skip
    QApplication.sendEvent(canvas, event)
    assert canvas.placement.scale > scale
    assert canvas.placement.to_drawing(100, 200) == pytest.approx(before, abs=1e-9)


def test_zooming_stops_before_numbers_run_out(sheet: Sheet):
    canvas = canvas_of(sheet)
    for _ in range(200):
        canvas.zoom(2.0)
    assert np.isfinite(canvas.placement.x)
    canvas.grab()
    for _ in range(400):
        canvas.zoom(0.5)
    canvas.grab()
    assert canvas.placement.scale > 0.0


@pytest.mark.parametrize("button", [Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton])
def test_dragging_keeps_what_was_taken_under_the_pointer(sheet: Sheet, session: Session, button: Qt.MouseButton):
    canvas = canvas_of(sheet)
    start, end = QPoint(60, 600), QPoint(160, 540)
    taken = canvas.placement.to_drawing(60, 600)
    drag(canvas, start, end, button)
    assert canvas.placement.to_drawing(160, 540) == pytest.approx(taken)
    assert session.selection is None


def test_a_drag_given_up_goes_back(sheet: Sheet):
    canvas = canvas_of(sheet)
    before = canvas.placement
    QTest.mousePress(canvas, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, QPoint(60, 600))
    QTest.mouseMove(canvas, QPoint(300, 300))
    assert canvas.placement != before
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert canvas.placement == before


def test_keys_fit_and_zoom(sheet: Sheet):
    canvas = canvas_of(sheet)
    fitted = canvas.placement
    QTest.keyClick(canvas, Qt.Key.Key_Plus)
    assert canvas.placement.scale > fitted.scale
    QTest.keyClick(canvas, Qt.Key.Key_Minus)
    assert canvas.placement.scale == pytest.approx(fitted.scale)
    QTest.keyClick(canvas, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    assert canvas.placement.x < fitted.x
    QTest.keyClick(canvas, Qt.Key.Key_F)
    assert canvas.placement == fitted


def test_the_pointers_place_is_told_in_millimetres(sheet: Sheet, qtbot):
    canvas = canvas_of(sheet)
    with qtbot.waitSignal(sheet.pointer_moved) as told:
        QTest.mouseMove(canvas, at(canvas, 20.0, -30.0))
    assert told.args == pytest.approx((20.0, -30.0), abs=0.5 / canvas.placement.scale + 1e-9)


def test_resizing_keeps_the_middle_in_the_middle(sheet: Sheet):
    canvas = canvas_of(sheet)
    middle = canvas.placement.to_drawing(canvas.width() / 2, canvas.height() / 2)
    sheet.resize(1100, 800)
    QApplication.processEvents()
    assert canvas.placement.to_drawing(canvas.width() / 2, canvas.height() / 2) == pytest.approx(middle)


def test_a_fitted_sheet_stays_fitted_and_a_placed_one_keeps_its_middle(sheet: Sheet):
    canvas = canvas_of(sheet)
    canvas.fit()
    sheet.resize(600, 420)
    QApplication.processEvents()
    as_placed = canvas.placement
    canvas.fit()
    assert canvas.placement == as_placed
    canvas.zoom(2.0)
    scale = canvas.placement.scale
    middle = canvas.placement.to_drawing(0.5 * canvas.width(), 0.5 * canvas.height())
    sheet.resize(820, 640)
    QApplication.processEvents()
    assert canvas.placement.scale == scale
    assert canvas.placement.to_drawing(0.5 * canvas.width(), 0.5 * canvas.height()) == pytest.approx(middle, abs=0.5)


def test_a_shallow_clash_is_brought_near_enough_to_be_seen(sheet: Sheet):
    canvas = canvas_of(sheet)
    canvas.bring_near(20.0, -30.0, 4.0)
    afar = canvas.placement.scale
    canvas.fit()
    canvas.bring_near(20.0, -30.0, 0.05)
    assert canvas.placement.scale > 3.0 * afar
    assert 0.05 * canvas.placement.scale >= 4.0
    assert canvas.rect().contains(at(canvas, 20.0, -30.0))


# ---- choosing -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("point", "thing"),
    [
        ((0.0, -30.0), "leg"),
        ((9.0, -65.0), "wheel"),
        ((92.0, 6.0), "airframe"),
        ((43.5, 0.5), "hook"),
        ((83.0, -8.0), "door"),
        ((0.0, 0.0), "leg-pivot"),
        ((0.0, -60.0), "axle"),
        ((17.5, 1.0), "door-rod"),
    ],
)
def test_a_click_chooses_what_is_in_front(sheet: Sheet, session: Session, point: tuple[float, float], thing: str):
    canvas = canvas_of(sheet)
    canvas.zoom(3.0, canvas.placement.to_device(*point))
    QTest.mouseClick(canvas, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, at(canvas, *point))
    assert session.selection == thing


def test_bodies_are_picked_where_the_moment_puts_them(sheet: Sheet, session: Session):
    """Closed form: at the end the leg lies along the x axis, and no longer below its pivot."""
    session.set_moment(4.0)
    canvas = canvas_of(sheet)
    assert canvas.owners_at(canvas.placement.to_device(25.0, 1.0))[0] == "leg"
    assert "leg" not in canvas.owners_at(canvas.placement.to_device(0.0, -30.0))


def test_a_second_click_reaches_what_lies_behind_and_a_third_comes_round(sheet: Sheet, session: Session):
    canvas = canvas_of(sheet)
    place = at(canvas, 0.0, -54.0)
    chosen = []
    for _ in range(3):
        QTest.mouseClick(canvas, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, place)
        chosen.append(session.selection)
    assert chosen == ["leg", "wheel", "leg"]


def test_a_click_on_bare_film_and_escape_let_go(sheet: Sheet, session: Session):
    canvas = canvas_of(sheet)
    session.choose("leg")
    QTest.mouseClick(canvas, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, at(canvas, 60.0, -50.0))
    assert session.selection is None
    session.choose("leg")
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert session.selection is None


def test_hovering_lights_what_is_under_the_pointer_and_names_it(sheet: Sheet, session: Session):
    canvas = canvas_of(sheet)
    plain = pixels(sheet)
    QTest.mouseMove(canvas, at(canvas, 0.0, -30.0))
    QApplication.processEvents()
    assert np.abs(pixels(sheet) - plain).max() > 40
    assert name_of(sheet._shown, "leg") == "Nose leg"
    QTest.mouseMove(canvas, at(canvas, 60.0, -50.0))
    QApplication.processEvents()
    assert np.array_equal(pixels(sheet), plain)


def test_what_goes_from_under_the_pointer_is_named_there_no_more(sheet: Sheet, session: Session):
    canvas = canvas_of(sheet)
    session.set_moment(3.0)
    there = pixels(sheet)
    session.set_moment(0.0)
    QTest.mouseMove(canvas, at(canvas, 0.0, -30.0))
    QApplication.processEvents()
    session.set_moment(3.0)
    QApplication.processEvents()
    assert np.array_equal(pixels(sheet), there)
