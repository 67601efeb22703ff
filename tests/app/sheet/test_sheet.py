"""The sheet under the hand: zoom, pan, choose, hover, views, ghosts, and what it says of the check."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QImage, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.painting.placement import Placement
from app.painting.theme import DARK, LIGHT
from app.session import Session
from app.sheet.canvas import Canvas
from app.sheet.film import empty_words, name_of, note_of
from app.sheet.framing import scale_words
from app.sheet.head import decimals_of
from app.sheet.sheet import Sheet
from core.document.edits import SetStepDuration
from core.document.look_edits import SetHidden
from core.document.project import TracedDrawing
from core.drawing.drawing import Line, Symbol
from core.findings.finding import Kind
from tests.golden.nose_gear import nose_gear, study_of

PROJECT = nose_gear()


@pytest.fixture
def session() -> Session:
    session = Session()
    session.open(PROJECT, None)
    session.put_study(study_of(PROJECT))
    return session


@pytest.fixture
def sheet(qtbot, session: Session) -> Sheet:
    sheet = Sheet(session, theme=LIGHT)
    qtbot.addWidget(sheet)
    sheet.resize(900, 700)
    sheet.show()
    QApplication.processEvents()
    return sheet


def canvas_of(sheet: Sheet, number: int = 0) -> Canvas:
    return sheet.canvases[number]


def at(canvas: Canvas, x: float, y: float) -> QPoint:
    return canvas.placement.to_device(x, y).toPoint()


def pixels(sheet: Sheet) -> np.ndarray:
    image = canvas_of(sheet).grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    return np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.width(), 4)[:, :, :3].astype(int)


def drag(canvas: Canvas, start: QPoint, end: QPoint, button: Qt.MouseButton = Qt.MouseButton.LeftButton) -> None:
    QTest.mousePress(canvas, button, Qt.KeyboardModifier.NoModifier, start)
    for share in (0.3, 0.7, 1.0):
        QTest.mouseMove(canvas, start + (end - start) * share)
    QTest.mouseRelease(canvas, button, Qt.KeyboardModifier.NoModifier, end)


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
        QTest.qWait(QApplication.doubleClickInterval() + 20)
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


@pytest.mark.parametrize(("pixels", "decimals"), [(0.2, 0), (1.0, 0), (4.0, 1), (10.0, 1), (60.0, 2), (1e7, 4)])
def test_the_pointers_place_has_the_decimals_that_a_pixel_is_worth(pixels: float, decimals: int):
    assert decimals_of(pixels) == decimals


def test_the_pointers_place_does_not_jump_as_its_figures_run(sheet: Sheet):
    canvas = canvas_of(sheet)
    told = []
    for place in (10.0, 10.5, -10.25):
        canvas.pointer_moved.emit(place, 20.0)
        told.append(sheet.head.pointer.text())
    decimals = decimals_of(canvas.placement.scale)
    assert {len(words.split(" mm")[0].rpartition(".")[2]) for words in told} == {decimals}
    assert "−10." in told[-1]


# ---- what is shown --------------------------------------------------------------------------------------------------


def test_scrubbing_moves_the_picture_and_overlaps_are_hatched_live(sheet: Sheet, session: Session):
    start = pixels(sheet)
    session.set_moment(4.0)
    end = pixels(sheet)
    assert (np.abs(end - start).max(axis=2) > 30).mean() > 0.01
    marks = canvas_of(sheet).drawing.marks
    assert [mark.hatched for mark in marks if mark.line is Line.CLASH] == [True]


def test_the_note_says_what_was_checked_and_never_clear_while_checking(sheet: Sheet, session: Session):
    shown = sheet._shown
    assert note_of(shown, "side") == ("nothing overlaps at this moment", "text_soft")
    session.set_moment(4.0)
    assert note_of(shown, "side")[0] == "1 overlap at this moment, 4 mm deep"
    session.push(SetStepDuration("retract", "leg-up", 5.0))
    assert note_of(shown, "side") == ("checking…", "stale")
    session.set_moment(0.0)
    assert note_of(shown, "side") == ("checking…", "stale")
    assert "clear" not in note_of(shown, "side")[0]


def test_a_check_that_failed_is_said_and_does_not_look_like_one_that_is_under_way(sheet: Sheet, session: Session):
    session.push(SetStepDuration("retract", "leg-up", 5.0))
    session.put_failure("too many coincidences")
    assert note_of(sheet._shown, "side") == ("could not be checked", "clash")


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


def test_views_side_by_side_bear_their_names(sheet: Sheet):
    plain = pixels(sheet)[:60, :200]
    sheet.set_views("side", "plan")
    QApplication.processEvents()
    assert (np.abs(pixels(sheet)[:60, :200] - plain).max(axis=2) > 60).sum() > 50


def test_a_stretched_background_is_painted_sharp_when_the_hand_rests(qtbot, tmp_path):
    picture = QImage(200, 200, QImage.Format.Format_RGB32)
    picture.fill(0xFFFFFF)
    for row in range(200):
        picture.setPixel(100, row, 0)
    assert picture.save(str(tmp_path / "side.png"))
    traced = TracedDrawing(file="side.png", opacity=1.0, pixel_to_mm=((0.5, 0, -10), (0, -0.5, 20), (0, 0, 1)))
    session = Session()
    sheet = Sheet(session, theme=LIGHT)
    qtbot.addWidget(sheet)
    sheet.resize(900, 700)
    session.open(replace(PROJECT, views=(replace(PROJECT.views[0], drawing=traced), *PROJECT.views[1:])), tmp_path)
    pixels(sheet)
    canvas_of(sheet).zoom(1.5, QPointF(400, 300))
    stretched = pixels(sheet)
    QTest.qWait(300)
    sharp = pixels(sheet)
    assert np.abs(sharp - stretched).max() > 20
    canvas_of(sheet)._background.forget()
    assert np.array_equal(pixels(sheet), sharp)


def test_an_edited_body_is_drawn_at_once_without_overlaps_that_nobody_has_checked(sheet: Sheet, session: Session):
    session.set_moment(4.0)
    assert any(mark.hatched for mark in canvas_of(sheet).drawing.marks)

    class Widen:
        label = "Widen the leg"

        def apply(self, project):
            leg = next(body for body in project.bodies if body.id == "leg")
            shape = replace(leg.shapes[0], points=((-9, 3), (9, 3), (9, -60), (-9, -60)))
            others = tuple(replace(body, shapes=(shape,)) if body is leg else body for body in project.bodies)
            return replace(project, bodies=others)

    session.push(Widen())
    assert not any(mark.hatched for mark in canvas_of(sheet).drawing.marks)
    assert "leg" in canvas_of(sheet).owners_at(canvas_of(sheet).placement.to_device(25.0, 8.0))


def test_ghosts_come_and_go(sheet: Sheet, session: Session):
    session.set_moment(2.0)

    def ghosts() -> int:
        return sum(mark.line is Line.GHOST for mark in canvas_of(sheet).drawing.marks)

    assert ghosts() == 0
    sheet.set_ghosts(True, False)
    assert ghosts() == 2
    sheet.set_ghosts(True, True)
    assert ghosts() == 4
    sheet.set_ghosts(False, False)
    assert ghosts() == 0


def test_a_button_fits_the_view_again(sheet: Sheet):
    canvas = canvas_of(sheet)
    fitted = canvas.placement
    canvas.zoom(3.0)
    assert canvas.placement != fitted
    QTest.mouseClick(sheet.head.fit, Qt.MouseButton.LeftButton)
    assert canvas.placement == fitted


def test_how_large_the_sheet_stands_cannot_be_taken_for_the_aircrafts_scale():
    """Of paper of 25.4 mm to the inch and 96 pixels to the inch, 3.78 pixels are a millimetre."""
    said = [scale_words(Placement(scale=scale, x=0.0, y=0.0), 96.0 / 25.4) for scale in (0.01, 96.0 / 25.4, 2.5, 9.45)]
    assert said == ["on screen 0.3 %", "on screen 100 %", "on screen 66 %", "on screen 250 %"]


def test_names_can_be_written_on_the_bodies(sheet: Sheet):
    sheet.set_names(True)
    assert "Nose leg" in [label.text for label in canvas_of(sheet).drawing.labels]


def test_choosing_a_finding_brings_its_place_into_sight_and_marks_it(sheet: Sheet, session: Session):
    canvas = canvas_of(sheet)
    canvas.set_placement(canvas.placement.moved(5000.0, 0.0))
    clash = next(finding for finding in session.sequence_study.findings if finding.kind is Kind.CLASH)
    session.show_finding(clash)
    assert canvas.rect().contains(at(canvas, *clash.at))
    assert Symbol.PLACE in {sign.symbol for sign in canvas.drawing.signs}


def test_a_finding_of_another_view_turns_to_that_view(sheet: Sheet, session: Session):
    sheet.set_view("plan")
    session.show_finding(next(finding for finding in session.sequence_study.findings if finding.kind is Kind.CLASH))
    assert sheet.views == ("side",)


def test_views_can_be_changed_and_stand_side_by_side(sheet: Sheet):
    assert sheet.views == ("side",)
    sheet.next_view()
    assert sheet.views == ("plan",)
    sheet.set_view("side")
    sheet.set_side_by_side(True)
    assert sheet.views == ("side", "plan")
    sheet.set_view("plan")  # the two change places
    assert sheet.views == ("plan", "side")
    sheet.set_side_by_side(False)
    assert sheet.views == ("plan",)
    sheet.set_view("no such view")
    assert sheet.views == ("plan",)


def test_two_views_move_together(sheet: Sheet, session: Session):
    sheet.set_views("side", "side")
    session.set_moment(4.0)
    for canvas in sheet.canvases:
        leg = next(mark for mark in canvas.drawing.marks if mark.owner == "leg")
        assert leg.pose[2] == pytest.approx(np.pi / 2)


def test_dark_and_light_are_both_painted(sheet: Sheet):
    light = pixels(sheet)
    sheet.set_theme(DARK)
    QApplication.processEvents()
    dark = pixels(sheet)
    assert light.mean() > 180 > 90 > dark.mean()


def test_a_traced_drawing_lies_under_the_bodies_and_can_be_put_away(qtbot, tmp_path):
    picture = QImage(400, 400, QImage.Format.Format_RGB32)
    picture.fill(0)
    assert picture.save(str(tmp_path / "side.png"))
    traced = TracedDrawing(file="side.png", opacity=1.0, pixel_to_mm=((0.5, 0, -50), (0, -0.5, 50), (0, 0, 1)))
    project = replace(PROJECT, views=(replace(PROJECT.views[0], drawing=traced), *PROJECT.views[1:]))
    session = Session()
    sheet = Sheet(session, theme=LIGHT)
    qtbot.addWidget(sheet)
    sheet.resize(900, 700)
    session.open(project, tmp_path)
    with_picture = pixels(sheet).mean()
    sheet.set_tracing(False)
    assert pixels(sheet).mean() > with_picture + 20


def test_a_view_with_only_a_traced_drawing_is_fitted_to_it(qtbot, tmp_path):
    picture = QImage(400, 200, QImage.Format.Format_RGB32)
    picture.fill(0xFFFFFF)
    assert picture.save(str(tmp_path / "front.png"))
    traced = TracedDrawing(file="front.png", pixel_to_mm=((1.0, 0, 1000), (0, -1.0, 0), (0, 0, 1)))
    project = replace(PROJECT, views=(*PROJECT.views[:2], replace(PROJECT.views[2], drawing=traced)))
    session = Session()
    sheet = Sheet(session, theme=LIGHT)
    qtbot.addWidget(sheet)
    sheet.resize(900, 700)
    session.open(project, tmp_path)
    sheet.set_view("front")
    canvas = canvas_of(sheet)
    canvas.grab()
    assert canvas.rect().contains(at(canvas, 1000.0, 0.0))
    assert canvas.rect().contains(at(canvas, 1400.0, -200.0))


# ---- nothing there --------------------------------------------------------------------------------------------------


def test_without_an_aircraft_it_says_what_to_do(qtbot):
    sheet = Sheet(Session(), theme=LIGHT)
    qtbot.addWidget(sheet)
    sheet.grab()
    assert empty_words(sheet._shown, None, canvas_of(sheet).drawing)[0] == "No aircraft is open"


def test_a_view_without_bodies_says_so(sheet: Sheet):
    sheet.set_view("front")
    canvas = canvas_of(sheet)
    assert empty_words(sheet._shown, "front", canvas.drawing)[0] == "Nothing is drawn in this view yet"
    sheet.grab()


def test_a_view_that_is_all_hidden_says_so(sheet: Sheet, session: Session):
    session.push(SetHidden(("collar",), True, "Hide"))
    sheet.set_view("plan")
    assert empty_words(sheet._shown, "plan", canvas_of(sheet).drawing)[0] == "All of this view is hidden"


def test_a_project_without_views_says_so(qtbot):
    session = Session()
    sheet = Sheet(session, theme=LIGHT)
    qtbot.addWidget(sheet)
    bare = replace(PROJECT, views=(), bodies=(), connections=(), drives=(), sequences=(), pairs=())
    session.open(bare, None)
    sheet.grab()
    assert empty_words(sheet._shown, None, canvas_of(sheet).drawing)[0] == "This aircraft has no views yet"


def test_before_the_first_check_bodies_stand_as_drawn(qtbot):
    session = Session()
    sheet = Sheet(session, theme=LIGHT)
    qtbot.addWidget(sheet)
    session.open(PROJECT, None)
    assert note_of(sheet._shown, "side") == ("checking…", "stale")
    assert not sheet._shown.poses.any()
    sheet.grab()


def test_another_aircraft_takes_the_sheet_over(sheet: Sheet, session: Session):
    session.choose("leg")
    other = replace(PROJECT, views=(PROJECT.views[1],), bodies=PROJECT.bodies[5:], connections=(), drives=(), pairs=(),
                    sequences=())  # fmt: skip
    session.open(other, None)
    assert sheet.views == ("plan",)
    sheet.grab()
